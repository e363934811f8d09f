"""chances.csv: the chance of at least k good nights, by SciPy's Poisson binomial distribution."""

import datetime
import os

import numpy as np
import scipy
from scipy.stats import poisson_binom

ROWS = 80
SEED = 19930401
DIGITS = 3


def nights(random):
    """Chances as a climate has them, all alike, near the ends, or anything."""
    count = int(random.integers(1, 41))
    kind = random.integers(4)
    if kind == 0:
        chances = np.full(count, random.uniform(0.05, 0.95))
    elif kind == 1:
        chances = random.uniform(0.3, 0.8, count)
    elif kind == 2:
        chances = random.choice([0.0, 0.001, 0.02, 0.98, 0.999, 1.0], count)
    else:
        chances = random.uniform(0.0, 1.0, count)
    return [round(float(chance), DIGITS) for chance in chances]


def main():
    random = np.random.default_rng(SEED)
    path = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "chances.csv")
    with open(path, "w", encoding="utf-8", newline="\n") as file:
        file.write(
            "# The chance that at least k of several independent nights are good.\n"
            f"# Source: SciPy {scipy.__version__} (stats.poisson_binom.sf), numpy {np.__version__}.\n"
            f"# Settings: seed {SEED}; 1 to 40 nights, their chances to {DIGITS} decimals.\n"
            "# Script make/chances.py.\n"
            f"# Made {datetime.date.today().isoformat()}.\n"
            "k,chance,chances\n"
        )
        for _ in range(ROWS):
            chances = nights(random)
            k = int(random.integers(0, len(chances) + 1))
            chance = float(poisson_binom.sf(k - 1, chances))
            file.write(f"{k},{chance:.15g},{' '.join(map(str, chances))}\n")


if __name__ == "__main__":
    main()
