"""arch.csv and galactic_directions.csv: the Milky Way's arch with ERFA, without Skyfield."""

import erfa
import numpy as np

from common import (
    CORE_DEC_DEG,
    CORE_RA_DEG,
    JULIAN_DATE_OF_1970,
    SETTINGS,
    posix_of,
    rfc3339,
    tai_minus_utc,
    write_csv,
)

ROWS = 150
SEED = 19580101
SOURCE = f"ERFA (pyerfa {erfa.__version__}, ERFA {erfa.version.erfa_version}): c2t06a, icrs2g, g2icrs"


def icrs_to_enu(posix, latitude_deg, longitude_deg):
    """Rotation from ICRS to east, north, up of the geodetic horizon."""
    days, seconds = divmod(posix, 86400.0)
    uta, utb = days + JULIAN_DATE_OF_1970, seconds / 86400.0
    ttb = utb + (tai_minus_utc(posix) + 32.184) / 86400.0
    celestial_to_terrestrial = erfa.c2t06a(uta, ttb, uta, utb, 0.0, 0.0)
    latitude, longitude = np.radians(latitude_deg), np.radians(longitude_deg)
    east = [-np.sin(longitude), np.cos(longitude), 0.0]
    up = [
        np.cos(latitude) * np.cos(longitude),
        np.cos(latitude) * np.sin(longitude),
        np.sin(latitude),
    ]
    return np.array([east, np.cross(up, east), up]) @ celestial_to_terrestrial


def galactic_to_icrs(longitude_deg, latitude_deg):
    return erfa.s2c(*erfa.g2icrs(np.radians(longitude_deg), np.radians(latitude_deg)))


def altitude_azimuth(enu):
    east, north, up = enu
    altitude = np.degrees(np.arctan2(up, np.hypot(east, north)))
    return altitude, np.degrees(np.arctan2(east, north)) % 360.0


def galactic_longitude(icrs):
    return np.degrees(erfa.icrs2g(*erfa.c2s(icrs))[0]) % 360.0


def unit(vector):
    return vector / np.linalg.norm(vector)


random = np.random.default_rng(SEED)
pole = galactic_to_icrs(0.0, 90.0)
core = erfa.s2c(np.radians(CORE_RA_DEG), np.radians(CORE_DEC_DEG))
circle = np.array([galactic_to_icrs(longitude, 0.0) for longitude in np.arange(0.0, 360.0, 0.05)])
rows, directions = [], []
for _ in range(ROWS):
    latitude_deg = round(random.uniform(-72.0, 72.0), 4)
    longitude_deg = round(random.uniform(-180.0, 180.0), 4)
    posix = int(random.integers(int(posix_of(1980)), int(posix_of(2041))))
    rotation = icrs_to_enu(posix, latitude_deg, longitude_deg)
    zenith = rotation[2]

    top = unit(zenith - np.dot(zenith, pole) * pole)
    top_altitude, top_azimuth = altitude_azimuth(rotation @ top)
    # The same by brute force over the whole circle, within its step of 0.05 degrees.
    highest = circle[np.argmax(circle @ zenith)]
    assert np.degrees(np.arccos(np.clip(np.dot(highest, top), -1, 1))) < 0.03

    foot = unit(np.cross(pole, zenith))
    feet = []
    for direction in (foot, -foot):
        altitude, azimuth = altitude_azimuth(rotation @ direction)
        assert abs(altitude) < 1e-9
        feet.append((azimuth, galactic_longitude(direction)))
    feet.sort()

    along_plane, horizontal = unit(np.cross(pole, core)), unit(np.cross(zenith, core))
    cosine = abs(np.dot(along_plane, horizontal))
    tilt = np.degrees(
        np.arctan2(np.linalg.norm(np.cross(along_plane, horizontal)), cosine)
    )
    site = [rfc3339(posix, 0), f"{latitude_deg:.4f}", f"{longitude_deg:.4f}"]
    values = [top_altitude, top_azimuth, galactic_longitude(top), *feet[0], *feet[1]]
    values += [tilt, *altitude_azimuth(rotation @ core)]
    rows.append(site + [f"{value:.7f}" for value in values])

    for _ in range(3):
        l_deg = round(random.uniform(0.0, 360.0), 3)
        b_deg = round(np.degrees(np.arcsin(random.uniform(-1.0, 1.0))), 3)
        position = altitude_azimuth(rotation @ galactic_to_icrs(l_deg, b_deg))
        directions.append(
            site + [f"{l_deg:.3f}", f"{b_deg:.3f}"] + [f"{value:.7f}" for value in position]
        )

FRAME = [
    f"Source: {SOURCE}. Seed {SEED}, script make/arch.py.",
    f"Settings: {SETTINGS}.",
    "Geometric directions: no aberration (up to 0.006 deg), no parallax, no refraction; ICRS axes",
    "taken at the observer. Galactic frame: IAU 1958 in its ICRS form (Hipparcos, ESA SP-1200).",
    "Altitudes above the geodetic horizon of WGS84, azimuths from true north through east.",
]
write_csv(
    "arch.csv",
    [
        "The galactic equator (b = 0) above the horizon: highest point, feet, tilt at the core.",
        *FRAME,
        "Feet: where the equator meets the geometric horizon, smaller azimuth first.",
        "tilt_deg, 0..90: angle at Sagittarius A* (ICRS place of J2000 without proper motion, as are",
        "core_*) between the circle b = const through it and the horizontal direction; also given",
        "while the core is below the horizon.",
    ],
    [
        "time_utc",
        "latitude_deg",
        "longitude_deg",
        "top_altitude_deg",
        "top_azimuth_deg",
        "top_galactic_longitude_deg",
        "foot1_azimuth_deg",
        "foot1_galactic_longitude_deg",
        "foot2_azimuth_deg",
        "foot2_galactic_longitude_deg",
        "tilt_deg",
        "core_altitude_deg",
        "core_azimuth_deg",
    ],
    rows,
)
write_csv(
    "galactic_directions.csv",
    ["Altitude and azimuth of random galactic directions.", *FRAME],
    [
        "time_utc",
        "latitude_deg",
        "longitude_deg",
        "galactic_longitude_deg",
        "galactic_latitude_deg",
        "altitude_deg",
        "azimuth_deg",
    ],
    directions,
)
