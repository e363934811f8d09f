"""What all the fixture scripts share: times with UT1 = UTC, DE421, angles, roots, CSV files.

Times are floats: UTC seconds since 1970-01-01T00:00:00Z without leap seconds (POSIX seconds).
"""

import datetime
import os

import numpy as np
import skyfield
from skyfield.api import Star, load, load_file, wgs84
from skyfield.timelib import Timescale
from skyfield_data import get_skyfield_data_path

OUTPUT_DIRECTORY = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..")
SETTINGS = "UT1 = UTC (delta T = 32.184 s + leap seconds, 37 s held after 2017), no polar motion"
SKYFIELD_SOURCE = f"Skyfield {skyfield.__version__}, JPL DE421"

JULIAN_DATE_OF_1970 = 2440587.5
MOON_RADIUS_KM = 1737.4
EARTH_RADIUS_KM = 6378.137
ARCMIN = 1.0 / 60.0

# Leap seconds: the table that comes inside Skyfield (IERS Bulletin C). It starts with the step of
# 1972-07-01 to 11 s; the 10 s from 1972-01-01 on stand before it.
_builtin = load.timescale(builtin=True)
LEAP_POSIX = np.append(
    (2441317.5 - JULIAN_DATE_OF_1970) * 86400.0,
    (np.asarray(_builtin.leap_dates) - JULIAN_DATE_OF_1970) * 86400.0,
)
LEAP_TAI_MINUS_UTC = np.append(10.0, np.asarray(_builtin.leap_offsets, dtype=float))
assert LEAP_TAI_MINUS_UTC[1] == 11.0 and LEAP_TAI_MINUS_UTC[-1] == 37.0


def tai_minus_utc(posix):
    """TAI - UTC in seconds at UTC instants from 1972 on."""
    return LEAP_TAI_MINUS_UTC[np.searchsorted(LEAP_POSIX, posix, side="right") - 1]


def _delta_t_with_ut1_equal_to_utc(tt_julian_date):
    """TT - UTC in seconds, given TT: what Skyfield shall take for TT - UT1."""
    tt = (np.asarray(tt_julian_date) - JULIAN_DATE_OF_1970) * 86400.0
    starts = LEAP_POSIX + LEAP_TAI_MINUS_UTC + 32.184
    # 1 ms of slack: a double holds a Julian date only to some 40 microseconds.
    index = np.searchsorted(starts - 1e-3, tt, side="right") - 1
    return 32.184 + LEAP_TAI_MINUS_UTC[np.maximum(index, 0)]


timescale = Timescale(
    _delta_t_with_ut1_equal_to_utc, _builtin.leap_dates, _builtin.leap_offsets
)
ephemeris = load_file(os.path.join(get_skyfield_data_path(), "de421.bsp"))
earth, sun, moon = ephemeris["earth"], ephemeris["sun"], ephemeris["moon"]

# Sagittarius A*, ICRS, epoch J2000: Reid & Brunthaler, ApJ 616, 872 (2004).
CORE_RA_DEG = 15.0 * (17 + 45 / 60 + 40.0409 / 3600)
CORE_DEC_DEG = -(29 + 0 / 60 + 28.118 / 3600)
core = Star(
    ra_hours=(17, 45, 40.0409),
    dec_degrees=(-29, 0, 28.118),
    ra_mas_per_year=-3.151,
    dec_mas_per_year=-5.547,
)


def skyfield_time(posix):
    """The Skyfield time of POSIX seconds, an array or one number."""
    posix = np.asarray(posix, dtype=float)
    days, seconds = np.divmod(posix, 86400.0)
    fraction = (seconds + tai_minus_utc(posix) + 32.184) / 86400.0
    return timescale.tt_jd(days + JULIAN_DATE_OF_1970, fraction)


def posix_of(year, month=1, day=1, hour=0, minute=0, second=0):
    moment = datetime.datetime(
        year, month, day, hour, minute, second, tzinfo=datetime.timezone.utc
    )
    return moment.timestamp()


def rfc3339(posix, decimals=3):
    """RFC 3339 UTC, rounded to the given decimals of a second."""
    unit = 10**decimals
    whole, part = divmod(int(round(float(posix) * unit)), unit)
    moment = datetime.datetime(1970, 1, 1) + datetime.timedelta(seconds=whole)
    text = moment.strftime("%Y-%m-%dT%H:%M:%S")
    return f"{text}.{part:0{decimals}d}Z" if decimals else f"{text}Z"


def place(latitude_deg, longitude_deg, elevation_m):
    """An observer on the WGS84 ellipsoid."""
    return earth + wgs84.latlon(latitude_deg, longitude_deg, elevation_m=elevation_m)


def altitude_azimuth(observer, body, posix):
    """Geometric (airless) altitude and azimuth of the topocentric apparent place, degrees, and km."""
    return altitude_azimuth_at(observer.at(skyfield_time(posix)), body)


def altitude_azimuth_at(observer_now, body):
    altitude, azimuth, distance = observer_now.observe(body).apparent().altaz()
    return altitude.degrees, azimuth.degrees, distance.km


def saemundsson_arcmin(true_altitude_deg):
    """Refraction at 1010 hPa and 10 C from the true altitude (Saemundsson 1986, Meeus eq. 16.4)."""
    argument = true_altitude_deg + 10.3 / (true_altitude_deg + 5.11)
    return 1.02 / np.tan(np.radians(argument))


def standard_pressure_hpa(elevation_m):
    """Pressure at an elevation: 1010 hPa at sea level, standard atmosphere's shape."""
    return 1010.0 * (1.0 - 2.25577e-5 * elevation_m) ** 5.25588


def true_altitude_of_apparent(apparent_deg, pressure_hpa=1010.0, temperature_c=10.0):
    """The true altitude that refraction lifts to the apparent one, by bisection, degrees."""
    factor = pressure_hpa / 1010.0 * 283.0 / (273.0 + temperature_c) / 60.0
    low, high = apparent_deg - 1.0, apparent_deg + 0.1
    for _ in range(60):
        middle = 0.5 * (low + high)
        if middle + factor * saemundsson_arcmin(middle) < apparent_deg:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def signed_deg(angle_deg):
    """The same angle in -180..180."""
    return (np.asarray(angle_deg) + 180.0) % 360.0 - 180.0


def bisect(function, low, high, tolerance=1e-3):
    """Roots of a vectorised function, one in each bracket low[i]..high[i] (seconds)."""
    low, high = np.array(low, dtype=float), np.array(high, dtype=float)
    if low.size == 0:
        return low
    sign_low = np.sign(function(low))
    while np.max(high - low) > tolerance:
        middle = 0.5 * (low + high)
        before = np.sign(function(middle)) == sign_low
        low = np.where(before, middle, low)
        high = np.where(before, high, middle)
    return 0.5 * (low + high)


def write_csv(name, header_lines, columns, rows):
    """Writes a fixture: `#` lines, the column names, the rows (already text or numbers)."""
    path = os.path.join(OUTPUT_DIRECTORY, name)
    made = datetime.datetime.now(datetime.timezone.utc).strftime("%Y-%m-%d")
    with open(path, "w", encoding="utf-8", newline="\n") as file:
        for line in [*header_lines, f"Made {made}."]:
            file.write(f"# {line}\n")
        file.write(",".join(columns) + "\n")
        for row in rows:
            file.write(",".join(str(value) for value in row) + "\n")
    print(f"{name}: {len(rows)} rows")
