"""One peer as a whole program: a table of sites in, a table of windows out.

python peer.py LIBRARY SITES --from DATE --to DATE --search plain|tuned -o OUT

Prints one line of JSON with the library's version and the time that the search itself took.
"""

import time

STARTED = time.perf_counter()

import argparse
import csv
import datetime
import importlib
import json

import job


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("peer", choices=["skyfield", "pyephem", "astropy"])
    parser.add_argument("sites")
    parser.add_argument("--from", dest="first", type=datetime.date.fromisoformat, required=True)
    parser.add_argument("--to", dest="last", type=datetime.date.fromisoformat, required=True)
    parser.add_argument("--search", choices=["plain", "tuned"], default="tuned")
    parser.add_argument("-o", "--output", required=True)
    arguments = parser.parse_args()

    module = importlib.import_module(f"sky_{arguments.peer}")
    from search import SEARCHES

    imported = time.perf_counter()
    first_s, last_s = job.posix(arguments.first), job.posix(arguments.last) + 2.0 * job.DAY_S
    sky = module.Sky(first_s, last_s, arguments.search == "tuned")
    search = SEARCHES[arguments.search](sky, first_s, last_s)
    with open(arguments.output, "w", encoding="utf-8", newline="") as file:
        rows = csv.writer(file, lineterminator="\n")
        rows.writerow("site start_s end_s start_rule end_rule start_rate end_rate".split())
        for site in job.read_sites(arguments.sites):
            noons = site.noons(arguments.first, arguments.last)
            for window in search.windows(site, noons):
                start, end, start_rule, end_rule, start_rate, end_rate = window
                rows.writerow(
                    [site.name, f"{start:.3f}", f"{end:.3f}", start_rule, end_rule]
                    + [f"{start_rate:.4e}", f"{end_rate:.4e}"]
                )
    done = time.perf_counter()
    print(
        json.dumps(
            {
                "version": module.VERSION,
                "import_s": round(imported - STARTED, 3),
                "work_s": round(done - imported, 3),
            }
        )
    )


main()
