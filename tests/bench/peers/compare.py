"""rakelight and general-purpose astronomy libraries at the same job, side by side.

Checks that they find the same windows, then prints what each took. See README.md. Exit code 1
when windows disagree.
"""

import argparse
import csv
import datetime
import json
import os
import sys
import tempfile

import job
from process import NOTHING_FOUND, mebibytes, median, run, run_with_memory, scan

HERE = os.path.dirname(os.path.abspath(__file__))
PROGRAM = os.path.join(HERE, "..", "..", "..", "target", "release", "rakelight")
PEERS = ("pyephem", "skyfield", "astropy")
# rakelight is milliseconds, so each pair has several runs of it, half before and half after.
RUNS_A_PAIR = 8

# How far edges may be apart. 3 s: half a second of rounding, UT1 - UTC (0.9 s at most), and the
# theories' own differences. Where the margin of a rule creeps, the edge is as uncertain as 30" of
# angle. Where the illuminated fraction sets the edge: places with and without aberration differ
# by 20.5", for which the Moon needs 46 s at its slowest among the stars (10.8 degrees a day past
# the Sun), and each library has its own convention.
EDGE_S = 3.0
CREEPING_DEG = 30.0 / 3600.0
FRACTION_CONVENTION_S = 46.0


class Window:
    def __init__(self, start_s, end_s, start_slack_s=0.0, end_slack_s=0.0, rules=("", "")):
        self.edges, self.slack, self.rules = (
            (start_s, end_s),
            (start_slack_s, end_slack_s),
            rules,
        )

    def minutes(self):
        return (self.edges[1] - self.edges[0]) / 60.0

    def overlaps(self, other):
        return self.edges[0] < other.edges[1] and other.edges[0] < self.edges[1]

    def __str__(self):
        return " to ".join(
            datetime.datetime.fromtimestamp(edge, datetime.timezone.utc).isoformat(" ", "seconds")[:19]
            for edge in self.edges
        )


def slack_s(rule, rate):
    """How far apart an edge may be that `rule` sets, whose margin changes at `rate` a second."""
    if rule == "moon_fraction":
        return EDGE_S + FRACTION_CONVENTION_S
    return max(EDGE_S, CREEPING_DEG / rate) if rate > 0.0 else EDGE_S


def windows_of_rakelight(path):
    found = {}
    with open(path, encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            edges = [
                datetime.datetime.fromisoformat(row[name]).timestamp()
                for name in ("start_utc", "end_utc")
            ]
            found.setdefault(row["site"], []).append(Window(*edges))
    return found


def windows_of_peer(path):
    found = {}
    with open(path, encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            rules = row["start_rule"], row["end_rule"]
            slack = [
                slack_s(rule, float(row[f"{side}_rate"]))
                for rule, side in zip(rules, ("start", "end"))
            ]
            window = Window(float(row["start_s"]), float(row["end_s"]), *slack, rules)
            found.setdefault(row["site"], []).append(window)
    return found


class Agreement:
    """What two lists of windows have in common and what not."""

    def __init__(self, ours, theirs):
        self.same, self.faults, self.brief = 0, [], 0
        self.worst = {"other": 0.0, "moon_fraction": 0.0}
        for site in sorted({*ours, *theirs}):
            self.compare(site, ours.get(site, []), theirs.get(site, []))

    def compare(self, site, ours, theirs):
        left = list(theirs)
        for window in ours:
            twin = next((other for other in left if window.overlaps(other)), None)
            if twin is None:
                self.faults.append(f"{site}: only rakelight has {window}")
                continue
            left.remove(twin)
            self.same += 1
            for side in (0, 1):
                apart = abs(window.edges[side] - twin.edges[side])
                rule = twin.rules[side]
                kind = rule if rule == "moon_fraction" else "other"
                self.worst[kind] = max(self.worst[kind], apart)
                if apart > twin.slack[side]:
                    self.faults.append(
                        f"{site}: {window} and {twin} differ by {apart:.1f} s at an edge that "
                        f"{rule} sets; {twin.slack[side]:.1f} s are allowed"
                    )
        for window in left:
            if window.minutes() - sum(window.slack) / 60.0 > job.MIN_MINUTES:
                self.faults.append(f"{site}: only the peer has {window}")
            elif window.minutes() >= job.MIN_MINUTES:
                self.brief += 1

    def text(self):
        parts = [
            f"{self.same} windows the same, edges within {self.worst['other']:.1f} s",
            f"within {self.worst['moon_fraction']:.0f} s where the fraction sets them",
        ][: 2 if self.worst["moon_fraction"] else 1]
        if self.brief:
            parts.append(f"{self.brief} only as long as the least length, within their edges")
        return "; ".join(parts)


def options():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--sites", type=int, default=1, help="how many invented sites")
    parser.add_argument("--from", dest="first", type=datetime.date.fromisoformat)
    parser.add_argument("--to", dest="last", type=datetime.date.fromisoformat)
    parser.add_argument("--years", type=int, default=1, help="years from 2027 on")
    parser.add_argument("--peers", default=",".join(PEERS), help="some of " + ",".join(PEERS))
    parser.add_argument("--search", default="plain,tuned", help="plain, tuned or both")
    parser.add_argument("--repeat", type=int, default=3, help="pairs of each kind")
    parser.add_argument("--rakelight", default=PROGRAM, help="the program; the release build")
    chosen = parser.parse_args()
    chosen.first = chosen.first or datetime.date(2027, 1, 1)
    chosen.last = chosen.last or datetime.date(chosen.first.year + chosen.years - 1, 12, 31)
    chosen.peers, chosen.search = chosen.peers.split(","), chosen.search.split(",")
    if chosen.sites < 1 or chosen.repeat < 1 or chosen.last < chosen.first:
        parser.error("sites and repeat are at least 1, and --to is not before --from")
    if not {*chosen.peers} <= {*PEERS} or not {*chosen.search} <= {"plain", "tuned"}:
        parser.error(f"peers are {', '.join(PEERS)}; searches are plain and tuned")
    if not os.access(chosen.rakelight, os.X_OK):
        parser.error(f"no program at {chosen.rakelight}; build it with cargo build --release")
    chosen.rakelight = os.path.abspath(chosen.rakelight)
    return chosen


def main():
    chosen = options()
    disagree = False
    with tempfile.TemporaryDirectory() as folder:
        sites, ours, theirs = (os.path.join(folder, name) for name in ("sites.csv", "a.csv", "b.csv"))
        job.write_sites(sites, chosen.sites)
        mine = scan(chosen.rakelight, sites, chosen.first, chosen.last, ours)
        memory = mebibytes(run_with_memory(mine, (0, NOTHING_FOUND)).peak_mib)
        found = windows_of_rakelight(ours)
        version = run([chosen.rakelight, "--version"]).text.strip()
        print(f"{version}: {chosen.sites} sites, evenings {chosen.first} to {chosen.last}: ", end="")
        print(f"{sum(map(len, found.values()))} windows at {len(found)} sites, {memory}\n", flush=True)
        for peer in chosen.peers:
            for search in chosen.search:
                command = [sys.executable, "-W", "ignore", os.path.join(HERE, "peer.py"), peer, sites]
                command += ["--from", str(chosen.first), "--to", str(chosen.last)]
                command += ["--search", search, "-o", theirs]
                agreement = pair(peer, search, mine, command, chosen.repeat, found, theirs)
                disagree |= bool(agreement.faults)
    sys.exit(1 if disagree else 0)


def pair(peer, search, mine, command, repeat, found, theirs):
    """Runs both in turn, prints times, memory and ratios."""
    own, other, works, ratios, cpu_ratios = [], [], [], [], []
    for _ in range(repeat):
        beside = [run(mine, (0, NOTHING_FOUND)) for _ in range(RUNS_A_PAIR // 2)]
        other.append(run_with_memory(command))
        beside += [run(mine, (0, NOTHING_FOUND)) for _ in range(RUNS_A_PAIR // 2)]
        ratios.append(other[-1].wall_s / median([done.wall_s for done in beside]))
        cpu_ratios.append(other[-1].cpu_s / median([done.cpu_s for done in beside]))
        told = json.loads(other[-1].text)
        works.append(told["work_s"])
        own += beside
    agreement = Agreement(found, windows_of_peer(theirs))
    print(f"{told['version']}, {search}: {agreement.text()}")
    for fault in agreement.faults:
        print(f"  DISAGREE {fault}")

    def took(runs, unit):
        walls = [unit * done.wall_s for done in runs]
        cpu = min(unit * done.cpu_s for done in runs)
        return f"{min(walls):8.2f} fastest {median(walls):8.2f} median {cpu:8.2f} processor"

    print(f"  peer, s        {took(other, 1.0)}, {mebibytes(other[-1].peak_mib)}", end="")
    print(f"; without start and imports {min(works):.2f} fastest")
    print(f"  rakelight, ms  {took(own, 1000.0)}")
    print(
        f"  ratio          {min(ratios):.0f} to {max(ratios):.0f} pair by pair, median "
        f"{median(ratios):.0f}; of processor time, median {median(cpu_ratios):.0f}\n",
        flush=True,
    )
    return agreement


main()
