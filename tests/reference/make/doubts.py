"""doubts.csv, doubts_sites.csv: the altitudes on which the doubts about a window rest."""

import numpy as np
from skyfield.api import Star

from common import (
    SETTINGS,
    SKYFIELD_SOURCE,
    altitude_azimuth,
    core,
    moon,
    place,
    posix_of,
    sun,
    write_csv,
)

STEP_MINUTES = 15
NIGHTS = 30
# Only while the Sun's centre stands lower; a step more on either side.
SUN_BELOW_DEG = -6.0
# A target that comes low in the middle of the night and not at its ends.
ROUND_RA_DEG, ROUND_DEC_DEG = 350.0, 58.0
round_the_pole = Star(ra_hours=ROUND_RA_DEG / 15.0, dec_degrees=ROUND_DEC_DEG)

# Name, latitude, longitude, elevation, first evening. All in UTC: a night runs from noon to noon of
# the Sun, which is less than half a day away.
SITES = [
    # The core climbs high, the Moon too.
    ("South", -31.4, 139.2, 120, (2027, 4, 25)),
    # The core stays low, the round target dips to 4 degrees.
    ("Middle", 36.2, -113.4, 1900, (2027, 5, 5)),
    # Long nights; the Moon culminates low, or passes under the horizon by little.
    ("North", 62.0, 10.5, 800, (2027, 10, 28)),
    # Long nights with the core up all along.
    ("Far south", -62.2, -58.9, 20, (2027, 6, 12)),
    # The Moon comes near the horizon in the middle of a night and not at its ends.
    ("Farther north", 63.5, 20.0, 150, (2027, 9, 25)),
    ("Equator", 0.4, 36.9, 2400, (2027, 7, 20)),
]

rows, sites = [], []
for name, latitude_deg, longitude_deg, elevation_m, (year, month, day) in SITES:
    observer = place(latitude_deg, longitude_deg, elevation_m)
    first = posix_of(year, month, day)
    # From half a day before the first evening's date to one and a half after the last's.
    minutes = np.arange(-720, (NIGHTS + 1) * 1440 + 720, STEP_MINUTES)
    posix = first + 60.0 * minutes
    sun_altitude, _, _ = altitude_azimuth(observer, sun, posix)
    altitudes = [altitude_azimuth(observer, body, posix)[0] for body in (moon, core, round_the_pole)]
    dark = sun_altitude < SUN_BELOW_DEG
    wanted = dark | np.roll(dark, 1) | np.roll(dark, -1)
    sites.append((name, latitude_deg, longitude_deg, elevation_m, f"{year}-{month:02}-{day:02}", NIGHTS))
    for index in np.flatnonzero(wanted):
        rows.append((name, minutes[index], *(f"{altitude[index]:.2f}" for altitude in altitudes)))

write_csv(
    "doubts_sites.csv",
    [
        "The places of doubts.csv and the evenings that it covers, the first and how many.",
        f"Source: {SKYFIELD_SOURCE}. Script: make/doubts.py.",
    ],
    ["site", "latitude_deg", "longitude_deg", "elevation_m", "first_evening", "evenings"],
    sites,
)
write_csv(
    "doubts.csv",
    [
        f"Altitudes every {STEP_MINUTES} minutes while the Sun is {-SUN_BELOW_DEG:.0f} degrees down.",
        f"Source: {SKYFIELD_SOURCE}. Script: make/doubts.py.",
        f"Settings: {SETTINGS}.",
        "minute counts from 00:00 UTC of the site's first evening (doubts_sites.csv).",
        "Altitudes are of the centre, topocentric, apparent, geometric (airless), degrees.",
        f"round: ICRS {ROUND_RA_DEG} {ROUND_DEC_DEG} degrees.",
    ],
    ["site", "minute", "moon_altitude_deg", "core_altitude_deg", "round_altitude_deg"],
    rows,
)
