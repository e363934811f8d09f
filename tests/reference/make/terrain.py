"""terrain_patch.pgm and terrain_skyline.csv: skylines over a real elevation model.

The skylines are computed in another way than rakelight's: lines of sight by Vincenty's direct
formula, sampled so densely that nothing is missed, angles from geocentric vectors on the WGS84
ellipsoid, refraction added as an angle; and once more from the bare posts, each by its own inverse
geodesic.
"""

import datetime
import os

import geographiclib
import matplotlib
import numpy as np
from geographiclib.geodesic import Geodesic
from matplotlib import cbook

OUTPUT_DIRECTORY = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..")
POSTS_PER_DEGREE = 1200
NEAREST_M, FARTHEST_M = 100.0, 30_000.0
EYE_ABOVE_GROUND_M = 2.0
REFRACTION_COEFFICIENT = 0.13
EARTH_RADIUS_M = 6_371_000.0
AZIMUTH_STEP_DEG = 2.0
# Samples lie this share of their distance apart: with slopes up to 45 degrees on both sides of a
# ridge none is missed by more than 0.003 degrees.
SAMPLE_SHARE = 1e-4
PLACES = {
    "valley": (36.5850, -84.2450),
    "summit": (36.4852, -84.2310),
    "corner": (36.7000, -84.4000),
}
A, F = 6_378_137.0, 1 / 298.257223563
B = A * (1 - F)

dem = cbook.get_sample_data("jacksboro_fault_dem.npz")
heights = dem["elevation"].astype(float)  # rows from the north
rows, columns = heights.shape
# xmin and ymin are the outer corner of the north-western post's cell.
NORTH = round((float(dem["ymin"]) - 0.5 / POSTS_PER_DEGREE) * POSTS_PER_DEGREE)
WEST = round((float(dem["xmin"]) + 0.5 / POSTS_PER_DEGREE) * POSTS_PER_DEGREE)
assert abs((float(dem["ymin"]) - 0.5 / POSTS_PER_DEGREE) * POSTS_PER_DEGREE - NORTH) < 1e-6
assert abs((float(dem["xmin"]) + 0.5 / POSTS_PER_DEGREE) * POSTS_PER_DEGREE - WEST) < 1e-6


def ground(latitude_deg, longitude_deg):
    """Bilinear height, NaN outside of the patch."""
    y = NORTH - latitude_deg * POSTS_PER_DEGREE
    x = longitude_deg * POSTS_PER_DEGREE - WEST
    inside = (y >= 0) & (y <= rows - 1) & (x >= 0) & (x <= columns - 1)
    i = np.clip(np.floor(y), 0, rows - 2).astype(int)
    j = np.clip(np.floor(x), 0, columns - 2).astype(int)
    v, u = y - i, x - j
    upper = heights[i, j] * (1 - u) + heights[i, j + 1] * u
    lower = heights[i + 1, j] * (1 - u) + heights[i + 1, j + 1] * u
    return np.where(inside, upper * (1 - v) + lower * v, np.nan)


def vincenty_direct(latitude_deg, longitude_deg, azimuth_deg, distance_m):
    """Latitudes and longitudes in degrees (T. Vincenty, Survey Review 23 (176), 88, 1975)."""
    azimuth, u1 = np.radians(azimuth_deg), np.arctan((1 - F) * np.tan(np.radians(latitude_deg)))
    sigma1 = np.arctan2(np.tan(u1), np.cos(azimuth))
    sin_alpha = np.cos(u1) * np.sin(azimuth)
    cos2_alpha = 1 - sin_alpha**2
    u2 = cos2_alpha * (A**2 - B**2) / B**2
    big_a = 1 + u2 / 16384 * (4096 + u2 * (-768 + u2 * (320 - 175 * u2)))
    big_b = u2 / 1024 * (256 + u2 * (-128 + u2 * (74 - 47 * u2)))
    sigma = distance_m / (B * big_a)
    for _ in range(8):
        m = np.cos(2 * sigma1 + sigma)
        sigma = distance_m / (B * big_a) + big_b * np.sin(sigma) * (
            m
            + big_b
            / 4
            * (
                np.cos(sigma) * (2 * m**2 - 1)
                - big_b / 6 * m * (4 * np.sin(sigma) ** 2 - 3) * (4 * m**2 - 3)
            )
        )
    m = np.cos(2 * sigma1 + sigma)
    s1, c1, s, c = np.sin(u1), np.cos(u1), np.sin(sigma), np.cos(sigma)
    latitude = np.arctan2(
        s1 * c + c1 * s * np.cos(azimuth),
        (1 - F) * np.hypot(sin_alpha, s1 * s - c1 * c * np.cos(azimuth)),
    )
    lam = np.arctan2(s * np.sin(azimuth), c1 * c - s1 * s * np.cos(azimuth))
    big_c = F / 16 * cos2_alpha * (4 + F * (4 - 3 * cos2_alpha))
    longitude = lam - (1 - big_c) * F * sin_alpha * (
        sigma + big_c * s * (m + big_c * c * (2 * m**2 - 1))
    )
    return np.degrees(latitude), longitude_deg + np.degrees(longitude)


def geocentric(latitude_deg, longitude_deg, height_m):
    phi, lam = np.radians(latitude_deg), np.radians(longitude_deg)
    n = A / np.sqrt(1 - F * (2 - F) * np.sin(phi) ** 2)
    return np.array(
        [
            (n + height_m) * np.cos(phi) * np.cos(lam),
            (n + height_m) * np.cos(phi) * np.sin(lam),
            (n * (1 - F) ** 2 + height_m) * np.sin(phi),
        ]
    )


def altitude(eye, latitude_deg, longitude_deg, height_m, distance_m):
    """Degrees over the plane square to the ellipsoid's normal at the eye, refraction added."""
    here = geocentric(*eye)
    phi, lam = np.radians(eye[0]), np.radians(eye[1])
    up = np.array([np.cos(phi) * np.cos(lam), np.cos(phi) * np.sin(lam), np.sin(phi)])
    away = geocentric(latitude_deg, longitude_deg, height_m) - here[:, None]
    rise = up @ away
    run = np.sqrt(np.maximum((away**2).sum(axis=0) - rise**2, 0))
    lift = REFRACTION_COEFFICIENT * distance_m / (2 * EARTH_RADIUS_M)
    return np.degrees(np.arctan2(rise, run) + lift)


# Vincenty against Karney, metres.
check = vincenty_direct(36.6, -84.2, 77.0, np.array([25_000.0]))
karney = Geodesic.WGS84.Direct(36.6, -84.2, 77.0, 25_000.0)
assert abs(check[0][0] - karney["lat2"]) < 1e-10 and abs(check[1][0] - karney["lon2"]) < 1e-10

steps = int(np.ceil(np.log(FARTHEST_M / NEAREST_M) / SAMPLE_SHARE))
distances = NEAREST_M * np.exp(np.linspace(0.0, np.log(FARTHEST_M / NEAREST_M), steps + 1))
post_latitude = np.repeat((NORTH - np.arange(rows)) / POSTS_PER_DEGREE, columns)
post_longitude = np.tile((WEST + np.arange(columns)) / POSTS_PER_DEGREE, rows)
out = []
for name, (latitude, longitude) in PLACES.items():
    eye_m = float(ground(np.array(latitude), np.array(longitude))) + EYE_ABOVE_GROUND_M
    eye = (latitude, longitude, eye_m)
    to_posts = [
        Geodesic.WGS84.Inverse(latitude, longitude, p, q, Geodesic.DISTANCE | Geodesic.AZIMUTH)
        for p, q in zip(post_latitude, post_longitude)
    ]
    post_distance = np.array([line["s12"] for line in to_posts])
    post_azimuth = np.array([line["azi1"] for line in to_posts]) % 360.0
    post_altitude = altitude(eye, post_latitude, post_longitude, heights.ravel(), post_distance)
    in_reach = (post_distance >= NEAREST_M) & (post_distance <= FARTHEST_M)
    for azimuth in np.arange(0.0, 360.0, AZIMUTH_STEP_DEG):
        p, q = vincenty_direct(latitude, longitude, azimuth, distances)
        h = ground(p, q)
        known = np.isfinite(h)
        angles = np.where(known, altitude(eye, p, q, np.nan_to_num(h), distances), -90.0)
        top = int(np.argmax(angles))
        off = (post_azimuth - azimuth + 180.0) % 360.0 - 180.0
        sector = in_reach & (off >= -AZIMUTH_STEP_DEG / 2) & (off < AZIMUTH_STEP_DEG / 2)
        out.append(
            f"{name},{latitude:.4f},{longitude:.4f},{eye_m:.3f},{azimuth:.1f},{angles[top]:.5f},"
            f"{distances[top]:.1f},{h[top]:.2f},{distances[known].max():.1f},"
            + (f"{post_altitude[sector].max():.5f}" if sector.any() else "")
        )
    print(name, eye_m, "done")

with open(os.path.join(OUTPUT_DIRECTORY, "terrain_skyline.csv"), "w") as file:
    made = datetime.datetime.now(datetime.timezone.utc).strftime("%Y-%m-%d")
    file.write(
        f"""# Skylines over the real ground of terrain_patch.pgm, from {NEAREST_M:.0f} to {FARTHEST_M:.0f} m.
# Source: Vincenty's direct formula and WGS84 geocentric vectors, own code, numpy {np.__version__};
# posts by GeographicLib {geographiclib.__version__}. Script make/terrain.py.
# Settings: eye {EYE_ABOVE_GROUND_M} m above the bilinear ground; refraction coefficient {REFRACTION_COEFFICIENT}, as an angle k d / 2 R.
# altitude_deg along the azimuth itself; known_to_m is where that line leaves the patch;
# post_altitude_deg the highest single post within {AZIMUTH_STEP_DEG / 2:.0f} degree of the azimuth (empty: no post there).
# Made {made}.
place,latitude_deg,longitude_deg,eye_m,azimuth_deg,altitude_deg,distance_m,elevation_m,known_to_m,post_altitude_deg
"""
    )
    file.write("\n".join(out) + "\n")

with open(os.path.join(OUTPUT_DIRECTORY, "terrain_patch.pgm"), "wb") as file:
    file.write(
        f"""P5
# Heights in metres, posts every 3 arc-seconds, around the Jacksboro fault, Tennessee.
# First post (north-west) at {NORTH}/{POSTS_PER_DEGREE} N, {WEST}/{POSTS_PER_DEGREE} E degrees.
# From the sample data of matplotlib {matplotlib.__version__} (jacksboro_fault_dem.npz), under its licence.
{columns} {rows}
65535
""".encode()
    )
    file.write(heights.astype(">u2").tobytes())
