"""The job that rakelight and its peers both do: sites, rules, evenings. Needs the standard library alone.

Times are POSIX seconds in UTC, altitudes geometric unless called apparent, azimuths from true
north through east.
"""

import csv
import datetime
import math
from dataclasses import dataclass

DAY_S = 86400.0
SUN_MAX_DEG = -18.0
CORE_MIN_APPARENT_DEG = 10.0
MOON_APPARENT_DEG = (3.0, 30.0)
MOON_FRACTION = (0.03, 0.5)
LIGHT_ANGLE_DEG = (40.0, 150.0)
CORE_OFFSET_DEG = (-60.0, 60.0)
MIN_MINUTES = 20.0
# Peers list windows from here on, so that one which differs only in being a second longer or
# shorter than the least length is told from one that is missing.
LISTED_MINUTES = 19.0

# Sagittarius A*, ICRS, epoch J2000: Reid & Brunthaler, ApJ 616, 872 (2004).
CORE_RA_HMS = (17, 45, 40.0409)
CORE_DEC_DMS = (-29, 0, 28.118)
CORE_MOTION_MAS = (-3.151, -5.547)

COLUMNS = [
    "name",
    "latitude_deg",
    "longitude_deg",
    "elevation_m",
    "time_zone",
    "air.pressure_hpa",
    "air.temperature_c",
    "subject.bearing_deg",
    "subject.distance_m",
    "subject.height_m",
    "camera.sensor_mm",
    "camera.pixels",
    "camera.focal_mm",
    "camera.f_number",
    "brief.contrast",
    "brief.framing",
    "brief.target_place",
]


@dataclass(frozen=True)
class Site:
    """One row of the table of sites, as far as windows depend on it."""

    name: str
    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    pressure_hpa: float
    temperature_c: float
    facing_deg: float

    def true_altitude_deg(self, apparent_deg):
        """The geometric altitude that refraction lifts to an apparent one, by bisection.

        Saemundsson, Sky & Telescope 72, 70 (1986); Meeus, Astronomical Algorithms, eq. 16.4; in
        proportion to pressure and inversely to absolute temperature. The limits of the rules are
        turned once a site, so no library needs to refract anything.
        """
        factor = self.pressure_hpa / 1010.0 * 283.0 / (273.0 + self.temperature_c) / 60.0
        low, high = apparent_deg - 1.0, apparent_deg
        for _ in range(50):
            middle = 0.5 * (low + high)
            lift = factor * 1.02 / math.tan(math.radians(middle + 10.3 / (middle + 5.11)))
            low, high = (middle, high) if middle + lift < apparent_deg else (low, middle)
        return high

    def noons(self, first, last):
        """Mean solar noons, in UTC dates `first` to `last`, at which the nights begin."""
        noon = posix(first) + 0.5 * DAY_S - self.longitude_deg * 240.0
        return [noon + DAY_S * day for day in range((last - first).days + 1)]


def posix(date):
    """The beginning of a UTC date."""
    return (date - datetime.date(1970, 1, 1)).days * DAY_S


def write_sites(path, count):
    """A table of `count` invented sites: always the same, spread over 65 S to 50 N.

    The first is a good one and looks about along the setting Milky Way; the others are spread by
    multiples of irrational numbers (the generalised golden ratio), so that any first N of them are
    spread evenly. Some have few windows or none, as real lists do. Subject and camera are there so
    that rakelight has every column to fill; any contrast,
    frame and place beside the subject will do, since peers know no light and no picture.
    """
    with open(path, "w", encoding="utf-8", newline="") as file:
        rows = csv.writer(file, lineterminator="\n")
        rows.writerow(COLUMNS)
        for index in range(count):
            place = (-31.4, 139.2, 120.0, 128.0)
            if index:
                a, b = index * 0.7548776662466927 % 1.0, index * 0.5698402909980532 % 1.0
                c, d = index * 0.6180339887498949 % 1.0, index * 0.4142135623730951 % 1.0
                place = (-65.0 + 115.0 * a, -179.0 + 358.0 * b, 3000.0 * c, 100.0 + 160.0 * d)
            latitude, longitude, elevation, facing = place
            pressure = 1010.0 * (1.0 - 2.25577e-5 * elevation) ** 5.25588
            rows.writerow(
                [f"invented {index + 1}", f"{latitude:.4f}", f"{longitude:.4f}", f"{elevation:.0f}"]
                + ["UTC", f"{pressure:.1f}", "10", f"{facing:.1f}", "40", "8"]
                + ["36x24", "6000x4000", "14", "2.8", "0..", "any", "any"]
            )


def read_sites(path):
    """The sites of a table."""
    with open(path, encoding="utf-8", newline="") as file:
        return [
            Site(
                row["name"],
                float(row["latitude_deg"]),
                float(row["longitude_deg"]),
                float(row["elevation_m"]),
                float(row["air.pressure_hpa"]),
                float(row["air.temperature_c"]),
                float(row["subject.bearing_deg"]),
            )
            for row in csv.DictReader(file)
        ]
