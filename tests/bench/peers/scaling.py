"""What rakelight takes as sites and years grow: time and memory of the whole process.

python scaling.py [--rakelight PATH] [--most SITES] [--repeat N] [--jobs N] [--instructions]

A busy machine makes times worthless, instructions it leaves alone: with --instructions each case
runs under Valgrind on one thread, fifty times slower, and what it executed is counted.
"""

import argparse
import datetime
import os
import re
import tempfile

import job
from process import NOTHING_FOUND, median, run, run_with_memory, scan

HERE = os.path.dirname(os.path.abspath(__file__))
PROGRAM = os.path.join(HERE, "..", "..", "..", "target", "release", "rakelight")
FIRST = datetime.date(2027, 1, 1)
LASTS = [datetime.date(*last) for last in ((2027, 12, 31), (2036, 12, 31), (2099, 12, 31))]
# Sites and last evenings.
CASES = [
    *((count, LASTS[0]) for count in (1, 2, 10, 100, 1_000, 10_000)),
    *((count, LASTS[1]) for count in (1, 10, 100)),
    (1, LASTS[2]),
]
# One month, the table of sites on its way through.
STREAMED = [(1, datetime.date(2027, 1, 31)), (100_000, datetime.date(2027, 1, 31))]


def options():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--rakelight", default=PROGRAM, help="the program; the release build")
    parser.add_argument("--most", type=int, default=100_000, help="leave out more sites than this")
    parser.add_argument("--repeat", type=int, default=5, help="runs of each; long ones once")
    parser.add_argument("--jobs", default=None, help="threads, as rakelight's own option")
    parser.add_argument("--instructions", action="store_true", help="count them, with Valgrind")
    chosen = parser.parse_args()
    if not os.access(chosen.rakelight, os.X_OK):
        parser.error(f"no program at {chosen.rakelight}; build it with cargo build --release")
    return chosen


def count_instructions(program, most):
    """Instructions of the whole process, and what a further site-year adds."""
    print("   sites  years  million instructions  of a further site-year")
    single = {}
    with tempfile.TemporaryDirectory() as folder:
        names = ("sites.csv", "windows.csv", "valgrind.txt")
        sites, found, log = (os.path.join(folder, name) for name in names)
        for count, last in CASES:
            if count > min(most, 1_000):
                continue
            job.write_sites(sites, count)
            years = last.year - FIRST.year + 1
            watched = ["valgrind", "--tool=callgrind", "--callgrind-out-file=/dev/null"]
            watched.append(f"--log-file={log}")
            watched += scan(program, sites, FIRST, last, found, "--jobs", "1")
            run(watched, (0, NOTHING_FOUND))
            with open(log, encoding="utf-8") as file:
                millions = int(re.search(r"Collected : (\d+)", file.read()).group(1)) / 1e6
            line = f"{count:8} {years:6} {millions:21.2f}"
            if count == 1:
                single[last] = millions
            else:
                line += f" {(millions - single[last]) / ((count - 1) * years):23.2f}"
            print(line, flush=True)


def main():
    chosen = options()
    program, more = os.path.abspath(chosen.rakelight), []
    if chosen.instructions:
        return count_instructions(program, chosen.most)
    if chosen.jobs:
        more = ["--jobs", chosen.jobs]
    print(run([program, "--version"]).text.strip())
    print("   sites  years  site-years  windows  fastest s  median s  processor s  peak MiB  ", end="")
    print("ms a further site-year: wall, processor")
    single = {}
    with tempfile.TemporaryDirectory() as folder:
        sites, found = os.path.join(folder, "sites.csv"), os.path.join(folder, "windows.csv")
        for count, last in CASES + STREAMED:
            if count > chosen.most:
                continue
            years = ((last - FIRST).days + 1) / 365.25
            job.write_sites(sites, count)
            command = scan(program, sites, FIRST, last, found, *more)
            runs = [run_with_memory(command, (0, NOTHING_FOUND))]
            for _ in range(chosen.repeat - 1 if runs[0].wall_s < 10.0 else 0):
                runs.append(run(command, (0, NOTHING_FOUND)))
            walls = [done.wall_s for done in runs]
            # The processor time of GNU time's own start is a millisecond.
            cpu = min(done.cpu_s for done in runs)
            with open(found, encoding="utf-8") as file:
                windows = sum(1 for _ in file) - 1
            peak = runs[0].peak_mib
            line = f"{count:8} {years:6.2f} {count * years:11.1f} {windows:8} {min(walls):10.4f} "
            line += f"{median(walls):9.4f} {cpu:12.4f} {'' if peak is None else f'{peak:9.1f}'}"
            # What is beyond one site over the same evenings: reading, sweeping and writing alone.
            if count == 1:
                single[last] = min(walls), cpu
            elif last in single:
                further = (count - 1) * years / 1000.0
                wall_ms = (min(walls) - single[last][0]) / further
                line += f"  {wall_ms:9.3f} {(cpu - single[last][1]) / further:9.3f}"
            print(line, flush=True)


main()
