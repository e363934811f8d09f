"""PyEphem, one instant at a time: its calls take no arrays.

Its `moon_phase` is off by up to 0.0025, worth half an hour of an edge, so the fraction is worked
out from its places of Sun and Moon.
"""

import math

import ephem
import numpy as np

from job import CORE_DEC_DMS, CORE_MOTION_MAS, CORE_RA_HMS, DAY_S

VERSION = f"PyEphem {ephem.__version__}"
# Its dates are days since 1899-12-31T12:00.
DATE_OF_1970 = float(ephem.Date("1970/1/1"))


class Sky:
    def __init__(self, first_s, last_s, tuned):
        self.sun, self.moon = ephem.Sun(), ephem.Moon()
        self.core = ephem.FixedBody()
        self.core._ra = "{}:{}:{}".format(*CORE_RA_HMS)
        self.core._dec = "{}:{:02}:{}".format(*CORE_DEC_DMS)
        self.core._pmra, self.core._pmdec = CORE_MOTION_MAS
        self.core._epoch = ephem.J2000

    def fraction(self, times):
        moon, sun, fractions = self.moon, self.sun, []
        for date in (DATE_OF_1970 + times / DAY_S).tolist():
            # Without an observer: geocentric; g_ra and g_dec are the apparent place.
            moon.compute(date)
            sun.compute(date)
            elongation = ephem.separation((moon.g_ra, moon.g_dec), (sun.g_ra, sun.g_dec))
            # The side of the triangle Earth, Moon, Sun that the Moon's distance leaves.
            along = sun.earth_distance * math.cos(elongation) - moon.earth_distance
            across = sun.earth_distance * math.sin(elongation)
            fractions.append(0.5 - 0.5 * along / math.hypot(along, across))
        return np.array(fractions)

    def over(self, site):
        return Over(self, site)


class Over:
    def __init__(self, sky, site):
        self.sky, self.observer = sky, ephem.Observer()
        self.observer.lat = np.radians(site.latitude_deg)
        self.observer.lon = np.radians(site.longitude_deg)
        self.observer.elevation = site.elevation_m
        self.observer.pressure = 0.0  # the rules' limits are geometric already

    def altaz(self, times, body):
        observer, compute = self.observer, body.compute
        places = []
        for date in (DATE_OF_1970 + times / DAY_S).tolist():
            observer.date = date
            compute(observer)
            places.append((body.alt, body.az))
        return np.degrees(np.array(places).reshape(-1, 2).T)

    def sun(self, times):
        return self.altaz(times, self.sky.sun)[0]

    def moon(self, times):
        return self.altaz(times, self.sky.moon)

    def core(self, times):
        return self.altaz(times, self.sky.core)
