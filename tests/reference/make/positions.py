"""positions.csv: Sun, Moon and galactic core at random places and instants."""

import numpy as np

from common import (
    SETTINGS,
    SKYFIELD_SOURCE,
    altitude_azimuth_at,
    core,
    earth,
    moon,
    place,
    posix_of,
    rfc3339,
    skyfield_time,
    sun,
    write_csv,
)

ROWS = 600
SEED = 20270513


def phase(sun_vector_km, moon_vector_km):
    """Illuminated fraction, phase angle and elongation in degrees from two geocentric vectors."""
    sun_distance, moon_distance = np.linalg.norm(sun_vector_km), np.linalg.norm(moon_vector_km)
    cross = np.linalg.norm(np.cross(sun_vector_km, moon_vector_km))
    elongation = np.arctan2(cross, np.dot(sun_vector_km, moon_vector_km))
    angle = np.arctan2(
        sun_distance * np.sin(elongation),
        moon_distance - sun_distance * np.cos(elongation),
    )
    return (1.0 + np.cos(angle)) / 2.0, np.degrees(angle), np.degrees(elongation)


random = np.random.default_rng(SEED)
first_ms, last_ms = int(posix_of(1972) * 1000), int(posix_of(2051) * 1000)
rows = []
for _ in range(ROWS):
    # The printed values are the values computed with. POSIX seconds never fall in a leap second.
    latitude_deg = round(random.uniform(-66.0, 68.0), 4)
    longitude_deg = round(random.uniform(-180.0, 180.0), 4)
    elevation_m = int(random.integers(0, 4001))
    posix = int(random.integers(first_ms, last_ms)) / 1000.0

    t = skyfield_time(posix)
    observer = place(latitude_deg, longitude_deg, elevation_m)
    observer_now = observer.at(t)
    sun_altitude, sun_azimuth, _ = altitude_azimuth_at(observer_now, sun)
    moon_altitude, moon_azimuth, _ = altitude_azimuth_at(observer_now, moon)
    core_altitude, core_azimuth, _ = altitude_azimuth_at(observer_now, core)

    earth_now = earth.at(t)
    sun_astrometric, moon_astrometric = earth_now.observe(sun), earth_now.observe(moon)
    fraction, phase_angle, elongation = phase(
        sun_astrometric.apparent().xyz.km, moon_astrometric.apparent().xyz.km
    )
    fraction_astrometric, _, _ = phase(sun_astrometric.xyz.km, moon_astrometric.xyz.km)
    # Distances are the geometric ones: a barycentric light-time distance has the Earth's own
    # 30 km/s times 1.3 s in it, up to 38 km.
    observer_km = (moon - observer).at(t).distance().km
    geocentric_km = (moon - earth).at(t).distance().km

    rows.append(
        [
            rfc3339(posix),
            f"{latitude_deg:.4f}",
            f"{longitude_deg:.4f}",
            elevation_m,
            f"{sun_altitude:.8f}",
            f"{sun_azimuth:.8f}",
            f"{moon_altitude:.8f}",
            f"{moon_azimuth:.8f}",
            f"{observer_km:.4f}",
            f"{geocentric_km:.4f}",
            f"{fraction:.9f}",
            f"{phase_angle:.8f}",
            f"{elongation:.8f}",
            f"{fraction_astrometric:.9f}",
            f"{core_altitude:.8f}",
            f"{core_azimuth:.8f}",
        ]
    )

write_csv(
    "positions.csv",
    [
        "Topocentric Sun, Moon and galactic core (Sagittarius A*) at random places and instants.",
        f"Source: {SKYFIELD_SOURCE}. Script: make/positions.py, seed {SEED}.",
        f"Settings: {SETTINGS}.",
        "Altitudes are of the centre, geometric (airless); azimuths from true north through east.",
        "Apparent places: light time, annual and diurnal aberration, Skyfield's light deflection.",
        "elevation_m is above the WGS84 ellipsoid. moon_distance_km is the geometric",
        "distance from the observer, moon_geocentric_distance_km from the centre of the Earth.",
        "Fraction, phase angle and elongation are geocentric from apparent vectors (elongation the",
        "separation of Sun and Moon, tan phase = R sin E / (D - R cos E));",
        "moon_fraction_astrometric is the same without aberration and deflection.",
        "Core: ICRS 17h45m40.0409s -29d00m28.118s, epoch J2000, -3.151 and -5.547 mas/yr.",
    ],
    [
        "time_utc",
        "latitude_deg",
        "longitude_deg",
        "elevation_m",
        "sun_altitude_deg",
        "sun_azimuth_deg",
        "moon_altitude_deg",
        "moon_azimuth_deg",
        "moon_distance_km",
        "moon_geocentric_distance_km",
        "moon_fraction",
        "moon_phase_angle_deg",
        "moon_elongation_deg",
        "moon_fraction_astrometric",
        "core_altitude_deg",
        "core_azimuth_deg",
    ],
    rows,
)
