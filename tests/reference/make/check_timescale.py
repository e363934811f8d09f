"""Proves that the timescale of common.py has UT1 = UTC and the sidereal time that goes with it."""

import erfa
import numpy as np

from common import posix_of, rfc3339, skyfield_time, tai_minus_utc

years = [1972, 1979, 1981, 1990, 1999, 2006, 2016, 2017, 2024, 2035, 2050]
posix = np.array([posix_of(year, 1 + 5 * (year % 2), 3, 4, 5, 6) for year in years])
# The second before and after every kind of leap second as well.
posix = np.append(posix, [posix_of(2017, 1, 1) - 1.0, posix_of(2017, 1, 1)])
t = skyfield_time(posix)

utc = 2440587.5 + posix / 86400.0
ut1_minus_utc = (t.whole - 2440587.5 - np.floor(posix / 86400.0)) * 86400.0
ut1_minus_utc += t.ut1_fraction * 86400.0 - posix % 86400.0
uta, utb = np.floor(utc), posix / 86400.0 + 0.5 - np.floor(posix / 86400.0 + 0.5)
uta = 2440587.0 + np.floor(posix / 86400.0 + 0.5)
tta, ttb = uta, utb + (32.184 + tai_minus_utc(posix)) / 86400.0
gast = erfa.gst06a(uta, utb, tta, ttb)
difference = (np.radians(t.gast * 15.0) - gast + np.pi) % (2 * np.pi) - np.pi

# Skyfield's own conversion back to the calendar must give the instants we meant.
calendar = t.utc_iso(places=3)
assert calendar == [rfc3339(second) for second in posix]
for text, error, arcsec in zip(calendar, ut1_minus_utc, np.degrees(difference) * 3600):
    print(f"{text}  UT1-UTC {error * 1e3:+.6f} ms  GAST - ERFA gst06a {arcsec:+.6f} arcsec")
assert np.max(np.abs(ut1_minus_utc)) < 1e-3

# ERFA's own table of leap seconds, from 1972 on.
table = [row for row in erfa.leap_seconds.get() if row["year"] >= 1972]
starts = np.array([posix_of(int(row["year"]), int(row["month"])) for row in table])
offsets = np.array([row["tai_utc"] for row in table])
assert np.all(tai_minus_utc(starts) == offsets)
assert np.all(tai_minus_utc(starts[1:] - 1.0) == offsets[:-1])
print(f"{len(table)} leap second rows agree with ERFA's")
assert np.max(np.abs(np.degrees(difference) * 3600)) < 0.01
