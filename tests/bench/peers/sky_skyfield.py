"""Skyfield with JPL DE421: its own calls, vectorised over time.

Time and observer are kept from one body to the next. For the tuned search nutation, which costs
1365 terms an instant, is interpolated (within 0.001"), and the deflection of light is left out
(0.01" for these bodies).
"""

import os

import numpy as np
import skyfield
from skyfield import almanac
from skyfield.api import Star, load, load_file, wgs84
from skyfield_data import get_skyfield_data_path

from job import CORE_DEC_DMS, CORE_MOTION_MAS, CORE_RA_HMS, DAY_S

VERSION = f"Skyfield {skyfield.__version__} with DE421"
NUTATION_STEP_S = 0.25 * DAY_S


class Sky:
    def __init__(self, first_s, last_s, tuned):
        self.timescale = load.timescale(builtin=True)
        self.ephemeris = load_file(os.path.join(get_skyfield_data_path(), "de421.bsp"))
        self.core = Star(
            ra_hours=CORE_RA_HMS,
            dec_degrees=CORE_DEC_DMS,
            ra_mas_per_year=CORE_MOTION_MAS[0],
            dec_mas_per_year=CORE_MOTION_MAS[1],
        )
        self.deflectors = {"deflectors": ()} if tuned else {}
        self.nodes = None
        if tuned:
            self.nodes = np.arange(first_s - DAY_S, last_s + DAY_S, NUTATION_STEP_S)
            self.nutation = self.utc(self.nodes)._nutation_angles_radians

    def utc(self, times):
        return self.timescale.utc(1970, 1, 1.0 + times / DAY_S)

    def at(self, times):
        t = self.utc(times)
        if self.nodes is not None:
            t._nutation_angles_radians = tuple(
                np.interp(times, self.nodes, angle) for angle in self.nutation
            )
        return t

    def fraction(self, times):
        # From astrometric places, which is this library's convention.
        return almanac.fraction_illuminated(self.ephemeris, "moon", self.at(times))

    def over(self, site):
        return Over(self, site)


class Over:
    def __init__(self, sky, site):
        self.sky = sky
        topos = wgs84.latlon(site.latitude_deg, site.longitude_deg, elevation_m=site.elevation_m)
        self.observer = sky.ephemeris["earth"] + topos
        self.times, self.now = None, None

    def altaz(self, times, body):
        if times is not self.times:
            self.times, self.now = times, self.observer.at(self.sky.at(times))
        altitude, azimuth, _ = self.now.observe(body).apparent(**self.sky.deflectors).altaz()
        return altitude.degrees, azimuth.degrees

    def sun(self, times):
        return self.altaz(times, self.sky.ephemeris["sun"])[0]

    def moon(self, times):
        return self.altaz(times, self.sky.ephemeris["moon"])

    def core(self, times):
        return self.altaz(times, self.sky.core)
