"""trips.csv: what the best trip of made-up cases is worth, by an integer programme.

The programme is solved by HiGHS (in SciPy's `milp`). It is written from the rules of a trip alone:
a variable for each place and night and one for each first night; nothing in it follows a way from
night to night, as rakelight's search does.

The cases are made by a generator of whole numbers, the same in tests/trips/search.rs:

    state = seed                              whole, 0 to 2^31 - 1
    next():  state = (state * 1103515245 + 12345) mod 2^31;  returns floor(state / 2^16)

For each place in turn x = next() mod 1000, then y = next() mod 1000; the move between two places
is |x - x'| + |y - y'| km. For each night in turn and each place in turn: if next() mod 100 is less
than percent, the place is worth 1 + next() mod 100 on that night, else it has nothing (and next()
is not called again).
"""

import datetime
import os

import numpy as np
import scipy
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

# seed, nights, places, percent, length, free, stay (0: any), most_km, cost in thousandths per km
CASES = [
    (1, 40, 8, 40, 5, 0, 0, 400, 0),
    (2, 40, 8, 25, 5, 1, 0, 300, 0),
    (3, 40, 10, 30, 7, 2, 0, 300, 0),
    (4, 60, 12, 60, 5, 0, 1, 500, 0),
    (5, 60, 12, 50, 7, 0, 2, 400, 0),
    (6, 60, 15, 20, 7, 3, 0, 350, 0),
    (7, 90, 20, 35, 7, 1, 0, 250, 0),
    (8, 120, 25, 15, 10, 4, 0, 300, 0),
    (9, 120, 30, 30, 7, 0, 0, 200, 0),
    (10, 30, 6, 50, 5, 1, 0, 500, 50),
    (11, 30, 8, 40, 5, 0, 0, 700, 100),
    (12, 40, 8, 35, 6, 2, 0, 400, 30),
    (13, 20, 5, 10, 5, 0, 0, 300, 0),
    (14, 90, 25, 12, 7, 2, 0, 250, 0),
    (15, 365, 50, 6, 7, 2, 0, 400, 0),
    (16, 365, 50, 5, 5, 0, 0, 300, 0),
]


class Numbers:
    def __init__(self, seed):
        self.state = seed

    def next(self):
        self.state = (self.state * 1103515245 + 12345) % 2**31
        return self.state // 2**16


def made(seed, nights, places, percent):
    numbers = Numbers(seed)
    at = [(numbers.next() % 1000, numbers.next() % 1000) for _ in range(places)]
    km = [[abs(x - u) + abs(y - v) for u, v in at] for x, y in at]
    worth = {}
    for night in range(nights):
        for place in range(places):
            if numbers.next() % 100 < percent:
                worth[night, place] = 1 + numbers.next() % 100
    return km, worth


class Programme:
    """A sum to be made as large as can be, under rows of the form `sum <= bound`."""

    def __init__(self):
        self.gains = []
        self.entries = []
        self.most = []

    def variable(self, gain=0.0):
        self.gains.append(gain)
        return len(self.gains) - 1

    def at_most(self, terms, bound):
        row = len(self.most)
        self.entries += [(row, variable, factor) for variable, factor in terms]
        self.most.append(bound)

    def solve(self):
        rows, columns, factors = zip(*self.entries)
        shape = (len(self.most), len(self.gains))
        matrix = coo_array((factors, (rows, columns)), shape=shape).tocsr()
        return milp(
            c=-np.array(self.gains),
            constraints=LinearConstraint(matrix, -np.inf, np.array(self.most, dtype=float)),
            integrality=np.ones(len(self.gains)),
            bounds=Bounds(0, 1),
            options={"mip_rel_gap": 0.0, "time_limit": 3000},
        )


def best(seed, nights, places, percent, length, free, stay, most_km, cost):
    km, worth = made(seed, nights, places, percent)
    programme = Programme()
    first = [programme.variable() for _ in range(nights - length + 1)]
    # Where the group works each night.
    works = {key: programme.variable(points) for key, points in worth.items()}
    of_night = [
        [(place, works[night, place]) for place in range(places) if (night, place) in works]
        for night in range(nights)
    ]
    # One trip, in whose nights alone it works, at one place a night.
    programme.at_most([(start, 1) for start in first], 1)
    for night in range(nights):
        covers = [first[f] for f in range(max(0, night - length + 1), min(night, len(first) - 1) + 1)]
        programme.at_most([(work, 1) for _, work in of_night[night]] + [(f, -1) for f in covers], 0)
    # At most so many nights free, neither the first nor the last.
    everything = [(work, -1) for work in works.values()]
    programme.at_most(everything + [(start, length - free) for start in first], 0)
    for f, start in enumerate(first):
        for end in (f, f + length - 1):
            programme.at_most([(start, 1)] + [(work, -1) for _, work in of_night[end]], 0)
    # From one night to a later one with none between in which the group works: so many days'
    # drives as nights lie between.
    for night in range(nights):
        for later in range(night + 1, min(night + free + 2, nights)):
            between = [(work, -1) for n in range(night + 1, later) for _, work in of_night[n]]
            for place, work in of_night[night]:
                far = [
                    (other, 1)
                    for q, other in of_night[later]
                    if km[place][q] > most_km * (later - night)
                ]
                if far:
                    programme.at_most([(work, 1)] + far + between, 1)
                if cost:
                    for q, other in of_night[later]:
                        length_km = km[place][q]
                        if q != place:
                            drive = programme.variable(-cost / 1000.0 * length_km)
                            programme.at_most(
                                [(work, 1), (other, 1), (drive, -1)] + between, 1
                            )
    if stay:
        assert free == 0, "rows are told by the calendar here"
        for place in range(places):
            for night in range(nights - stay):
                row = [works.get((n, place)) for n in range(night, night + stay + 1)]
                if None not in row:
                    programme.at_most([(work, 1) for work in row], stay)
    result = programme.solve()
    assert result.status == 0, result.message
    chosen = sum(np.round(result.x[start]) for start in first)
    return round(-result.fun * 1000) if chosen else None


def main():
    path = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "trips.csv")
    names = "seed,nights,places,percent,length,free,stay,most_km,cost_thousandths_per_km"
    with open(path, "w", encoding="utf-8", newline="\n") as out:
        out.write("# What the best trip of made-up cases is worth, in thousandths; empty: none.\n")
        out.write(f"# Source: HiGHS in SciPy {scipy.__version__}. Script: make/trips.py.\n")
        out.write("# Settings: relative gap 0; the cases are made as the script says. stay 0: any.\n")
        out.write(f"# Made {datetime.date.today()}.\n")
        out.write(f"{names},worth_thousandths\n")
        for case in CASES:
            begun = datetime.datetime.now()
            worth = best(*case)
            print(case, worth, datetime.datetime.now() - begun, flush=True)
            out.write(",".join(map(str, case)) + f",{'' if worth is None else worth}\n")


if __name__ == "__main__":
    main()
