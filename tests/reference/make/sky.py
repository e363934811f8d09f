"""src/ephemeris/sky.bin: the motions of Earth, Moon and Sun from 1899 to 2100, packed.

Data: JPL DE423 (Folkner 2010), as the package de423 carries it (MIT licence); precession and
nutation: IAU 2006/2000A by ERFA. Places are apparent: light time and aberration to all orders in
v/c, without the deflection of light by the Sun (the Sun itself has none, the Moon less than
0.0001"). DE423's time is TDB; TDB - TT at the Earth's centre is by ERFA's dtdb, so nothing is
neglected there (it is below 0.002 s, 0.001" of Moon).

Each series is cut into pieces of equal length, and each piece is a Chebyshev series by
interpolation at the Chebyshev points, a component after the other, in steps of `unit`.

Layout, little-endian:
- `sky 1` and a line feed; i32 first day (TT, from J2000), u32 days
- for each series: u8 days of a piece, u8 terms, f64 unit, then 3 x terms u8: the bits of each
  coefficient, a component after the other
- the pieces of the first series, then of the next: the coefficients as signed numbers of so many
  bits, the lowest bit first, each piece filled up to a whole byte
- 8 bytes of 0, so that 8 bytes can be read anywhere

The series, in this order:
- orientation: celestial intermediate pole X and Y and the CIO locator s, radians
- velocity: the Earth's, barycentric, over that of light, GCRS
- Moon: from the Earth's centre, CIRS, km: the apparent direction, with the distance between the
  Earth's and the Moon's centre at the moment the light left
- Sun: from the Earth's centre, CIRS, km: the apparent direction, with the length of the light's way
"""

import importlib.metadata
import pathlib
import struct
import warnings

import de423
import erfa
import numpy as np
from jplephem.ephem import Ephemeris

WRITES = pathlib.Path(__file__).parents[3] / "src" / "ephemeris" / "sky.bin"
FIRST_DAY, DAYS = -36528, 73056
# Days of a piece, terms, unit. Of the units each is about 0.004" seen from the Earth.
SERIES = {
    "orientation": (16, 7, 2e-8),
    "velocity": (32, 7, 2e-8),
    "moon": (8, 11, 0.0075),
    "sun": (16, 7, 3.0),
}
J2000_JD = 2451545.0
DAY_SECONDS = 86400.0
LIGHT_KM_S = 299792.458
ARCSEC = 180.0 * 3600.0 / np.pi
SEED = 20270513

warnings.simplefilter("ignore", erfa.ErfaWarning)
jpl = Ephemeris(de423)


def earth_and_moon(tdb_days):
    """The Earth's barycentric place (km) and velocity (km/s), the Moon's place from it (km)."""
    both, both_rate = jpl.position_and_velocity("earthmoon", J2000_JD, tdb_days)
    moon, moon_rate = jpl.position_and_velocity("moon", J2000_JD, tdb_days)
    place, rate = both - moon * jpl.earth_share, both_rate - moon_rate * jpl.earth_share
    return place.T, rate.T / DAY_SECONDS, moon.T


def length(vectors):
    return np.linalg.norm(vectors, axis=-1, keepdims=True)


def aberrated(direction, velocity):
    """Directions as one moving with `velocity` (over that of light) sees them, to all orders."""
    inverse_lorentz = np.sqrt(1.0 - np.sum(velocity**2, axis=1, keepdims=True))
    along = np.sum(direction * velocity, axis=1, keepdims=True)
    turned = inverse_lorentz * direction + (1.0 + along / (1.0 + inverse_lorentz)) * velocity
    return turned / length(turned)


def apparent(earth, velocity, tdb_days, place_at):
    """Direction of a body as its light arrives, and the days that the light took."""
    took = np.zeros_like(tdb_days)
    for _ in range(3):
        way = place_at(tdb_days - took) - earth
        took = length(way)[:, 0] / LIGHT_KM_S / DAY_SECONDS
    return aberrated(way / length(way), velocity), took


def moon_place(tdb_days):
    earth, _, moon = earth_and_moon(tdb_days)
    return earth + moon


def exact(tt_days):
    """Each series at days from J2000 (TT)."""
    tdb_days = tt_days + erfa.dtdb(J2000_JD, tt_days, 0.0, 0.0, 0.0, 0.0) / DAY_SECONDS
    x, y, s = erfa.xys06a(J2000_JD, tt_days)
    to_cirs = erfa.c2ixys(x, y, s)
    earth, rate, _ = earth_and_moon(tdb_days)
    velocity = rate / LIGHT_KM_S
    moon, moon_took = apparent(earth, velocity, tdb_days, moon_place)
    moon_km = length(earth_and_moon(tdb_days - moon_took)[2])
    sun, sun_took = apparent(
        earth, velocity, tdb_days, lambda days: jpl.position("sun", J2000_JD, days).T
    )
    sun_km = sun_took[:, None] * DAY_SECONDS * LIGHT_KM_S
    return {
        "orientation": np.stack([x, y, s], axis=1),
        "velocity": velocity,
        "moon": np.einsum("nij,nj->ni", to_cirs, moon * moon_km),
        "sun": np.einsum("nij,nj->ni", to_cirs, sun * sun_km),
    }


def fitted(name):
    """Coefficients in steps: pieces x components x terms."""
    days, terms, unit = SERIES[name]
    pieces = DAYS // days
    points = np.cos(np.pi * (np.arange(terms) + 0.5) / terms)
    middles = FIRST_DAY + days * (np.arange(pieces) + 0.5)
    times = (middles[:, None] + 0.5 * days * points).ravel()
    # In parts, for the memory.
    values = np.concatenate([exact(part)[name] for part in np.array_split(times, 40)])
    values = values.reshape(pieces, terms, 3)
    to_terms = np.linalg.inv(np.polynomial.chebyshev.chebvander(points, terms - 1))
    return np.rint(np.einsum("jk,pkc->pcj", to_terms, values) / unit).astype(np.int64)


def widths(steps):
    """The bits that hold each coefficient, with its sign, in every piece: components x terms."""
    most = np.maximum(steps.max(axis=0), -1 - steps.min(axis=0))
    return np.array([[int(m).bit_length() + 1 for m in component] for component in most])


def packed(steps, bits):
    """The pieces of a series."""
    flat = steps.reshape(len(steps), -1)
    columns = [
        (flat[:, [index]] >> np.arange(width)) & 1 for index, width in enumerate(bits.ravel())
    ]
    return np.packbits(
        np.concatenate(columns, axis=1).astype(np.uint8), axis=1, bitorder="little"
    ).tobytes()


def evaluated(steps, name, tt_days):
    days, terms, unit = SERIES[name]
    place = (tt_days - FIRST_DAY) / days
    index = np.minimum(place.astype(int), len(steps) - 1)
    vander = np.polynomial.chebyshev.chebvander(2.0 * (place - index) - 1.0, terms - 1)
    return unit * np.einsum("nj,ncj->nc", vander, steps[index])


def arcsec(name, difference, value):
    scale = length(value) if name in ("moon", "sun") else 1.0
    return length(difference / scale)[:, 0] * ARCSEC


def main():
    table = {name: fitted(name) for name in SERIES}
    header = b"sky 1\n" + struct.pack("<iI", FIRST_DAY, DAYS)
    body = b""
    for name, steps in table.items():
        days, terms, unit = SERIES[name]
        bits = widths(steps)
        header += struct.pack("<BBd", days, terms, unit) + bytes(int(b) for b in bits.ravel())
        part = packed(steps, bits)
        print(f"{name}: {len(steps)} pieces of {len(part) // len(steps)} bytes, {len(part)} in all")
        print("  bits " + "; ".join(" ".join(map(str, row)) for row in bits))
        body += part
    WRITES.write_bytes(header + body + bytes(8))
    versions = [f"{p} {importlib.metadata.version(p)}" for p in ("de423", "jplephem", "pyerfa")]
    print(f"{len(header) + len(body) + 8} bytes; {', '.join(versions)}")

    random = np.random.default_rng(SEED)
    times = FIRST_DAY + DAYS * random.random(100_000)
    truth = exact(times)
    for name, steps in table.items():
        off = arcsec(name, evaluated(steps, name, times) - truth[name], truth[name])
        rms = np.sqrt(np.mean(off**2))
        print(f'{name} against DE423: worst {off.max():.4f}", rms {rms:.4f}"')
        if name in ("moon", "sun"):
            apart = (length(evaluated(steps, name, times)) - length(truth[name]))[:, 0]
            print(f"  distance: worst {np.abs(apart).max():.4f} km, rms {apart.std():.4f} km")


if __name__ == "__main__":
    main()
