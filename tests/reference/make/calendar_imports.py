"""Imports calendars that rakelight writes into two Python libraries and a
calendar of the command line, as a phone would, and compares with the CSV.

Run with the program built; writes nothing but what it finds:

    python tests/reference/make/calendar_imports.py target/debug/rakelight

Libraries: icalendar and vobject (requirements.txt). khal (Debian: apt-get
install khal) is used if it is installed.

1. A year at the demo sites, then the same with another rule about the Moon and
   --since: imported one after the other by UID, SEQUENCE, DTSTAMP and STATUS,
   what is shown must be what the second scan finds by itself. khal knows
   neither SEQUENCE nor STATUS and replaces by UID, so its entries are counted
   with and without those that are marked as cancelled.
2. A calendar in local times: each time through the VTIMEZONE in the file, by
   each library, must be the UTC of the CSV.
"""

import csv
import datetime
import io
import logging
import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import dateutil.tz
import icalendar
import icalendar.timezone
import vobject

ROOT = Path(__file__).resolve().parents[3]
DEMO = sorted(str(path) for path in (ROOT / "demo-sites").glob("*.toml"))
UTC = datetime.timezone.utc
YEAR = ["--from", "2027-01-01", "--to", "2027-12-31"]
CHANGED = ["--moon-altitude", "4..18"]
ALL = [
    *YEAR, "--light", "any", "--target-offset", "-180..180", "--clock", "12:00..11:59",
    "--target-altitude", "-90..90", "--sun-altitude", "..-3", "--contrast", "0..",
]
WORLD = """name,latitude_deg,longitude_deg,time_zone
Lee,46.9,9.1,Europe/Zurich
Strand,53.4,-9.9,Europe/Dublin
Reef,-31.5,159.1,Australia/Lord_Howe
Terrace,27.8,85.3,Asia/Kathmandu
Dune,31.1,-6.0,Africa/Casablanca
Koppie,-28.2,28.9,Africa/Johannesburg
Shingle,-43.9,-176.5,Pacific/Chatham
Nunatak,-72.0,2.5,Antarctica/Troll
"""


def scan(day, *arguments):
    """What a scan on a day of January 2027 writes."""
    stamp = 1_798_761_600 + 86_400 * day
    run = subprocess.run(
        [str(Path(sys.argv[1]).resolve()), "scan", *arguments, "--quiet"],
        capture_output=True, env={**os.environ, "SOURCE_DATE_EPOCH": str(stamp)}, check=True,
    )
    return run.stdout.decode()


def entries_icalendar(text):
    for entry in icalendar.Calendar.from_ical(text).walk("VEVENT"):
        yield {
            "uid": str(entry["UID"]),
            "sequence": int(entry["SEQUENCE"]),
            "stamp": entry["DTSTAMP"].dt,
            "cancelled": str(entry.get("STATUS")) == "CANCELLED",
            "start": entry["DTSTART"].dt,
            "end": entry["DTEND"].dt,
            "summary": str(entry["SUMMARY"]),
        }


def entries_vobject(text):
    for entry in vobject.readOne(text).vevent_list:
        yield {
            "uid": entry.uid.value,
            "sequence": int(entry.sequence.value),
            "stamp": entry.dtstamp.value,
            "cancelled": entry.status.value == "CANCELLED",
            "start": entry.dtstart.value,
            "end": entry.dtend.value,
            "summary": entry.summary.value,
        }


def imported(read, *files):
    """What is shown after the files are imported (RFC 5546, section 2.1.5)."""
    known = {}
    for text in files:
        for entry in read(text):
            old = known.get(entry["uid"])
            rank = lambda entry: (entry["sequence"], entry["stamp"])
            if old is None or rank(entry) > rank(old):
                known[entry["uid"]] = entry
    return {
        (entry["start"], entry["end"], entry["summary"])
        for entry in known.values() if not entry["cancelled"]
    }


def khal_counts(folder, *files):
    """Entries that khal shows after the files are imported, and how many of
    them it shows as cancelled."""
    folder = Path(folder)
    (folder / "store").mkdir()
    (folder / "config").write_text(
        f"[calendars]\n[[nights]]\npath = {folder}/store\n"
        f"[sqlite]\npath = {folder}/khal.db\n"
        "[locale]\nlocal_timezone = UTC\ndefault_timezone = UTC\n"
        "timeformat = %H:%M\ndateformat = %Y-%m-%d\nlongdateformat = %Y-%m-%d\n"
        "datetimeformat = %Y-%m-%d %H:%M\nlongdatetimeformat = %Y-%m-%d %H:%M\n"
    )
    khal = ["khal", "-c", str(folder / "config")]
    env = {**os.environ, "LC_ALL": "C.UTF-8"}
    for number, text in enumerate(files):
        path = folder / f"{number}.ics"
        path.write_bytes(text.encode())
        subprocess.run([*khal, "import", "--batch", "-a", "nights", str(path)],
                       check=True, capture_output=True, env=env)
    listed = subprocess.run(
        [*khal, "list", "--once", "--day-format", "", "--format", "{uid} {status}", "2027-01-01", "2028-01-02"],
        check=True, capture_output=True, env=env,
    ).stdout.decode()
    lines = [line for line in listed.splitlines() if "@rakelight" in line]
    return len(lines), sum("CANCELLED" in line for line in lines)


def check_update():
    with tempfile.TemporaryDirectory() as folder:
        first = scan(1, *DEMO, *YEAR, "--format", "ical")
        old = Path(folder) / "old.ics"
        old.write_bytes(first.encode())
        changed = [*DEMO, *YEAR, *CHANGED, "--format", "ical"]
        following = scan(2, *changed, "--since", str(old))
        alone = scan(2, *changed)
    for name, read in (("icalendar", entries_icalendar), ("vobject", entries_vobject)):
        before = imported(read, first)
        after = imported(read, first, following)
        fresh = imported(read, alone)
        assert after == fresh, name
        print(f"{name}: {len(before)} entries, after the second file {len(after)}; "
              f"the second scan by itself {len(fresh)}: the same")
    if shutil.which("khal") is None:
        print("khal: not installed")
        return
    with tempfile.TemporaryDirectory() as folder:
        shown, _ = khal_counts(folder, first)
    with tempfile.TemporaryDirectory() as folder:
        both, cancelled = khal_counts(folder, first, following)
    assert shown == len(before), shown
    assert both - cancelled == len(fresh), (both, cancelled)
    print(f"khal: {shown} entries, after the second file {both}, "
          f"{cancelled} of them marked as cancelled: {both - cancelled}")


def check_zones():
    with tempfile.TemporaryDirectory() as folder:
        table = Path(folder) / "world.csv"
        table.write_text(WORLD)
        text = scan(1, str(table), *ALL, "--format", "ical", "--local-times")
        rows = list(csv.DictReader(io.StringIO(scan(1, str(table), *ALL, "--format", "csv"))))
    told = [
        tuple(datetime.datetime.fromisoformat(row[name]) for name in ("start_utc", "end_utc"))
        for row in rows
    ]
    # Through the clocks in the file, not those of the same names that a
    # library brings along: the names are made unknown to it.
    unknown = text.replace("TZID:", "TZID:X-").replace("TZID=", "TZID=X-")
    read = icalendar.Calendar.from_ical(unknown)
    zones = {str(zone["TZID"]): zone.to_tz() for zone in read.walk("VTIMEZONE")}
    stand_alone = dateutil.tz.tzical(io.StringIO(
        "\r\n".join(zone.to_ical().decode() for zone in read.walk("VTIMEZONE"))
    ))
    by = {"icalendar": [], "dateutil": []}
    for entry in read.walk("VEVENT"):
        ends = [entry["DTSTART"], entry["DTEND"]]
        naive = [end.dt.replace(tzinfo=None) for end in ends]
        names = [end.params.get("TZID") for end in ends]
        for name, zone in (("icalendar", zones.get), ("dateutil", stand_alone.get)):
            by[name].append(tuple(
                time.replace(tzinfo=UTC) if tzid in (None, "UTC")
                else time.replace(tzinfo=zone(tzid)).astimezone(UTC)
                for time, tzid in zip(naive, names)
            ))
    # vobject gives the times of a zone that is at +0000 for a part of the year
    # no zone at all.
    at_zero = {"Strand", "Dune", "Nunatak"}
    given = []
    for row, (start, end), entry in zip(rows, told, entries_vobject(unknown)):
        if entry["start"].tzinfo is None:
            assert row["site"] in at_zero, row
        elif row["site"] not in at_zero:
            assert (start, end) == (entry["start"], entry["end"]), row
            given.append(row["site"])
    print(f"vobject: {len(given)} entries in {len(set(given))} zones, starts and ends those of "
          "the CSV; it does not read zones that are at +0000")
    # By the names alone, with each library's own zone data.
    by["icalendar's own zones"] = [
        (entry["start"].astimezone(UTC), entry["end"].astimezone(UTC))
        for entry in entries_icalendar(text)
    ]
    for name, times in by.items():
        wrong = [pair for pair in zip(told, times) if pair[0] != pair[1]]
        assert len(times) == len(told) and not wrong, (name, len(wrong), wrong[:3])
        print(f"{name}: {len(times)} entries in {len(zones)} zones, "
              f"starts and ends those of the CSV")


if __name__ == "__main__":
    # vobject says which names it does not know.
    logging.disable(logging.ERROR)
    print(f"icalendar {icalendar.__version__}, vobject {vobject.VERSION}, "
          f"dateutil {dateutil.__version__}")
    check_update()
    check_zones()
