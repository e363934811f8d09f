"""Astropy with JPL DE421, vectorised over time.

DE421 takes a fraction of the built-in ephemeris's time. The astrometric constants are interpolated,
which the library offers for speed (`ErfaAstromInterpolator`); over twenty minutes it moves the Moon
by less than 1".
"""

import os

import astropy
import astropy.units as u
import numpy as np
from astropy.coordinates import AltAz, EarthLocation, SkyCoord, get_body, solar_system_ephemeris
from astropy.coordinates.erfa_astrom import ErfaAstromInterpolator, erfa_astrom
from astropy.time import Time
from astropy.utils import iers
from skyfield_data import get_skyfield_data_path

from job import CORE_DEC_DMS, CORE_RA_HMS

VERSION = f"Astropy {astropy.__version__} with DE421"
# No look-ups on the network; beyond the predictions that it came with UT1 - UTC counts as 0.
iers.conf.auto_download = False
iers.conf.auto_max_age = None
iers.conf.iers_degraded_accuracy = "ignore"


class Sky:
    def __init__(self, first_s, last_s, tuned):
        solar_system_ephemeris.set(os.path.join(get_skyfield_data_path(), "de421.bsp"))
        erfa_astrom.set(ErfaAstromInterpolator((1200 if tuned else 300) * u.s))
        # Without proper motion, 0.17" in 27 years: with it the library takes far longer.
        self.core = SkyCoord(
            "{}h{}m{}s {}d{:02}m{}s".format(*CORE_RA_HMS, *CORE_DEC_DMS), frame="icrs"
        )

    def at(self, times):
        t = Time(times, format="unix")
        # The 1.7 ms between these scales are worth 0.001" of Moon, and a series of 790 terms.
        t.delta_tdb_tt = np.zeros(times.shape)
        return t

    def fraction(self, times):
        t = self.at(times)
        sun_km, moon_km = (
            get_body(name, t).cartesian.xyz.to_value(u.km) for name in ("sun", "moon")
        )
        to_sun = sun_km - moon_km
        cosine = -np.sum(moon_km * to_sun, axis=0) / (
            np.linalg.norm(moon_km, axis=0) * np.linalg.norm(to_sun, axis=0)
        )
        return 0.5 * (1.0 + cosine)

    def over(self, site):
        return Over(self, site)


class Over:
    def __init__(self, sky, site):
        self.sky = sky
        self.place = EarthLocation.from_geodetic(
            site.longitude_deg * u.deg, site.latitude_deg * u.deg, site.elevation_m * u.m
        )
        self.times, self.frame = None, None

    def altaz(self, times, body):
        if times is not self.times:
            self.times = times
            self.frame = AltAz(obstime=self.sky.at(times), location=self.place)
        seen = body(self.frame.obstime).transform_to(self.frame)
        return seen.alt.deg, seen.az.deg

    def sun(self, times):
        return self.altaz(times, lambda t: get_body("sun", t))[0]

    def moon(self, times):
        return self.altaz(times, lambda t: get_body("moon", t))

    def core(self, times):
        return self.altaz(times, lambda t: self.sky.core)
