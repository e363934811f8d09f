"""events.csv: every rise, set, twilight edge and core transit in spans of days at many latitudes.

Own root finding on Skyfield's altitudes: samples every 60 s (every 1 s around extrema that
graze the threshold), then bisection to 1 ms.
"""

import numpy as np

from common import (
    ARCMIN,
    MOON_RADIUS_KM,
    SETTINGS,
    SKYFIELD_SOURCE,
    altitude_azimuth,
    bisect,
    core,
    moon,
    place,
    posix_of,
    rfc3339,
    skyfield_time,
    sun,
    true_altitude_of_apparent,
    write_csv,
)

STEP_S = 60.0
DAY_S = 86400.0
CORE_TRUE_ALTITUDE_DEG = true_altitude_of_apparent(0.0)

# site_id, latitude, longitude, elevation, then (year, month, day, days) of each span.
SITES = [
    ("north_pole", 90.0, 0.0, 0, [
        (1976, 3, 15, 10), (1987, 9, 20, 10), (1999, 10, 5, 10),
        (2012, 11, 8, 10), (2027, 1, 26, 10), (2043, 3, 15, 10)]),
    ("south_pole", -90.0, 0.0, 2835, [
        (1979, 3, 17, 10), (1990, 9, 17, 10), (2003, 4, 2, 10),
        (2016, 5, 8, 10), (2029, 7, 28, 10), (2047, 3, 19, 10)]),
    ("fjord", 69.6, 18.9, 10, [
        (1977, 1, 12, 5), (1985, 5, 15, 5), (1996, 7, 24, 5),
        (2009, 11, 24, 5), (2026, 3, 3, 3), (2041, 9, 28, 3)]),
    ("lava_coast", 64.0, -19.3, 250, [
        (1975, 4, 9, 3), (1986, 6, 18, 3), (1998, 8, 14, 3),
        (2011, 12, 20, 3), (2027, 2, 21, 3), (2048, 10, 5, 3)]),
    ("skerries", 60.0, 24.9, 30, [
        (1978, 2, 18, 3), (1989, 4, 21, 3), (2001, 6, 5, 3),
        (2015, 8, 20, 3), (2028, 10, 11, 3), (2044, 12, 7, 3)]),
    ("chalk_cliff", 51.0, -1.3, 120, [
        (1980, 5, 22, 3), (1992, 7, 18, 3), (2004, 9, 9, 3),
        (2018, 11, 3, 3), (2027, 3, 27, 3), (2049, 1, 14, 3)]),
    ("red_mesa", 40.0, -109.7, 1900, [
        (1976, 6, 30, 3), (1988, 3, 17, 3), (2000, 2, 28, 3),
        (2014, 4, 14, 3), (2026, 8, 27, 3), (2039, 11, 9, 3)]),
    ("tropic_dunes", 23.0, 120.6, 3000, [
        (1975, 7, 1, 3), (1983, 12, 30, 3), (1997, 9, 15, 3),
        (2008, 2, 20, 3), (2025, 5, 11, 3), (2042, 6, 20, 3)]),
    ("equator_date_line", 0.0, 179.9, 5, [
        (1981, 3, 20, 3), (1993, 6, 3, 3), (2005, 10, 2, 3),
        (2017, 1, 1, 3), (2029, 6, 25, 3), (2046, 8, 16, 3)]),
    ("coral_date_line", -17.4, -179.9, 0, [
        (1982, 6, 20, 3), (1995, 1, 7, 3), (2007, 7, 28, 3),
        (2019, 4, 18, 3), (2031, 9, 1, 3), (2045, 12, 11, 3)]),
    ("saltbush", -31.0, 139.2, 120, [
        (1979, 8, 23, 3), (1991, 5, 9, 3), (2002, 11, 29, 3),
        (2013, 3, 26, 3), (2027, 5, 12, 3), (2038, 7, 6, 3)]),
    ("tussock", -45.0, 169.3, 640, [
        (1984, 10, 13, 3), (1994, 12, 22, 3), (2006, 4, 4, 3),
        (2020, 6, 19, 3), (2028, 2, 8, 3), (2040, 5, 25, 3)]),
    ("ice_shelf", -66.0, 110.5, 60, [
        (1977, 12, 18, 5), (1990, 6, 19, 5), (2001, 3, 9, 3),
        (2010, 8, 30, 3), (2030, 10, 21, 3), (2049, 1, 28, 5)]),
    ("high_puna", -23.0, -67.8, 3000, [
        (1986, 4, 22, 3), (1999, 7, 9, 3), (2011, 6, 14, 3),
        (2022, 9, 25, 3), (2034, 3, 10, 3), (2049, 12, 27, 3)]),
]  # fmt: skip


def sun_above(observer, altitude_deg):
    return lambda posix: altitude_azimuth(observer, sun, posix)[0] - altitude_deg


def moon_limb(observer):
    """Altitude of the Moon's upper limb with 34' of refraction at the horizon, degrees."""

    def margin(posix):
        altitude_deg, _, distance_km = altitude_azimuth(observer, moon, posix)
        semidiameter_deg = np.degrees(np.arcsin(MOON_RADIUS_KM / distance_km))
        return altitude_deg + 34.0 * ARCMIN + semidiameter_deg

    return margin


def core_above(observer):
    return lambda posix: altitude_azimuth(observer, core, posix)[0] - CORE_TRUE_ALTITUDE_DEG


def core_hour_angle(observer):
    """Hour angle from the observer's meridian plane, -180..180 degrees."""

    def angle(posix):
        apparent = observer.at(skyfield_time(posix)).observe(core).apparent()
        return (apparent.hadec()[0].hours * 15.0 + 180.0) % 360.0 - 180.0

    return angle


def crossings(function, start, end):
    """Roots, and whether the function rises there, for one span."""
    samples = np.arange(start, end + STEP_S / 2, STEP_S)
    values = function(samples)
    extrema = np.nonzero(
        (values[1:-1] - values[:-2]) * (values[2:] - values[1:-1]) <= 0.0
    )[0] + 1
    for index in extrema:
        # A pair of crossings between two samples shows only as an extremum close to 0.
        swing = max(abs(values[index] - values[index - 1]), abs(values[index + 1] - values[index]))
        if abs(values[index]) <= 2.0 * swing and swing < 10.0:
            fine = np.arange(samples[index - 1], samples[index + 1], 1.0)[1:]
            samples = np.append(samples, fine)
            values = np.append(values, function(fine))
    samples, unique = np.unique(samples, return_index=True)
    values = values[unique]
    change = np.nonzero(np.signbit(values[1:]) != np.signbit(values[:-1]))[0]
    # An hour angle's jump from 180 to -180 is no crossing.
    change = change[np.abs(values[change + 1] - values[change]) < 180.0]
    roots = bisect(function, samples[change], samples[change + 1])
    return roots, values[change + 1] > values[change]


rows = []
for site_id, latitude_deg, longitude_deg, elevation_m, spans in SITES:
    observer = place(latitude_deg, longitude_deg, elevation_m)
    watched = [
        (sun_above(observer, -50.0 * ARCMIN), "sunrise", "sunset"),
        (sun_above(observer, -6.0), "civil_dawn", "civil_dusk"),
        (sun_above(observer, -12.0), "nautical_dawn", "nautical_dusk"),
        (sun_above(observer, -18.0), "astronomical_dawn", "astronomical_dusk"),
        (moon_limb(observer), "moonrise", "moonset"),
        (core_above(observer), "core_rise", "core_set"),
        (core_hour_angle(observer), "core_transit", None),
    ]
    for year, month, day, days in spans:
        start = posix_of(year, month, day)
        end = start + days * DAY_S
        found = []
        for function, rising_name, setting_name in watched:
            times, rising = crossings(function, start, end)
            rates = (function(times + 30.0) - function(times - 30.0)) if times.size else []
            for time, rises, rate in zip(times, rising, rates):
                assert start + 30.0 < time < end - 30.0, (site_id, time, "too near a span's end")
                found.append((time, rising_name if rises else setting_name, rate))
        if not found:
            found = [(start, "none", 0.0)]
        for time, event, rate in sorted(found):
            rows.append(
                [
                    site_id,
                    f"{latitude_deg:.1f}",
                    f"{longitude_deg:.1f}",
                    elevation_m,
                    rfc3339(start, 0),
                    rfc3339(end, 0),
                    event,
                    "" if event == "none" else rfc3339(time, 2),
                    "" if event == "none" else f"{rate:.6f}",
                ]
            )

write_csv(
    "events.csv",
    [
        "Every rise, set, twilight edge and upper transit of the core in spans of days.",
        f"Source: {SKYFIELD_SOURCE}. Script: make/events.py (own bisection, good to 0.01 s).",
        f"Settings: {SETTINGS}; sea-level horizon without dip whatever the elevation.",
        "sunrise, sunset: Sun's centre at geometric altitude -50'. Dusks and dawns: centre at -6,",
        "-12, -18, geometric. moonrise, moonset: topocentric centre at -34' - semidiameter,",
        "semidiameter = asin(1737.4 km / topocentric distance) at that instant.",
        f"core_rise, core_set: Sagittarius A* at true altitude {CORE_TRUE_ALTITUDE_DEG:.6f}, which",
        "Saemundsson's refraction (1010 hPa, 10 C, whatever the elevation) lifts to apparent 0.",
        "core_transit: hour angle 0, upper, from the site's own meridian plane (longitude 0 at poles).",
        "The list of each span is complete; a span in which nothing happens has one row with event none.",
        "rate_deg_per_min: rate over one minute of the crossing quantity: altitude, or hour angle for",
        "core_transit; the smaller, the more grazing. elevation_m is above the WGS84 ellipsoid.",
    ],
    [
        "site_id",
        "latitude_deg",
        "longitude_deg",
        "elevation_m",
        "span_start_utc",
        "span_end_utc",
        "event",
        "time_utc",
        "rate_deg_per_min",
    ],
    rows,
)
