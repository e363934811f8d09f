"""Lines of src/ that the tests run, by module, from an lcov file.

    cargo llvm-cov --locked --lib --bins --tests --lcov --output-path target/lines.info
    python3 tests/coverage.py target/lines.info [--missing [PERCENT]]

Test modules inside src/ run whole whenever they run at all and would flatter
the figure, so everything from `#[cfg(test)]` to the end of a file is left out.
--missing also lists, for each file of the library below PERCENT (100), the
lines that no test runs. Needs Python alone.
"""

import argparse
import pathlib
import sys

ROOT = pathlib.Path(__file__).resolve().parent.parent


def first_test_line(path):
    """The line where the tests inside a file begin; they stand last."""
    for number, line in enumerate(path.read_text().splitlines(), 1):
        if line.startswith("#[cfg(test)]"):
            return number
    return sys.maxsize


def read(lcov):
    """{path below src: {line: how often it ran}}"""
    files = {}
    counts = {}
    end = sys.maxsize
    for line in pathlib.Path(lcov).read_text().splitlines():
        kind, _, rest = line.partition(":")
        if kind == "SF":
            path = pathlib.Path(rest)
            counts = {}
            if path.is_relative_to(ROOT / "src"):
                end = first_test_line(path)
                name = path.relative_to(ROOT / "src")
                counts = files.setdefault(name, {})
        elif kind == "DA":
            number, count = (int(part) for part in rest.split(",")[:2])
            if number < end:
                counts[number] = counts.get(number, 0) + count
    return files


def module(path):
    return path.parts[0] if len(path.parts) > 1 else "top"


def ranges(numbers):
    """Neighbouring lines as 12-15."""
    found = []
    for number in numbers:
        if found and number == found[-1][1] + 1:
            found[-1][1] = number
        else:
            found.append([number, number])
    return ", ".join(f"{a}" if a == b else f"{a}-{b}" for a, b in found)


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("lcov")
    parser.add_argument("--missing", nargs="?", type=float, const=100.0)
    options = parser.parse_args()
    files = read(options.lcov)
    if not files:
        sys.exit(f"{options.lcov}: found no file of {ROOT / 'src'}, expected lcov of this tree")
    sums = {}
    for path, counts in files.items():
        keys = [module(path), "whole"]
        if module(path) not in ("cli", "top"):
            keys.append("library")
        for key in keys:
            run, lines = sums.get(key, (0, 0))
            sums[key] = (run + sum(map(bool, counts.values())), lines + len(counts))
    order = sorted(set(sums) - {"library", "whole"}) + ["library", "whole"]
    print("| module | lines | run | share |\n| --- | ---: | ---: | ---: |")
    for key in order:
        run, lines = sums[key]
        print(f"| {key} | {lines} | {run} | {100 * run / lines:.1f} % |")
    if options.missing is None:
        return
    print()
    for path, counts in sorted(files.items()):
        missed = [number for number, count in sorted(counts.items()) if not count]
        share = 100 * (1 - len(missed) / max(len(counts), 1))
        if missed and share < options.missing:
            print(f"src/{path} {share:.1f} %: {ranges(missed)}")


main()
