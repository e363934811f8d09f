"""Two ways to find windows with any library that tells where Sun, Moon and core stand.

A library is a `Sky`: `fraction(times)` geocentric, and `over(site)`, which has `sun(times)`
(altitude), `moon(times)` and `core(times)` (altitude, azimuth), in degrees and geometric. Times
are numpy arrays of POSIX seconds.

`plain` is what one writes first: the dark hours of every night in steps, Sun, Moon and core
computed at each step, edges refined. `tuned` is what one writes after thinking about the job as
long as we did: dusk and dawn by root finding, whole nights left out by the fraction, and each body
computed only where the rules before it hold. Both compute the fraction once an hour for all sites,
and step by ten minutes, half the least window.
"""

import numpy as np

from job import (
    CORE_MIN_APPARENT_DEG,
    CORE_OFFSET_DEG,
    DAY_S,
    LIGHT_ANGLE_DEG,
    LISTED_MINUTES,
    MOON_APPARENT_DEG,
    MOON_FRACTION,
    SUN_MAX_DEG,
)

STEP_S = 600.0
FRACTION_STEP_S = 3600.0
# Straight lines between hourly fractions are 6e-6 off at most, 5 s of an edge; brackets are
# widened by more than that before the exact fraction is asked.
WIDER_S = 30.0
TOLERANCE_S = 0.02
RULES = ("sun", "moon_fraction", "moon_altitude", "light_angle", "core_altitude", "core_offset")


def inside(value, band):
    return np.minimum(value - band[0], band[1] - value)


def offset_deg(azimuth_deg, facing_deg):
    return (azimuth_deg - facing_deg + 180.0) % 360.0 - 180.0


def roots(function, low, high):
    """A root of a vectorised function in each bracket, by the Illinois variant of false position.

    A bracket without a change of sign gives the end that is nearer to one.
    """
    low, high = np.array(low, dtype=float), np.array(high, dtype=float)
    if low.size == 0:
        return low
    f_low, f_high = function(low), function(high)
    last = np.where(np.abs(f_low) < np.abs(f_high), low, high)
    live = np.nonzero((f_low < 0.0) != (f_high < 0.0))[0]
    for _ in range(60):
        if live.size == 0:
            break
        a, b, fa, fb = low[live], high[live], f_low[live], f_high[live]
        x = b - fb * (b - a) / (fb - fa)
        fx = function(x)
        crossed = (fx < 0.0) != (fb < 0.0)
        low[live], f_low[live] = np.where(crossed, b, a), np.where(crossed, fb, 0.5 * fa)
        high[live], f_high[live] = x, fx
        moved = np.abs(x - last[live])
        last[live] = x
        live = live[(moved > TOLERANCE_S) & (fx != 0.0)]
    return last


class Rules:
    """The rules at one site as margins in degrees (the fraction in hundredths), held if >= 0."""

    def __init__(self, sky, site):
        self.sky, self.over, self.facing_deg = sky, sky.over(site), site.facing_deg
        self.core_min_deg = site.true_altitude_deg(CORE_MIN_APPARENT_DEG)
        self.moon_deg = [site.true_altitude_deg(edge) for edge in MOON_APPARENT_DEG]

    def sun(self, times):
        return SUN_MAX_DEG - self.over.sun(times)

    def fraction(self, times):
        return 100.0 * inside(self.sky.fraction(times), MOON_FRACTION)

    def moon(self, times):
        """Margins of the Moon's altitude and of the light angle."""
        altitude, azimuth = self.over.moon(times)
        light_angle = np.abs(offset_deg(azimuth, self.facing_deg))
        return inside(altitude, self.moon_deg), inside(light_angle, LIGHT_ANGLE_DEG)

    def core(self, times):
        """Margins of the core's altitude and offset."""
        altitude, azimuth = self.over.core(times)
        offset = offset_deg(azimuth, self.facing_deg)
        return altitude - self.core_min_deg, inside(offset, CORE_OFFSET_DEG)

    def all(self, times):
        rows = [self.sun(times), self.fraction(times), *self.moon(times), *self.core(times)]
        return np.array(rows)

    def least(self, times):
        return self.all(times).min(axis=0)

    def setters(self, edges, outward):
        """The rule that sets each edge, and how fast its margin changes a second."""
        before, after = self.all(edges + 0.5 * outward), self.all(edges - 0.5 * outward)
        # Just outside, the rule that sets the edge is the one that fails.
        which = self.all(edges + outward).argmin(axis=0)
        columns = np.arange(edges.size)
        return [RULES[i] for i in which], np.abs(after - before)[which, columns]


def windows_of(rules, runs, times, held, hard):
    """Windows from samples: `runs` numbers the night of each, `hard` marks its first and last."""
    start = held & np.append(True, ~held[:-1] | (runs[1:] != runs[:-1]))
    end = held & np.append(~held[1:] | (runs[1:] != runs[:-1]), True)
    starts, ends = np.nonzero(start)[0], np.nonzero(end)[0]

    def refined(at, side):
        # A window that begins or ends with the darkness itself is refined already.
        edge = times[at].copy()
        soft = np.nonzero(~hard[at])[0]
        inner, outer = times[at[soft]], times[at[soft] + side]
        edge[soft] = roots(rules.least, inner - side * WIDER_S, outer + side * WIDER_S)
        return edge

    from_s, to_s = refined(starts, -1), refined(ends, 1)
    long = to_s - from_s >= LISTED_MINUTES * 60.0
    from_s, to_s = from_s[long], to_s[long]
    if from_s.size == 0:
        return []
    edges = np.concatenate([from_s, to_s])
    outward = np.concatenate([-np.ones_like(from_s), np.ones_like(to_s)])
    names, rates = rules.setters(edges, outward)
    count = from_s.size
    return [
        (from_s[i], to_s[i], names[i], names[count + i], rates[i], rates[count + i])
        for i in range(count)
    ]


class Search:
    """What both searches share: the fraction, which is the same for all sites, once an hour."""

    def __init__(self, sky, first_s, last_s):
        self.sky = sky
        self.hours = np.arange(first_s - DAY_S, last_s + 2.0 * DAY_S, FRACTION_STEP_S)
        self.hourly = 100.0 * inside(sky.fraction(self.hours), MOON_FRACTION)

    def quick_fraction(self, times):
        return np.interp(times, self.hours, self.hourly)


class Plain(Search):
    """Sun, Moon and core at every dark step."""

    def windows(self, site, noons):
        rules = Rules(self.sky, site)
        grid = np.arange(noons[0], noons[-1] + DAY_S + 1.0, STEP_S)
        # Which hours are dark: the Sun every half hour, and half an hour on either side.
        dark = rules.sun(grid[::3]) >= 0.0
        near = dark | np.append(dark[1:], False) | np.append(False, dark[:-1])
        keep = np.repeat(near, 3)[: grid.size]
        times = grid[keep]
        if times.size == 0:
            return []
        runs = np.cumsum(np.append(0, np.diff(times) > 1.5 * STEP_S))
        margins = [rules.sun(times), *rules.moon(times), *rules.core(times)]
        held = np.minimum.reduce([self.quick_fraction(times), *margins]) >= 0.0
        return windows_of(rules, runs, times, held, np.zeros(times.size, dtype=bool))


class Tuned(Search):
    """The cheapest rule first, the next only where it holds."""

    def dark_spells(self, rules, noons):
        """Dusk and dawn of the nights on which the fraction may suit."""
        noons = np.array(noons)
        thrice = self.quick_fraction(noons + DAY_S * np.array([[0.0], [0.5], [1.0]]))
        noons = noons[thrice.max(axis=0) > -0.01]
        if noons.size == 0:
            return noons, noons
        # True midnight is up to 17 minutes off; a darkness that could hold a window holds one of
        # these instants.
        tries = noons + 0.5 * DAY_S + np.array([[-1200.0], [0.0], [1200.0]])
        margins = rules.sun(tries.ravel()).reshape(tries.shape)
        best = margins.argmax(axis=0)
        columns = np.arange(noons.size)
        dark = margins[best, columns] >= 0.0
        middle, noons = tries[best, columns][dark], noons[dark]
        return roots(rules.sun, noons, middle), roots(rules.sun, middle, noons + DAY_S)

    def windows(self, site, noons):
        rules = Rules(self.sky, site)
        dusks, dawns = self.dark_spells(rules, noons)
        # Steps of one clock for all sites, between them dusk and dawn themselves.
        parts = [
            np.concatenate(([dusk], STEP_S * np.arange(dusk // STEP_S + 1, dawn / STEP_S), [dawn]))
            for dusk, dawn in zip(dusks, dawns)
        ]
        if not parts:
            return []
        times = np.concatenate(parts)
        runs = np.repeat(np.arange(len(parts)), [part.size for part in parts])
        hard = np.zeros(times.size, dtype=bool)
        ends = np.cumsum([part.size for part in parts])
        hard[ends - 1] = True
        hard[np.append(0, ends[:-1])] = True
        held = self.quick_fraction(times) >= 0.0
        for body in (rules.moon, rules.core):
            at = np.nonzero(held)[0]
            if at.size == 0:
                return []
            held[at] = np.minimum(*body(times[at])) >= 0.0
        return windows_of(rules, runs, times, held, hard)


SEARCHES = {"plain": Plain, "tuned": Tuned}
