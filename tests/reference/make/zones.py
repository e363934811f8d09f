"""zone_places.csv: the places of the world's time zones, and how far their clocks are from the Sun.

Places are those of the IANA data's own table zone.tab; offsets are Python's zoneinfo with the same
data. Both come from the package tzdata; the data is in the public domain.
"""

import datetime
import importlib.metadata
import importlib.resources
import os
import re
import zoneinfo

# Only the package's data: not that of the machine.
zoneinfo.reset_tzpath(to=[])

FIRST, LAST = datetime.datetime(2000, 1, 1), datetime.datetime(2030, 12, 31)
ZONES = importlib.resources.files("tzdata").joinpath("zoneinfo")


def degrees(text):
    """Degrees of +DDMM, +DDDMM, +DDMMSS or +DDDMMSS."""
    sign, digits = (-1 if text[0] == "-" else 1), text[1:]
    width = 2 + len(digits) % 2
    parts = [int(digits[:width])] + [int(part) for part in re.findall("..", digits[width:])]
    return sign * sum(part / 60**power for power, part in enumerate(parts))


def offsets_hours(zone):
    """Every offset from UTC that the zone has on a day of those years, hours."""
    offsets, at = set(), FIRST
    while at <= LAST:
        moment = at.replace(tzinfo=datetime.timezone.utc).astimezone(zone)
        offsets.add(moment.utcoffset().total_seconds() / 3600.0)
        at += datetime.timedelta(days=1)
    return offsets


def hours_from_sun(offsets, longitude_deg):
    """The least distance of clocks, their date included, and mean time by the Sun, hours."""
    return min(abs(offset - longitude_deg / 15.0) for offset in offsets)


def main():
    rows = []
    for line in ZONES.joinpath("zone.tab").read_text(encoding="utf-8").splitlines():
        if line.startswith("#"):
            continue
        _, place, name = line.split("\t")[:3]
        latitude, longitude = re.fullmatch(r"([+-]\d+)([+-]\d+)", place).groups()
        latitude_deg, longitude_deg = round(degrees(latitude), 4), round(degrees(longitude), 4)
        offsets = offsets_hours(zoneinfo.ZoneInfo(name))
        mirrored_hours = hours_from_sun(offsets, -longitude_deg)
        rows.append(f"{name},{latitude_deg:.4f},{longitude_deg:.4f},{mirrored_hours:.4f}")
    rows.sort()
    header = [
        "The places of the time zones, and how far their clocks would be from the mean time by the Sun",
        "at the same longitude with the other sign: mirrored_hours, by clock and date.",
        f"Source: IANA time zone data, zone.tab, tzdata {importlib.metadata.version('tzdata')} (public domain);",
        "offsets by Python's zoneinfo.",
        "Settings: of the offsets in use on a day of 2000 to 2030 the one that comes nearest.",
        "Script make/zones.py.",
        f"Made {datetime.datetime.now(datetime.timezone.utc):%Y-%m-%d}.",
    ]
    folder = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..")
    path = os.path.join(folder, "zone_places.csv")
    with open(path, "w", encoding="utf-8", newline="\n") as file:
        file.writelines(f"# {line}\n" for line in header)
        file.write("zone,latitude_deg,longitude_deg,mirrored_hours\n")
        file.writelines(f"{row}\n" for row in rows)
    print(f"zone_places.csv: {len(rows)} rows")


main()
