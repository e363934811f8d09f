"""tests/data/photos/: small pictures with Exif; and photos.csv: what another library reads in them.

Pillow draws them and piexif (JPEG) or Pillow (TIFF, PNG) writes the Exif; ExifRead, which
shares no code with either, reads it back from the files.
"""

import datetime
import importlib.metadata
import os
import re

import exifread
import piexif
from PIL import Image

HERE = os.path.dirname(os.path.abspath(__file__))
FOLDER = os.path.join(HERE, "..", "..", "data", "photos")

LENS = {
    piexif.ExifIFD.FocalLength: (20, 1),
    piexif.ExifIFD.FNumber: (28, 10),
    piexif.ExifIFD.ExposureTime: (20, 1),
    piexif.ExifIFD.ISOSpeedRatings: 3200,
}


def clock(text, subsec=None, offset=None):
    tags = {piexif.ExifIFD.DateTimeOriginal: text}
    if subsec is not None:
        tags[piexif.ExifIFD.SubSecTimeOriginal] = subsec
    if offset is not None:
        tags[piexif.ExifIFD.OffsetTimeOriginal] = offset
    return tags


def degrees(number):
    number = abs(number)
    minutes = number % 1 * 60
    return ((int(number), 1), (int(minutes), 1), (round(minutes % 1 * 60 * 10000), 10000))


def place(latitude_deg, longitude_deg, elevation_m=None):
    tags = {
        piexif.GPSIFD.GPSLatitudeRef: "S" if latitude_deg < 0 else "N",
        piexif.GPSIFD.GPSLatitude: degrees(latitude_deg),
        piexif.GPSIFD.GPSLongitudeRef: "W" if longitude_deg < 0 else "E",
        piexif.GPSIFD.GPSLongitude: degrees(longitude_deg),
    }
    if elevation_m is not None:
        tags[piexif.GPSIFD.GPSAltitudeRef] = int(elevation_m < 0)
        tags[piexif.GPSIFD.GPSAltitude] = (round(abs(elevation_m) * 10), 10)
    return tags


def gps_time(date, hours, minutes, seconds):
    stamp = ((hours, 1), (minutes, 1), (round(seconds * 100), 100))
    return {piexif.GPSIFD.GPSDateStamp: date, piexif.GPSIFD.GPSTimeStamp: stamp}


MESA = place(37.18, -113.42, 1900)
PHOTOS = {
    # Clock, offset and receiver agree.
    "whole.jpg": (clock("2027:05:29 03:45:00", "25", "-06:00") | LENS, MESA | gps_time("2027:05:29", 9, 45, 0.25)),
    "clock.jpg": (clock("2027:05:29 03:45:00") | LENS, MESA),
    # A clock left on Central European Summer Time, and 95 seconds fast.
    "home-clock.jpg": (clock("2027:05:29 11:46:35", None, "+02:00") | LENS, MESA | gps_time("2027:05:29", 9, 45, 0)),
    # An offset without summer time.
    "winter-offset.jpg": (clock("2027:05:29 02:45:00", None, "-07:00") | LENS, MESA),
    "no-place.jpg": (clock("2027:05:29 03:45:00", None, "-06:00") | LENS, {}),
    "no-time.jpg": (dict(LENS), MESA),
    "no-lens.jpg": (clock("2027:05:29 03:45:00"), MESA),
    "south.jpg": (clock("2027:04:04 02:30:00") | LENS, place(-31.4, 139.2, -12.5)),
    "border.jpg": (clock("2027:05:29 03:45:00") | LENS, place(37.0, -112.0)),
    "border-offset.jpg": (clock("2027:05:29 03:45:00", None, "-07:00") | LENS, place(37.0, -112.0)),
    # What no camera can mean, and text that is none of ours to show.
    "absurd.jpg": (
        clock("2027:13:45 99:99:99", "\x1b[31m", "+99:00")
        | {piexif.ExifIFD.FNumber: (0, 0), piexif.ExifIFD.ExposureTime: (1, 0),
           piexif.ExifIFD.FocalLength: (0, 10), piexif.ExifIFD.LensModel: "\x1b[2J=cmd|x"},
        {piexif.GPSIFD.GPSLatitudeRef: "N", piexif.GPSIFD.GPSLatitude: ((95, 1), (0, 1), (0, 1)),
         piexif.GPSIFD.GPSLongitudeRef: "E", piexif.GPSIFD.GPSLongitude: ((10, 1), (0, 0), (0, 1))},
    ),
}
OTHER_FORMATS = {"whole.tif": "TIFF", "whole.png": "PNG"}


def main():
    os.makedirs(FOLDER, exist_ok=True)
    picture = Image.new("L", (8, 8), 40)
    for name, (exif, gps) in PHOTOS.items():
        data = piexif.dump({"0th": {}, "Exif": exif, "GPS": gps, "1st": {}, "thumbnail": None})
        picture.save(os.path.join(FOLDER, name), "JPEG", exif=data)
    picture.save(os.path.join(FOLDER, "no-exif.jpg"), "JPEG")
    whole = Image.open(os.path.join(FOLDER, "whole.jpg")).getexif()
    for name, kind in OTHER_FORMATS.items():
        picture.convert("RGB").save(os.path.join(FOLDER, name), kind, exif=whole)
    rows = [read(name) for name in sorted([*PHOTOS, *OTHER_FORMATS])]
    header = [
        "What ExifRead finds in the pictures of data/photos/; empty: not there, or nothing that a camera",
        "can mean.",
        f"Source: pictures by Pillow {importlib.metadata.version('pillow')} and piexif "
        f"{importlib.metadata.version('piexif')},",
        f"read by ExifRead {importlib.metadata.version('ExifRead')}.",
        "Settings: none.",
        "Script make/photos.py.",
        f"Made {datetime.datetime.now(datetime.timezone.utc):%Y-%m-%d}.",
    ]
    path = os.path.join(HERE, "..", "photos.csv")
    with open(path, "w", encoding="utf-8", newline="\n") as file:
        file.writelines(f"# {line}\n" for line in header)
        file.write("file,clock,offset,gps_utc,latitude_deg,longitude_deg,elevation_m,focal_mm,f_number,shutter_s,iso\n")
        file.writelines(f"{row}\n" for row in rows)
    print(f"photos.csv: {len(rows)} rows")


def number(tag):
    try:
        value = tag.values[0] if isinstance(tag.values, list) else tag.values
        return float(value)
    except (AttributeError, ZeroDivisionError, ValueError):
        return None


def dms(tags, key, most):
    parts = [float(part) for part in tags[f"GPS {key}"].values if part.den]
    if len(parts) != 3:
        return None
    size = parts[0] + parts[1] / 60 + parts[2] / 3600
    sign = -1 if tags[f"GPS {key}Ref"].values[0] in "SW" else 1
    return sign * size if size <= most else None


def read(name):
    with open(os.path.join(FOLDER, name), "rb") as file:
        tags = exifread.process_file(file, details=False)
    text = lambda key: str(tags[key]) if key in tags else ""
    local = text("EXIF DateTimeOriginal")
    subsec = text("EXIF SubSecTimeOriginal")
    try:
        moment = datetime.datetime.strptime(local, "%Y:%m:%d %H:%M:%S")
        local = moment.isoformat() + (f".{subsec}" if subsec.isdigit() else "")
    except ValueError:
        local = ""
    offset = text("EXIF OffsetTimeOriginal")
    offset = offset if re.fullmatch(r"[+-](0\d|1[0-4]):\d\d", offset) else ""
    gps = ""
    if "GPS GPSTimeStamp" in tags:
        hours, minutes, seconds = (int(float(part)) for part in tags["GPS GPSTimeStamp"].values)
        date = text("GPS GPSDate").replace(":", "-")
        gps = f"{date}T{hours:02}:{minutes:02}:{seconds:02}"
    where = ["", "", ""]
    if "GPS GPSLatitude" in tags:
        latitude_deg, longitude_deg = dms(tags, "GPSLatitude", 90), dms(tags, "GPSLongitude", 180)
        if latitude_deg is not None and longitude_deg is not None:
            where[:2] = f"{latitude_deg:.7f}", f"{longitude_deg:.7f}"
    if "GPS GPSAltitude" in tags:
        below = tags["GPS GPSAltitudeRef"].values in (1, [1], b"\x01")
        where[2] = f"{(-1 if below else 1) * number(tags['GPS GPSAltitude']):.1f}"
    settings = [number(tags.get(f"EXIF {key}")) for key in
                ("FocalLength", "FNumber", "ExposureTime", "ISOSpeedRatings")]
    settings = ["" if not value else f"{value:g}" for value in settings]
    return ",".join([name, local, offset, gps, *where, *settings])


main()
