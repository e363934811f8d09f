"""Which pictures there are, and how the program draws them.

One line of `kinds.csv` is a kind, one of `nights.csv` a night. A kind that this
build of the program does not know is left out.
"""

import csv
import dataclasses
import pathlib
import re
import shlex
import subprocess
import tomllib

HERE = pathlib.Path(__file__).resolve().parent
TOP = HERE.parents[1]
PAPERS = ("light", "dark")
SIZES = ("a4", "phone")


@dataclasses.dataclass(frozen=True)
class Case:
    """One thing to draw; several looks and formats are made of it."""

    kind: str
    why: str
    site: str
    when: str
    arguments: tuple

    @property
    def is_page(self):
        """Whether it is a page of HTML, which has the looks in itself."""
        return self.arguments[0] != "chart"

    @property
    def name(self):
        words = f"{self.kind}-{self.site}-{self.when}-{self.why}"
        return re.sub(r"[^A-Za-z0-9]+", "-", words).strip("-").lower()

    @property
    def caption(self):
        return f"{self.kind}, {self.site} {self.when}: {self.why}".rstrip(": ")


def table(name):
    with open(HERE / name, newline="", encoding="utf-8") as lines:
        return list(csv.DictReader(lines))


def add_options(parser):
    """The options that choose pictures."""
    parser.add_argument("--program", default=TOP / "target/debug/rakelight",
                        help="the program [default: target/debug/rakelight]")
    parser.add_argument("--out", type=pathlib.Path, default=TOP / "target/pictures",
                        help="folder for what is made [default: target/pictures]")
    for option, what in (("kinds", "kinds of pictures"), ("sites", "demo sites"),
                         ("why", "nights by their column why"),
                         ("papers", "light, dark"), ("sizes", "a4, phone")):
        parser.add_argument(f"--{option}", type=lambda text: text.split(","),
                            help=f"only these {what}, separated by commas")


def known(program, arguments):
    """Whether this build has the command."""
    command = [part for part in arguments[:2] if not part.startswith("{")]
    return not subprocess.run([program, *command, "--help"], capture_output=True).returncode


def views(site):
    """The names of a site's views; of a site with one view an empty one."""
    read = tomllib.loads((TOP / f"demo-sites/{site}.toml").read_text(encoding="utf-8"))
    return [view["name"] for view in read.get("view", [])] or [""]


def chosen(options):
    """The cases asked for."""
    wanted = lambda values, value: values is None or value in values
    sites = sorted(path.stem for path in (TOP / "demo-sites").glob("*.toml"))
    cases = []
    for line in table("kinds.csv"):
        kind = line["kind"]
        arguments = shlex.split(line["arguments"])
        if not wanted(options.kinds, kind):
            continue
        if not known(options.program, arguments):
            print(f"{kind}: this build does not know it")
            continue
        rows = table("nights.csv")
        if line["once_for"] != "night":
            rows = [{"why": view, "site": site, "night": "", "time": "", "rules": ""}
                    for site in sites
                    for view in (views(site) if line["once_for"] == "view" else [""])]
        for row in rows:
            of_night = not row["night"] or wanted(options.why, row["why"])
            if not (of_night and wanted(options.sites, row["site"])):
                continue
            address = f"demo-sites/{row['site']}.toml"
            if row["why"] and not row["night"]:
                address += f"#{row['why']}"
            values = {**row, "site": address}
            filled = []
            for part in arguments:
                if part == "{rules}":
                    filled += shlex.split(row["rules"])
                else:
                    filled.append(part.format(**values))
            cases.append(Case(kind, row["why"], row["site"], row["night"], tuple(filled)))
    return cases


def looks(case, options):
    """The looks of a case: paper and size; a page has its own."""
    if case.is_page:
        return [("", "")]
    return [(paper, size) for paper in options.papers or PAPERS
            for size in options.sizes or SIZES]


def shown(case, look):
    """The command as a person types it."""
    paper, _, size = look.partition(" ")
    ending = ["--paper", paper, "--size", size] if size else []
    return shlex.join(["rakelight", *case.arguments, *ending])


def draw(case, paper, size, path, options):
    """Has the program draw to a file; the command, and what it said if it failed."""
    command = [str(options.program), *case.arguments]
    if paper:
        command += ["--paper", paper, "--size", size]
    command += ["-o", str(path)]
    run = subprocess.run(command, cwd=TOP, capture_output=True, text=True,
                         env={"PATH": "/usr/bin:/bin", "SOURCE_DATE_EPOCH": "1800000000"})
    typed = shown(case, f"{paper} {size}")
    return typed, None if run.returncode == 0 else run.stderr.strip()
