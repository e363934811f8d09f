"""moon_alignments.csv: when the Moon stands low in twilight at a bearing, and its disc."""

import numpy as np

from common import (
    MOON_RADIUS_KM,
    SETTINGS,
    SKYFIELD_SOURCE,
    altitude_azimuth,
    bisect,
    moon,
    place,
    posix_of,
    rfc3339,
    saemundsson_arcmin,
    signed_deg,
    skyfield_time,
    standard_pressure_hpa,
    sun,
    true_altitude_of_apparent,
    write_csv,
)

# Invented places: latitude, longitude, elevation, bearing faced, first month of the half year
# searched. Moonrise and moonset, north and south, high and low, across the seam at north.
PLACES = [
    (37.1800, -113.4200, 1900, 108.0, (2027, 1)),
    (-31.4200, 139.2300, 120, 250.0, (2027, 3)),
    (52.3100, 4.8700, 2, 128.0, (2026, 9)),
    (69.6200, 20.5800, 340, 5.0, (2027, 1)),
    (-44.6700, 168.9100, 320, 62.0, (2028, 5)),
    (0.4900, 36.5500, 2100, 88.0, (2027, 6)),
    (19.2500, -155.1400, 15, 288.0, (2029, 2)),
    (35.3300, 138.7200, 1030, 241.0, (2030, 10)),
    (-54.8200, -67.5300, 40, 300.0, (2027, 8)),
    (45.9500, 7.7600, 2580, 97.0, (2026, 11)),
    (28.2700, -16.6100, 2200, 270.0, (2031, 4)),
    (-23.0100, 29.9200, 870, 115.0, (2025, 2)),
]
HALF_WIDTH_DEG = 6.0
APPARENT_DEG = (1.0, 9.0)
SUN_DEG = (-7.0, 0.0)
STEP_SECONDS = 20.0
COARSE_SECONDS = 600.0
MIDDLE_MONTHS = 6
# A window that another ephemeris may not have, or have otherwise: left out, counted in the header.
SHORTEST_SECONDS = 120.0


def apparent_of_true(true_deg, pressure_hpa):
    return true_deg + pressure_hpa / 1010.0 * saemundsson_arcmin(true_deg) / 60.0


rows, short = [], 0
for number, (latitude, longitude, elevation, bearing, (year, month)) in enumerate(PLACES, 1):
    observer = place(latitude, longitude, elevation)
    pressure = standard_pressure_hpa(elevation)
    low, high = (true_altitude_of_apparent(apparent, pressure) for apparent in APPARENT_DEG)

    def margins(posix):
        altitude, azimuth, _ = altitude_azimuth(observer, moon, posix)
        sun_altitude, _, _ = altitude_azimuth(observer, sun, posix)
        return np.minimum.reduce(
            [
                altitude - low,
                high - altitude,
                HALF_WIDTH_DEG - np.abs(signed_deg(azimuth - bearing)),
                sun_altitude - SUN_DEG[0],
                SUN_DEG[1] - sun_altitude,
            ]
        )

    first = posix_of(year, month)
    after = month + MIDDLE_MONTHS - 1
    last = posix_of(year + after // 12, after % 12 + 1)
    # Few hours matter: in ten minutes neither body's altitude changes by more than 3 degrees.
    coarse = np.arange(first, last, COARSE_SECONDS)
    moon_altitude, _, _ = altitude_azimuth(observer, moon, coarse)
    sun_altitude, _, _ = altitude_azimuth(observer, sun, coarse)
    near = (moon_altitude > low - 3.0) & (moon_altitude < high + 3.0)
    near &= (sun_altitude > SUN_DEG[0] - 3.0) & (sun_altitude < SUN_DEG[1] + 3.0)
    fine = np.arange(0.0, COARSE_SECONDS, STEP_SECONDS)
    times = (coarse[near][:, None] + fine).ravel()
    inside = margins(times) >= 0.0
    change = np.flatnonzero(inside[1:] != inside[:-1])
    # No edge falls into the hours left out between two stretches.
    assert np.all(times[change + 1] - times[change] < 1.5 * STEP_SECONDS)
    assert not inside[0] and not inside[-1]
    edges = bisect(margins, times[change], times[change + 1])
    for opens, closes in edges.reshape(-1, 2):
        if closes - opens < SHORTEST_SECONDS:
            short += 1
            continue
        middle = round(0.5 * (opens + closes), 3)
        altitude, azimuth, _ = altitude_azimuth(observer, moon, middle)
        sun_altitude, _, _ = altitude_azimuth(observer, sun, middle)
        # The geometric distance from the observer, as in positions.py.
        distance_km = (moon - observer).at(skyfield_time(middle)).distance().km
        diameter = 120.0 * np.degrees(np.arcsin(MOON_RADIUS_KM / distance_km))
        rows.append(
            [
                number,
                f"{latitude:.4f}",
                f"{longitude:.4f}",
                elevation,
                f"{bearing:.1f}",
                rfc3339(first, 0),
                rfc3339(last, 0),
                rfc3339(opens),
                rfc3339(closes),
                rfc3339(middle),
                f"{altitude:.6f}",
                f"{apparent_of_true(altitude, pressure):.6f}",
                f"{azimuth:.6f}",
                f"{diameter:.5f}",
                f"{sun_altitude:.6f}",
            ]
        )

write_csv(
    "moon_alignments.csv",
    [
        "When the Moon stands low over a bearing in twilight at twelve invented places, each through",
        "half a year (from_utc to to_utc): every window, from the edge that opens it to the edge",
        "that closes it, with the Moon in its middle.",
        f"Source: {SKYFIELD_SOURCE}. Script: make/moon_alignments.py.",
        f"Settings: {SETTINGS}.",
        f"A window: apparent altitude of the Moon's centre {APPARENT_DEG[0]:g} to {APPARENT_DEG[1]:g} degrees, azimuth within",
        f"{HALF_WIDTH_DEG:g} degrees of the bearing, geometric altitude of the Sun {SUN_DEG[0]:g} to {SUN_DEG[1]:g}, all found every",
        f"{STEP_SECONDS:g} s and narrowed to 1 ms; {short} shorter than {SHORTEST_SECONDS:g} s left out.",
        "Refraction: Saemundsson (1986), Meeus eq. 16.4, at 10 C and the standard pressure of the",
        "elevation. elevation_m is above the WGS84 ellipsoid. The diameter is that of a sphere of",
        f"{MOON_RADIUS_KM} km at the geometric distance from the observer, arcminutes.",
    ],
    [
        "place",
        "latitude_deg",
        "longitude_deg",
        "elevation_m",
        "bearing_deg",
        "from_utc",
        "to_utc",
        "opens_utc",
        "closes_utc",
        "middle_utc",
        "moon_altitude_deg",
        "moon_apparent_altitude_deg",
        "moon_azimuth_deg",
        "moon_diameter_arcmin",
        "sun_altitude_deg",
    ],
    rows,
)
