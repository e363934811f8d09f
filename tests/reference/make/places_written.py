"""places_written.csv: positions in the notations in which people have them, and where they are.

Values come from libraries that share no code with rakelight: pyproj (PROJ) for UTM, the NGA's own
GEOTRANS code in the package mgrs for MGRS, geouri for `geo:` addresses, PyGeodesy for degrees,
minutes and seconds; ISO 6709 from the places of the IANA data's zone.tab, which are written so, and
from the standard's annex. What is typed is either written by the library or typed below as people
do, and then read by the library piece by piece.
"""

import csv
import datetime
import importlib.metadata
import importlib.resources
import re

import geouri
import mgrs
import pyproj
from pygeodesy import dms

ROWS = []

# Points of every quadrant, at the edges of zones and bands, around Norway and Svalbard.
POINTS = [
    (37.18, -113.42),
    (-31.4, 139.2),
    (-23.65, -70.4),
    (60.39, 5.32),
    (78.22, 15.65),
    (73.5, 35.2),
    (0.005, 0.005),
    (-0.5, -179.9),
    (64.001, 11.99),
    (-79.5, 100.3),
    (8.0004, -66.0),
    (83.9, -30.0),
]


def row(text, latitude, longitude, elevation, source):
    height = "" if elevation is None else f"{elevation:.4f}"
    ROWS.append((text, f"{latitude:.8f}", f"{longitude:.8f}", height, source))


def typed(text, latitude, longitude, elevation=None):
    """A text as people type it; each half of it, set right for the library, is read by that."""
    row(text, dms.parseDMS(latitude), dms.parseDMS(longitude), elevation, "PyGeodesy")


def zone_of(latitude, longitude):
    """The zone by PROJ's own database: the areas of use of WGS 84 / UTM."""
    info = pyproj.database.query_utm_crs_info(
        datum_name="WGS 84",
        area_of_interest=pyproj.aoi.AreaOfInterest(longitude, latitude, longitude, latitude),
    )
    return int(info[0].code)


def utm():
    converter = mgrs.MGRS()
    for latitude, longitude in POINTS:
        name = converter.toMGRS(latitude, longitude, MGRSPrecision=5)
        zone = int(name[:-13])
        is_north = latitude >= 0
        code = (32600 if is_north else 32700) + zone
        project = pyproj.Transformer.from_crs("EPSG:4326", f"EPSG:{code}", always_xy=True)
        easting, northing = project.transform(longitude, latitude)
        easting, northing = round(easting, 3), round(northing, 3)
        back = project.transform(easting, northing, direction="INVERSE")
        side = "north" if is_north else "south"
        band = name[-13]
        row(f"{zone} {side} {easting} {northing}", back[1], back[0], None, "pyproj")
        row(f"zone {zone} {side}, {easting}E {northing}N", back[1], back[0], None, "pyproj")
        if band != "S":
            text = f"{zone}{band} {easting:.0f} {northing:.0f}"
            whole = project.transform(round(easting), round(northing), direction="INVERSE")
            row(text, whole[1], whole[0], None, "pyproj")
        # The library gives the middle of a square.
        for digits in (5, 4):
            name = converter.toMGRS(latitude, longitude, MGRSPrecision=digits)
            zone, hemisphere, east, north = converter.MGRSToUTM(name)
            middle = project.transform(east, north, direction="INVERSE")
            row(name, middle[1], middle[0], None, "mgrs, pyproj")
        spaced = f"{name[:-10]} {name[-10:-8]} {name[-8:-4]} {name[-4:]}"
        row(spaced.lower(), middle[1], middle[0], None, "mgrs, pyproj")


def published():
    # GeographicLib's page of its program for conversions, and its MGRS.
    row("38n 444140.54 3684706.36", 33.3, 44.4, None, "GeographicLib 2.5, manual")
    row("38 north 444140.54 3684706.36", 33.3, 44.4, None, "GeographicLib 2.5, manual")
    row("38SMB4414084706", 33.3, 44.4, None, "GeographicLib 2.5, manual, to the metre")


def addresses():
    # RFC 5870, sections 1, 6 and 3.4.4, and its forms in other letters.
    for text in [
        "geo:13.4125,103.8667",
        "geo:48.2010,16.3695,183",
        "geo:48.198634,16.371648;crs=wgs84;u=40",
        "geo:90,-22.43;crs=WGS84",
        "geo:90,46",
        "geo:22.300,-118.44",
        "geo:22.3,-118.4400",
        "geo:66,30;u=6.500;FOo=this%2dthat",
        "geo:66.0,30;u=6.5;foo=this-that",
        "geo:47,11;foo=blue;bar=white",
        "geo:22,0;bar=Blue;foo=blue",
        "GEO:-31.4,139.2,-12.5;u=5",
    ]:
        uri = geouri.parse(text)
        # The library sets the longitude of a pole to 0, as the standard's comparison does.
        longitude = -22.43 if "-22.43" in text else 46.0 if text == "geo:90,46" else uri.lon
        row(text, float(uri.lat), float(longitude),
            None if uri.alt is None else float(uri.alt), "RFC 5870, geouri")


def sexagesimal(text):
    """Degrees of the digits of ISO 6709, their sign before them."""
    sign, digits = (-1 if text[0] == "-" else 1), text[1:]
    whole, point, rest = digits.partition(".")
    width = 2 + len(whole) % 2
    parts = [whole[:width]] + re.findall("..", whole[width:])
    parts[-1] += point + rest
    return sign * sum(float(part) / 60**power for power, part in enumerate(parts))


def iso6709():
    # Annex H of ISO 6709:2008 and what it replaced: every width.
    for text in [
        "+40-075CRSWGS_84/",
        "+40.20361-075.00417CRSWGS_84/",
        "+4012.22-07500.25CRSWGS_84/",
        "+401213.1-0750015.1CRSWGS_84/",
        "+40.20361-075.00417+350.517CRSWGS_84/",
        "+27.5916+086.5640+8850CRSWGS_84/",
        "+90+000/",
        "+00-160/",
        "-90+000+2800CRSWGS_84/",
        "+371048-1132512+1900/",
        "+371048-1132512",
    ]:
        parts = re.findall(r"[+-][0-9.]+", text)
        height = float(parts[2]) if len(parts) > 2 else None
        row(text, sexagesimal(parts[0]), sexagesimal(parts[1]), height, "ISO 6709, annex H")
    table = importlib.resources.files("tzdata").joinpath("zoneinfo").joinpath("zone.tab")
    places = [line.split("\t")[1] for line in table.read_text().splitlines() if line[:1] != "#"]
    for text in places[::40]:
        first, second = re.findall(r"[+-]\d+", text)
        row(text, sexagesimal(first), sexagesimal(second), None, "IANA zone.tab")


def hand_typed():
    point = ("37.18", "-113.42")
    for text in [
        "37.18, -113.42",
        "37.18 -113.42",
        "37.18; -113.42",
        "37.18,-113.42",
        "(37.18, -113.42)",
        "37,18 -113,42",
        "37,18; -113,42",
        "37,18, -113,42",
        "37.18 \u2212113.42",
        "+37.18 -113.42",
        "+37.18-113.42",
        "37.18N 113.42W",
        "N37.18 W113.42",
        "N37.18W113.42",
        "37.18\u00b0N 113.42\u00b0W",
        "37.18\u00b0 N, 113.42\u00b0 W",
        "113.42 W 37.18 N",
        "W 113.42, N 37.18",
        "37.18 north, 113.42 west",
        "north 37.18 west 113.42",
        "37.18 nord 113.42 ouest",
        "latitude 37.18, longitude -113.42",
        "lat: 37.18 lon: -113.42",
        "lat=37.18, lng=-113.42",
        "37.18 N, -113.42",
        "@37.18,-113.42,15z",
        "?q=37.18,-113.42",
        "#map=12/37.18/-113.42",
        "https://example.org/@37.18,-113.42,15z/data",
        "https://example.org/maps?q=37.18,-113.42",
        "https://example.org/maps?ll=37.18%2C-113.42&z=12",
        "https://example.org/#map=12/37.18/-113.42",
        "https://example.org/#12.5/37.18/-113.42",
        "https://example.org/?mlat=37.18&mlon=-113.42#map=12/37.18/-113.42",
        "https://example.org/place/37.18,-113.42?lang=en",
        "https://example.org/show?lat=37.18&lon=-113.42",
        "https://example.org/dir/?api=1&destination=37.18,-113.42",
        "geo:0,0?q=37.18,-113.42(Tinaja)",
        "geo:37.18,-113.42?z=15",
    ]:
        typed(text, *point)
    for text in [
        "37\u00b010'48\"N 113\u00b025'12\"W",
        "37\u00b010'48\"N, 113\u00b025'12\"W",
        "37\u00b010'48\"N113\u00b025'12\"W",
        "37\u00b010\u203248\u2033N 113\u00b025\u203212\u2033W",
        "37\u00ba10\u201948\u201dN 113\u00ba25\u201912\u201dW",
        "37 10 48 N 113 25 12 W",
        "N 37 10 48, W 113 25 12",
        "N37 10 48 W113 25 12",
        "37:10:48N 113:25:12W",
        "37:10:48, -113:25:12",
        "37d10m48sN 113d25m12sW",
        "37d10'48\"N 113d25'12\"W",
        "37d 10m 48s N, 113d 25m 12s W",
        "37 deg 10 min 48 sec north, 113 deg 25 min 12 sec west",
        "113\u00b025'12\"W 37\u00b010'48\"N",
        "371048N 1132512W",
        "N371048 W1132512",
        "37 10 48 -113 25 12",
        "37\u00b0 10' 48\" -113\u00b0 25' 12\"",
        "37\u00b010'48\"N; 113\u00b025'12\"W",
    ]:
        typed(text, "37 10 48 N", "113 25 12 W")
    for text in [
        "37\u00b010.8'N 113\u00b025.2'W",
        "37 10.8 N 113 25.2 W",
        "N 37\u00b010.8' W 113\u00b025.2'",
        "N37 10.8 W113 25.2",
        "37 10.8, -113 25.2",
        "37 10.8 -113 25.2",
        "37\u00b010,8'N 113\u00b025,2'W",
        "37:10.8 N, 113:25.2 W",
        "3710.8N 11325.2W",
        "N3710.8 W11325.2",
        "37d10.8m N 113d25.2m W",
    ]:
        typed(text, "37 10.8 N", "113 25.2 W")
    for text, metres in [
        ("37.18, -113.42, 1900", 1900.0),
        ("37.18 -113.42 1900", 1900.0),
        ("37.18,-113.42,1900m", 1900.0),
        ("37.18 -113.42 1900 m", 1900.0),
        ("37,18; -113,42; 1900", 1900.0),
        ("37.18, -113.42, 6230 ft", 6230 * 0.3048),
        ("37.18 -113.42 6230ft", 6230 * 0.3048),
        ("37.18, -113.42, 1.9 km", 1900.0),
        ("37.18 N, 113.42 W, 1900 m", 1900.0),
        ("lat 37.18, lon -113.42, elevation 1900", 1900.0),
        ("37.18 -113.42 alt 6230 feet", 6230 * 0.3048),
    ]:
        typed(text, *point, metres)
    typed("37\u00b010'48\"N 113\u00b025'12\"W, 1900 m", "37 10 48 N", "113 25 12 W", 1900.0)
    typed("0\u00b030'S 0\u00b015'W", "0 30 S", "0 15 W")
    typed("-0\u00b030' -0\u00b015'", "-0 30 0", "-0 15 0")
    typed("31\u00b024'S 139\u00b012'O, 120 m".replace("O", "Ost"), "31 24 S", "139 12 E", 120.0)
    typed("33.9s 18.4e", "33.9S", "18.4E")
    typed("33 55 12s 18 25 12e", "33 55 12 S", "18 25 12 E")


def main():
    hand_typed()
    utm()
    published()
    addresses()
    iso6709()
    versions = ", ".join(
        f"{name} {importlib.metadata.version(name)}"
        for name in ("pyproj", "mgrs", "geouri", "pygeodesy", "tzdata")
    )
    with open("../places_written.csv", "w", newline="", encoding="utf-8") as out:
        out.write(
            "# Positions as people write them, and where they are: degrees, metres.\n"
            f"# Source: {versions}; RFC 5870; ISO 6709:2008.\n"
            "# Settings: WGS84; of a square of MGRS the middle.\n"
            f"# Script make/places_written.py.\n# Made {datetime.date.today()}.\n"
        )
        table = csv.writer(out, lineterminator="\n")
        table.writerow(["text", "latitude_deg", "longitude_deg", "elevation_m", "source"])
        table.writerows(ROWS)


main()
