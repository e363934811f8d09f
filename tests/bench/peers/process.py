"""Running a program as a user does: wall time and peak memory of the whole process."""

import os
import re
import tempfile
import time

# A child's peak as the kernel tells it begins with that of the process that started it, so a
# small program must be started by a small one.
GNU_TIME = "/usr/bin/time"
NOTHING_FOUND = 1


class Run:
    """What a program took: wall and processor seconds, and what it printed."""

    def __init__(self, wall_s, cpu_s, text, peak_mib=None):
        self.wall_s, self.cpu_s, self.text, self.peak_mib = wall_s, cpu_s, text, peak_mib


def run(argv, allowed=(0,)):
    """Runs a program to its end."""
    with tempfile.TemporaryFile() as out:
        actions = [(os.POSIX_SPAWN_DUP2, out.fileno(), 1)]
        begun = time.perf_counter()
        pid = os.posix_spawnp(argv[0], argv, os.environ, file_actions=actions)
        _, status, usage = os.wait4(pid, 0)
        wall_s = time.perf_counter() - begun
        out.seek(0)
        text = out.read().decode()
    code = os.waitstatus_to_exitcode(status)
    if code not in allowed:
        raise SystemExit(f"{' '.join(argv)}\nended with {code}")
    return Run(wall_s, usage.ru_utime + usage.ru_stime, text)


def run_with_memory(argv, allowed=(0,)):
    """The same with the peak of its memory, which needs GNU time."""
    if not os.access(GNU_TIME, os.X_OK):
        return run(argv, allowed)
    with tempfile.NamedTemporaryFile("r") as told:
        done = run([GNU_TIME, "-q", "-f", "%M", "-o", told.name, *argv], allowed)
        done.peak_mib = int(re.search(r"\d+", told.read()).group()) / 1024.0
    return done


def mebibytes(peak_mib):
    return "unknown memory" if peak_mib is None else f"{peak_mib:.0f} MiB"


def median(values):
    ordered = sorted(values)
    middle = len(ordered) // 2
    if len(ordered) % 2:
        return ordered[middle]
    return 0.5 * (ordered[middle - 1] + ordered[middle])


def scan(program, sites, first, last, output, *more):
    """The command line of a scan."""
    return [
        *(program, "scan", sites, "--from", str(first), "--to", str(last)),
        *("--format", "csv", "--quiet", "-o", output, *more),
    ]
