"""calendars.csv and calendars/*.ics: iCalendar files written by another library, and when their
events take place; recurrences.csv: random rules of recurrence and their days.

The files are written by icalendar; their events are expanded by recurring-ical-events, the rules
by python-dateutil.
"""

import datetime
import importlib.metadata
import pathlib
import random
import zoneinfo

import dateutil.rrule
import icalendar
import recurring_ical_events

HERE = pathlib.Path(__file__).parent.parent
FROM, TO = datetime.datetime(2027, 1, 1), datetime.datetime(2029, 1, 1)
ADELAIDE = zoneinfo.ZoneInfo("Australia/Adelaide")
timedelta = datetime.timedelta
DENVER = zoneinfo.ZoneInfo("America/Denver")
RULES = 150


def day(text):
    return datetime.date.fromisoformat(text)


def time(text, zone=None):
    return datetime.datetime.fromisoformat(text).replace(tzinfo=zone)


def event(uid, **properties):
    entry = icalendar.Event()
    entry.add("uid", uid)
    entry.add("dtstamp", datetime.datetime(2026, 11, 27, tzinfo=datetime.timezone.utc))
    for name, value in properties.items():
        for one in value if isinstance(value, list) else [value]:
            entry.add(name.replace("_", "-"), one)
    return entry


def files():
    utc = datetime.timezone.utc
    holidays = [
        event("one", dtstart=day("2027-04-02"), summary="one day"),
        event("run", dtstart=day("2027-12-24"), dtend=day("2028-01-03"), summary="a run of days, " * 20),
        event("birth", dtstart=day("1904-02-29"), rrule={"freq": "yearly"}),
        event("queen", dtstart=day("2020-06-08"), rrule={"freq": "yearly", "bymonth": 6, "byday": "2MO"}),
        event("last", dtstart=day("2027-01-29"), rrule={"freq": "monthly", "byday": "-1FR", "count": 9},
              exdate=day("2027-03-26")),
        event("off", dtstart=day("2027-07-01"), dtend=day("2027-07-09"), status="CANCELLED"),
        event("days", dtstart=day("2028-05-06"), duration=datetime.timedelta(days=3)),
        event("more", dtstart=day("2028-08-06"), rdate=[day("2028-08-20"), day("2028-09-03")]),
    ]
    alarm = icalendar.Alarm()
    alarm.add("trigger", datetime.timedelta(minutes=-30))
    alarm.add("action", "DISPLAY")
    gate = event("gate", dtstart=time("2027-03-05T19:00", ADELAIDE), dtend=time("2027-03-06T02:30", ADELAIDE),
                 rrule={"freq": "weekly", "interval": 2, "byday": ["FR", "SA"],
                        "until": time("2027-10-09T20:00", utc)},
                 exdate=time("2027-05-14T19:00", ADELAIDE))
    gate.add_component(alarm)
    moved = event("gate", recurrence_id=time("2027-06-11T19:00", ADELAIDE),
                  dtstart=time("2027-06-12T20:00", ADELAIDE), dtend=time("2027-06-12T23:00", ADELAIDE))
    called_off = event("gate", recurrence_id=time("2027-06-25T19:00", ADELAIDE), status="CANCELLED",
                       dtstart=time("2027-06-25T19:00", ADELAIDE), dtend=time("2027-06-26T02:30", ADELAIDE))
    permits = [
        gate, moved, called_off,
        event("tide", dtstart=time("2027-05-29T11:05", utc), duration=timedelta(hours=4, minutes=20)),
        event("float", dtstart=time("2027-08-01T18:00"), dtend=time("2027-08-01T23:15"),
              rrule={"freq": "daily", "count": 3}),
        event("far", dtstart=time("2028-02-28T20:00", DENVER), dtend=time("2028-02-29T01:00", DENVER),
              rrule={"freq": "monthly", "bymonthday": -1, "until": time("2028-06-30T00:00", utc)}),
        event("across", dtstart=time("2028-09-01T20:00", ADELAIDE), dtend=time("2028-09-01T12:00", utc)),
        event("moment", dtstart=time("2028-10-01T20:00", ADELAIDE)),
    ]
    return {"holidays": holidays, "permits": permits}


def calendar(entries):
    whole = icalendar.Calendar()
    whole.add("prodid", "-//rakelight tests//")
    whole.add("version", "2.0")
    for entry in entries:
        whole.add_component(entry)
    whole.add_missing_timezones()
    return whole


def text(value):
    """A day, a time in UTC, or one of the site's clocks."""
    if not isinstance(value, datetime.datetime):
        return value.isoformat()
    if value.tzinfo is None:
        return value.strftime("%Y-%m-%dT%H:%M")
    return value.astimezone(datetime.timezone.utc).strftime("%Y-%m-%dT%H:%MZ")


def versions(*names):
    return ", ".join(f"{name} {importlib.metadata.version(name)}" for name in names)


def head(out, lines):
    for line in lines + [f"Made {datetime.date.today()}."]:
        out.write(f"# {line}\n")


def random_rule(dice):
    """A rule of recurrence, as it is written, with its first day."""
    first = datetime.date(dice.choice([2019, 2024, 2027]), dice.randint(1, 12), dice.choice([1, 13, 28, 29, 30]) % 28 + 1)
    frequency = dice.choice(["DAILY", "WEEKLY", "MONTHLY", "YEARLY"])
    parts = [f"FREQ={frequency}"]
    if dice.random() < 0.5:
        parts.append(f"INTERVAL={dice.choice([1, 2, 3, 5, 13])}")
    days = ["MO", "TU", "WE", "TH", "FR", "SA", "SU"]
    chosen = dice.sample(days, dice.randint(1, 3))
    if frequency in ("MONTHLY", "YEARLY") and dice.random() < 0.5:
        chosen = [f"{dice.choice([-1, 1])*dice.randint(1, 5)}{name}" for name in chosen]
    if dice.random() < 0.5:
        parts.append("BYDAY=" + ",".join(chosen))
    if frequency != "WEEKLY" and dice.random() < 0.3:
        parts.append("BYMONTHDAY=" + ",".join(str(dice.choice([-31, -2, -1, 1, 2, 13, 29, 31])) for _ in range(2)))
    if dice.random() < 0.4:
        parts.append("BYMONTH=" + ",".join(str(month) for month in sorted(dice.sample(range(1, 13), 3))))
    if frequency == "WEEKLY" and dice.random() < 0.5:
        parts.append(f"WKST={dice.choice(days)}")
    end = dice.random()
    if end < 0.3:
        parts.append(f"COUNT={dice.randint(1, 60)}")
    elif end < 0.6:
        until = datetime.date(2027, 1, 1) + timedelta(days=dice.randint(0, 900))
        parts.append(f"UNTIL={until:%Y%m%d}")
    return first, ";".join(parts)


def main():
    used = versions("icalendar", "recurring-ical-events", "python-dateutil", "tzdata")
    (HERE / "calendars").mkdir(exist_ok=True)
    with open(HERE / "calendars.csv", "w", newline="\n") as out:
        head(out, [
            "When the events of the files in calendars/ take place in 2027 and 2028.",
            f"Source: {used}.",
            "Settings: a day that ends is the last one; times in UTC, or without Z of the site's clocks.",
            "Script make/calendars.py.",
        ])
        out.write("file,uid,from,to\n")
        for name, entries in files().items():
            whole = calendar(entries)
            written = whole.to_ical()
            (HERE / "calendars" / f"{name}.ics").write_bytes(written)
            read = icalendar.Calendar.from_ical(written)
            rows = []
            for found in recurring_ical_events.of(read).between(FROM, TO):
                if found.get("status") == "CANCELLED":
                    continue
                begin, end = found.start, found.end
                if not isinstance(begin, datetime.datetime):
                    end -= timedelta(days=1)
                elif end == begin:
                    continue
                rows.append((text(begin), str(found["uid"]), text(end)))
            for begin, uid, end in sorted(rows):
                out.write(f"{name}.ics,{uid},{begin},{end}\n")
    dice = random.Random(20261127)
    with open(HERE / "recurrences.csv", "w", newline="\n") as out:
        head(out, [
            "Random rules of recurrence and their days from 2027-01-01 to 2028-02-29.",
            f"Source: {versions('python-dateutil')}, dateutil.rrule.",
            "Script make/calendars.py.",
        ])
        out.write("first,rule,days\n")
        for _ in range(RULES):
            first, rule = random_rule(dice)
            start = datetime.datetime.combine(first, datetime.time())
            days = dateutil.rrule.rrulestr(rule, dtstart=start).between(FROM, datetime.datetime(2028, 2, 29), inc=True)
            listed = " ".join(f"{day:%Y%m%d}" for day in days)
            out.write(f"{first},\"{rule}\",{listed}\n")


main()
