"""src/light/town_dome_table.rs: the dome of a town as its distance gives it.

A second computation of the law in src/light/town_glow.rs, with a quadrature of its own (Simpson's
rule, no splitting at the nearest point), and the form of src/light/sky_glow.rs fitted to it: what is
brighter toward the town than the same sky brightened evenly. Needs numpy and scipy.
"""

import pathlib

import numpy as np
from scipy.optimize import least_squares

RADIUS_KM, TOP_KM = 6371.0, 60.0
BETA_0, UP, GROUND = 2.55e19 * 4.6e-27 * 1e5, 0.15, 0.15
CLARITY = 0.5
LUMENS_PER_HEAD = 1000.0
EXTINCTION_MAG = 0.2
# Half width and top of every dome, degrees: left free, the fit gives 28 to 38 and 28 to 30.
SHAPE = (34.0, 28.0)
ALTITUDES = [10.0, 15.0, 20.0, 30.0, 45.0]
AZIMUTHS = [0.0, 10.0, 20.0, 30.0, 45.0, 60.0, 90.0, 135.0, 180.0]
DISTANCES_KM = np.array([0.5 * 800 ** (i / 35) for i in range(36)])
WRITES = pathlib.Path(__file__).parents[3] / "src" / "light" / "town_dome_table.rs"


def simpson(values, x, axis=-1):
    from scipy.integrate import simpson as rule

    return rule(values, x=x, axis=axis)


def column(start, end, scale, nodes=129):
    """Integral of exp(-scale x height) along straight legs, km; start and end (..., 3)."""
    # The quadrature crowds at the end near the ground.
    length = np.linalg.norm(end - start, axis=-1)
    x = np.linspace(0, 1, nodes)
    share = x * x
    points = start[..., None, :] + share[:, None] * (end - start)[..., None, :]
    height = np.linalg.norm(points, axis=-1) - RADIUS_KM
    return simpson(np.exp(-scale * height) * 2 * x, x) * length


def aerosol_phase(w):
    inner = 7.5 * np.exp(-0.1249 * w**2 / (1 + 0.04996 * w**2))
    middle = 1.88 * np.exp(-0.07226 * w + 0.0002406 * w**2)
    outer = 0.025 + 0.015 * np.sin(np.radians(2.25 * w - 369))
    return np.where(w <= 10, inner, np.where(w <= 124, middle, outer))


def kernel(distance_km, altitude_deg, azimuth_deg, clarity=CLARITY):
    """cd/m2 per lamp lumen."""
    chi = distance_km / RADIUS_KM
    z, b = np.radians(90 - altitude_deg), np.radians(azimuth_deg)
    observer = np.array([0, 0, RADIUS_KM])
    town = RADIUS_KM * np.array([np.sin(chi), 0, np.cos(chi)])
    up = town / RADIUS_KM
    view = np.array([np.sin(z) * np.cos(b), np.sin(z) * np.sin(b), np.cos(z)])
    if view @ up <= 0:
        return 0.0
    first = max(0.0, (RADIUS_KM - observer @ up) / (view @ up))
    rise = RADIUS_KM * np.cos(z)
    last = -rise + np.sqrt(rise**2 + (RADIUS_KM + TOP_KM) ** 2 - RADIUS_KM**2)
    if first >= last:
        return 0.0
    nearest = min(max(first, (town - observer) @ view), last)
    total = 0.0
    a = 0.657 + 0.059 * clarity
    for begin, end in ((first, nearest), (nearest, last)):
        if end <= begin:
            continue
        x = np.linspace(0, 1, 257)
        # Crowds at the nearest point and, before it, where the ray rises.
        if begin == nearest:
            share, weight = x**3, 3 * x**2
        else:
            share, weight = 1 - (1 - x**2) ** 2, 4 * x * (1 - x**2)
        along = begin + (end - begin) * share
        q = observer + along[:, None] * view
        s = q - town
        length = np.maximum(np.linalg.norm(s, axis=1), 1e-9)
        cos_psi = s @ up / length
        height = np.linalg.norm(q, axis=1) - RADIUS_KM
        w = np.degrees(np.arccos(np.clip(-(s @ view) / length, -1, 1)))
        ends = np.broadcast_to(town, q.shape), np.broadcast_to(observer, q.shape)
        p_m, p_a = column(ends[0], q, 0.104), column(ends[0], q, a)
        q_m, q_a = column(ends[1], q, 0.104), column(ends[1], q, a)
        psi = np.arccos(np.clip(cos_psi, -1, 1))
        upward = (2 * GROUND * (1 - UP) * cos_psi + 0.554 * UP * psi**4) / (2 * np.pi)
        twice = 1 + BETA_0 * (11.11 * clarity * p_a + p_m / 3)
        scattered = BETA_0 * (
            np.exp(-0.104 * height) * 3 * (1 + np.cos(np.radians(w)) ** 2) / (16 * np.pi)
            + 11.11 * clarity * np.exp(-a * height) * aerosol_phase(w)
        )
        dimmed = np.exp(-BETA_0 * (p_m + q_m + 11.778 * clarity * (p_a + q_a)))
        light = np.where(cos_psi > 0, upward / length**2 * dimmed * twice * scattered, 0.0)
        total += simpson(light * weight, x) * (end - begin)
    # beta and du in km against |s|^2 in km2: per km2 to per m2.
    return total * 1e-6


def growth(altitude_deg):
    path = 1 / np.sqrt(1 - 0.96 * np.cos(np.radians(altitude_deg)) ** 2)
    return max((0.4 + 0.6 * path) * 10 ** (-0.4 * EXTINCTION_MAG * (path - 1)), 1.0)


def dome(half_width_deg, top_deg, altitude_deg, azimuth_deg):
    across = np.cos(min(azimuth_deg / half_width_deg, 2) * np.pi / 4) ** 2
    round_ = max((altitude_deg - 45) / 45, 0)
    sideways = across + (half_width_deg / 180 - across) * round_
    return sideways * 10 ** (-altitude_deg / top_deg)


def main():
    # Toward the town it matters most.
    weights = np.array([1 if az <= 30 else 0.5 if az <= 60 else 0.3 for az in AZIMUTHS])
    laws, zeniths, lows = [], [], []
    for distance in DISTANCES_KM:
        zeniths.append(kernel(distance, 90.0, 0.0))
        laws.append(np.array([[kernel(distance, h, az) for az in AZIMUTHS] for h in ALTITUDES]))
    even = np.array([[growth(h)] * len(AZIMUTHS) for h in ALTITUDES])

    def ratios(shape, low, zenith, law):
        form = np.array([[dome(*shape, h, az) for az in AZIMUTHS] for h in ALTITUDES])
        return np.log((zenith * even + low * form) / law)

    def fitted_low(shape, zenith, law):
        def misses(p):
            return (ratios(shape, np.exp(p[0]), zenith, law) * weights).ravel()

        return np.exp(least_squares(misses, [np.log(law[0, 0]) + 1]).x[0])

    for distance, zenith, law in zip(DISTANCES_KM, zeniths, laws):
        lows.append(fitted_low(SHAPE, zenith, law))
        off = ratios(SHAPE, lows[-1], zenith, law)
        ahead, near, every = off[1:, 0], off[:, :5], off
        spread = [np.exp(np.abs(part).max()) for part in (ahead, near, every)]
        spread.append(np.exp(np.sqrt((near**2).mean())))
        print(f"{distance:7.2f} km: worst toward it {spread[0]:.2f}, within 45 {spread[1]:.2f}, "
              f"anywhere {spread[2]:.2f}; rms within 45 {spread[3]:.2f}; ahead {np.round(np.exp(off[:,0]),2)}")
    lines = [
        "//! The domes of towns by their distance: made by `tests/reference/make/town_domes.py`.",
        "",
        "/// The nearest distance of the table, km; the next ones are in even steps of the",
        "/// logarithm.",
        f"pub(super) const NEAREST_KM: f64 = {DISTANCES_KM[0]:.1f};",
        "/// The farthest, km.",
        f"pub(super) const FARTHEST_KM: f64 = {DISTANCES_KM[-1]:.1f};",
        "/// Half width of every dome, degrees.",
        f"pub(super) const HALF_WIDTH_DEG: f64 = {SHAPE[0]:.1f};",
        "/// Top of every dome, degrees.",
        f"pub(super) const TOP_DEG: f64 = {SHAPE[1]:.1f};",
        "",
        "/// Natural logarithms of what a lamp lumen adds, cd/m2: at the zenith, and, above an",
        "/// even sky, in the middle of the dome at the horizon.",
        f"pub(super) static LN_GLOW: [[f64; 2]; {len(DISTANCES_KM)}] = [",
    ]
    for zenith, low in zip(zeniths, lows):
        lines.append(f"    [{np.log(zenith):.4f}, {np.log(low):.4f}],")
    WRITES.write_text("\n".join([*lines, "];", ""]))


if __name__ == "__main__":
    main()
