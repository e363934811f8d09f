"""windows_edges.csv and windows_cases.csv: every window of a year for a few briefs, by brute force.

Each night is sampled every 20 s while the Sun is low (every 1 s where the rules are nearly met or
nearly broken), then each edge is bisected to 1 ms. No minimum length, but windows under 1 s are
left out.
"""

import numpy as np
from skyfield.api import wgs84

from common import (
    SETTINGS,
    SKYFIELD_SOURCE,
    altitude_azimuth,
    altitude_azimuth_at,
    bisect,
    core,
    earth,
    moon,
    place,
    posix_of,
    rfc3339,
    signed_deg,
    skyfield_time,
    standard_pressure_hpa,
    sun,
    true_altitude_of_apparent,
    write_csv,
)

FIRST_EVENING, EVENINGS = posix_of(2027), 365
DAY_S, STEP_S = 86400.0, 20.0
SUN_MAX_DEG = -18.0
# Pole of the galactic frame in ICRS, 192.85948 +27.12825 (ESA SP-1200, vol. 1, sec. 1.5.3).
POLE_RA, POLE_DEC = np.radians(192.85948), np.radians(27.12825)
GALACTIC_POLE = np.array(
    [
        np.cos(POLE_DEC) * np.cos(POLE_RA),
        np.cos(POLE_DEC) * np.sin(POLE_RA),
        np.sin(POLE_DEC),
    ]
)

RAKING = {"moon_altitude": (3.0, 30.0), "moon_fraction": (0.03, 0.5), "light_angle": (40.0, 150.0)}
SUBJECT_OFFSET = {"core_offset": (-60.0, 60.0)}
SITES = {
    "a": ((-31.4, 139.2, 120.0), [
        ("raking_facing_target", "target", None, 10.0, RAKING),
        ("raking_facing_arch", "arch", None, 10.0, RAKING),
        ("raking_facing_subject", "subject", 128.0, 10.0, {**RAKING, **SUBJECT_OFFSET}),
    ]),
    "b": ((50.3, -5.2, 40.0), [
        ("raking_high_latitude", "subject", 200.0, 5.0, {**RAKING, **SUBJECT_OFFSET}),
    ]),
    "c": ((46.6, 9.9, 2400.0), [
        ("dark_facing_target", "target", None, 8.0, {"moon_altitude": (None, -0.5)}),
    ]),
}  # fmt: skip


def quantities(site, posix):
    """Everything the rules look at, at an array of instants of one site."""
    t = skyfield_time(posix)
    topos = wgs84.latlon(site[0], site[1], elevation_m=site[2])
    now, earth_now = place(*site).at(t), earth.at(t)
    sun_altitude, _, _ = altitude_azimuth_at(now, sun)
    moon_altitude, moon_azimuth, _ = altitude_azimuth_at(now, moon)
    core_altitude, core_azimuth, _ = altitude_azimuth_at(now, core)

    sun_km = earth_now.observe(sun).apparent().xyz.km
    moon_km = earth_now.observe(moon).apparent().xyz.km
    from_moon_to_sun = sun_km - moon_km
    cosine = np.sum(-moon_km * from_moon_to_sun, axis=0) / (
        np.linalg.norm(moon_km, axis=0) * np.linalg.norm(from_moon_to_sun, axis=0)
    )

    # The highest point of a great circle stands opposite the azimuth of its pole above the horizon.
    north, east, up = np.einsum("ij...,j->i...", topos.rotation_at(t), GALACTIC_POLE)
    upper = np.where(up >= 0.0, 1.0, -1.0)
    arch_azimuth = np.degrees(np.arctan2(-upper * east, -upper * north)) % 360.0
    return {
        "sun_altitude": sun_altitude,
        "moon_altitude": moon_altitude,
        "moon_azimuth": moon_azimuth,
        "core_altitude": core_altitude,
        "core_azimuth": core_azimuth,
        "moon_fraction": (1.0 + cosine) / 2.0,
        "arch_azimuth": arch_azimuth,
    }


class Case:
    """One brief: margins of its rules, positive where a rule holds."""

    def __init__(self, site, name, facing, bearing_deg, core_minimum_deg, rules):
        self.site, self.name, self.facing, self.bearing_deg = site, name, facing, bearing_deg
        self.core_minimum_deg, self.rules = core_minimum_deg, rules
        self.pressure_hpa = standard_pressure_hpa(site[2])
        self.core_true_deg = true_altitude_of_apparent(core_minimum_deg, self.pressure_hpa)
        self.moon_true_deg = [
            None if edge is None else true_altitude_of_apparent(edge, self.pressure_hpa)
            for edge in rules["moon_altitude"]
        ]

    def margins(self, q):
        """Margins in degrees, of the fraction in hundredths, one row a rule."""

        def inside(value, band):
            low, high = band
            parts = [value - low] if low is not None else []
            parts += [high - value] if high is not None else []
            return np.minimum.reduce(parts)

        facing = {
            "target": q["core_azimuth"],
            "arch": q["arch_azimuth"],
            "subject": self.bearing_deg,
        }[self.facing]
        rows = {
            "sun": SUN_MAX_DEG - q["sun_altitude"],
            "core_altitude": q["core_altitude"] - self.core_true_deg,
            "moon_altitude": inside(q["moon_altitude"], self.moon_true_deg),
        }
        if "moon_fraction" in self.rules:
            rows["moon_fraction"] = 100.0 * inside(q["moon_fraction"], self.rules["moon_fraction"])
        if "light_angle" in self.rules:
            light_angle = np.abs(signed_deg(q["moon_azimuth"] - facing))
            rows["light_angle"] = inside(light_angle, self.rules["light_angle"])
        if "core_offset" in self.rules:
            rows["core_offset"] = inside(
                signed_deg(q["core_azimuth"] - facing), self.rules["core_offset"]
            )
        return list(rows), np.array(list(rows.values()))

    def least_margin(self, posix):
        return self.margins(quantities(self.site, posix))[1].min(axis=0)


def dark_spells(site):
    """For each night its mean solar noon and the samples while the Sun is below -17.5 or so."""
    noons = FIRST_EVENING + DAY_S / 2 - site[1] / 15.0 * 3600.0 + DAY_S * np.arange(EVENINGS)
    coarse = np.arange(0.0, DAY_S + 1.0, 300.0)
    for noon in noons:
        low = coarse[altitude_azimuth(place(*site), sun, noon + coarse)[0] < SUN_MAX_DEG + 0.5]
        if low.size:
            # No site here is dark at noon, so no window is cut there.
            assert low[0] > 0.0 and low[-1] < DAY_S
            yield noon, np.arange(noon + low[0] - 300.0, noon + low[-1] + 301.0, STEP_S)


def refined(case, samples, margin):
    """The samples with more of them where two edges may hide between two of them."""
    left, right = margin[1:-1] - margin[:-2], margin[2:] - margin[1:-1]
    swing = np.maximum(np.abs(left), np.abs(right))
    turn = np.nonzero((left * right <= 0.0) & (np.abs(margin[1:-1]) <= 2.0 * swing))[0] + 1
    if turn.size == 0:
        return samples, margin
    extra = np.concatenate([np.arange(samples[i - 1], samples[i + 1], 1.0) for i in turn])
    extra = np.setdiff1d(extra, samples)
    samples, margin = np.append(samples, extra), np.append(margin, case.least_margin(extra))
    order = np.argsort(samples)
    return samples[order], margin[order]


def windows_of_night(case, samples, margin):
    samples, margin = refined(case, samples, margin)
    good = margin >= 0.0
    assert not good[0] and not good[-1]
    change = np.nonzero(good[1:] != good[:-1])[0]
    if change.size == 0:
        # A night that nearly has a window is told, for the tests' tolerances.
        nearest = margin.max()
        if nearest > -0.02:
            moment = rfc3339(samples[margin.argmax()], 0)
            near_misses.append(f"{case.name} {moment} margin {nearest:.4f}")
        return
    edges = bisect(case.least_margin, samples[change], samples[change + 1])
    # Just outside each edge the rule that set it is the one that fails.
    outside = edges + np.where(good[change], 0.05, -0.05)
    names, margins = case.margins(quantities(case.site, outside))
    rule = margins.argmin(axis=0)
    columns = np.arange(edges.size)
    later = case.margins(quantities(case.site, outside + 0.5))[1][rule, columns]
    earlier = case.margins(quantities(case.site, outside - 0.5))[1][rule, columns]
    rates = 60.0 * (later - earlier)
    for start in range(0, edges.size, 2):
        end = start + 1
        assert edges[end] - edges[start] >= 1.0
        peak = margin[(samples > edges[start]) & (samples < edges[end])].max()
        yield (
            edges[start],
            edges[end],
            names[rule[start]],
            names[rule[end]],
            rates[start],
            rates[end],
            peak,
        )


rows, cases, near_misses = [], [], []
for site, briefs in SITES.values():
    site_cases = [Case(site, *brief) for brief in briefs]
    cases += site_cases
    for noon, samples in dark_spells(site):
        q = quantities(site, samples)
        for case in site_cases:
            margin = case.margins(q)[1].min(axis=0)
            for window in windows_of_night(case, samples, margin):
                start, end, start_rule, end_rule, start_rate, end_rate, peak = window
                rows.append(
                    [
                        case.name,
                        rfc3339(noon, 0),
                        rfc3339(start, 2),
                        rfc3339(end, 2),
                        start_rule,
                        end_rule,
                        f"{start_rate:.6f}",
                        f"{end_rate:.6f}",
                        f"{peak:.4f}",
                    ]
                )
order = {case.name: index for index, case in enumerate(cases)}
rows.sort(key=lambda row: (order[row[0]], row[2]))
for case in cases:
    print(f"{case.name}: {sum(row[0] == case.name for row in rows)} windows")

write_csv(
    "windows_edges.csv",
    [
        "Every window of the evenings 2027-01-01 to 2027-12-31 for the cases of windows_cases.csv.",
        f"Source: {SKYFIELD_SOURCE}. Script: make/windows.py: samples every 20 s, edges good to 0.01 s.",
        f"Settings: {SETTINGS}; sea-level horizon.",
        "Rules: Sun's centre geometric; core (Sagittarius A*) and the Moon's centre by apparent",
        "altitude, the limits turned into true altitudes by Saemundsson's refraction at the site's",
        "pressure and 10 C; fraction geocentric from apparent vectors; light angle between facing and",
        "Moon's azimuth; facing arch is the azimuth of the galactic equator's highest point (geometric,",
        "no aberration). No minimum length; every window is longer than 1 s.",
        "night_start_utc is local mean solar noon; no window reaches a noon.",
        "start_rule, end_rule: the rule that sets the edge. *_rate_per_min: how fast its margin grows",
        "(degrees a minute, fraction in hundredths a minute; negative at ends); an error e in the",
        "quantity moves the edge by e/rate minutes. peak_margin: the largest of the least margins inside.",
        "Nights that miss a window by a hair (margin above -0.02), which a small difference may open:",
        "; ".join(near_misses) or "none",
    ],
    [
        "case",
        "night_start_utc",
        "start_utc",
        "end_utc",
        "start_rule",
        "end_rule",
        "start_rate_per_min",
        "end_rate_per_min",
        "peak_margin",
    ],
    rows,
)


def text(value):
    return "" if value is None else f"{value:g}"


write_csv(
    "windows_cases.csv",
    [
        "The briefs of windows_edges.csv; an empty cell is no limit, bands are inclusive.",
        "Script: make/windows.py. Pressure: 1010 hPa * (1 - 2.25577e-5 h)^5.25588.",
        "*_apparent_* are the limits of the brief, *_true_* the same without refraction.",
    ],
    [
        "case",
        "latitude_deg",
        "longitude_deg",
        "elevation_m",
        "pressure_hpa",
        "temperature_c",
        "facing",
        "subject_bearing_deg",
        "sun_altitude_max_deg",
        "core_apparent_altitude_min_deg",
        "core_true_altitude_min_deg",
        "moon_apparent_altitude_min_deg",
        "moon_apparent_altitude_max_deg",
        "moon_true_altitude_min_deg",
        "moon_true_altitude_max_deg",
        "moon_fraction_min",
        "moon_fraction_max",
        "light_angle_min_deg",
        "light_angle_max_deg",
        "core_offset_min_deg",
        "core_offset_max_deg",
    ],
    [
        [case.name, *(text(value) for value in case.site), f"{case.pressure_hpa:.4f}", "10"]
        + [case.facing, text(case.bearing_deg), text(SUN_MAX_DEG), text(case.core_minimum_deg)]
        + [f"{case.core_true_deg:.6f}", *(text(edge) for edge in case.rules["moon_altitude"])]
        + ["" if edge is None else f"{edge:.6f}" for edge in case.moon_true_deg]
        + [
            text(edge)
            for rule in ("moon_fraction", "light_angle", "core_offset")
            for edge in case.rules.get(rule, (None, None))
        ]
        for case in cases
    ],
)
