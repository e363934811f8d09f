"""Points of maps as other libraries write them, for the readers of GPX, KML and GeoJSON.

    python tests/reference/make/points.py

Writes tests/data/points/: one file a library and form, all of the same invented places, and
expected.csv with what each file says of each place. A library that writes no elevation, or no
description, has an empty field there.
"""

import csv
import datetime
import json
import pathlib

import fastkml
import geojson
import gpxpy.gpx
import numpy
import pygeoif
import pyogrio
import shapely
import simplekml

OUT = pathlib.Path(__file__).parents[2] / "data" / "points"

# Name, latitude, longitude, elevation (metres), description.
PLACES = [
    ("old mill", -31.4012345, 139.2087654, 210.5, "Gate closed at dusk"),
    ("Zürcher Höhe & Söhne", 47.3839, 8.5432, 679.0, "a < b & c"),
    ("北門 <north gate>", 39.93, 116.39, 44.0, 'said "here", in two\nlines'),
    ("Punta sin número", -54.8073, -68.3047, None, None),
]


def gpxpy_file(version):
    gpx = gpxpy.gpx.GPX()
    gpx.name = "places"
    gpx.creator = "gpxpy"
    for name, lat, lon, ele, text in PLACES:
        gpx.waypoints.append(gpxpy.gpx.GPXWaypoint(
            latitude=lat, longitude=lon, elevation=ele, name=name, description=text,
            time=datetime.datetime(2026, 5, 1, tzinfo=datetime.timezone.utc), symbol="Flag",
        ))
    track = gpxpy.gpx.GPXTrack(name="no place")
    segment = gpxpy.gpx.GPXTrackSegment()
    segment.points.append(gpxpy.gpx.GPXTrackPoint(1.0, 2.0, elevation=3.0))
    track.segments.append(segment)
    gpx.tracks.append(track)
    route = gpxpy.gpx.GPXRoute(name="no place")
    route.points.append(gpxpy.gpx.GPXRoutePoint(1.0, 2.0))
    gpx.routes.append(route)
    return gpx.to_xml(version=version)


def simplekml_file():
    kml = simplekml.Kml(name="places")
    folder = kml.newfolder(name="outer").newfolder(name="inner")
    for name, lat, lon, ele, text in PLACES:
        coords = [(lon, lat) if ele is None else (lon, lat, ele)]
        point = folder.newpoint(name=name, coords=coords)
        if text is not None:
            html = text.replace("&", "&amp;").replace("<", "&lt;").replace("\n", "<br>")
            point.description = f"<p><b>{html}</b></p>"
    folder.newlinestring(name="no place", coords=[(1, 2), (3, 4)])
    return kml.kml()


def fastkml_file():
    kml = fastkml.KML()
    document = fastkml.Document(name="places")
    for name, lat, lon, ele, text in PLACES:
        at = (lon, lat) if ele is None else (lon, lat, ele)
        document.append(fastkml.Placemark(
            name=name, description=text,
            geometry=pygeoif.Point(*at),
        ))
    kml.append(document)
    return kml.to_string(prettyprint=True)


def geojson_file():
    def feature(name, lat, lon, ele, text):
        at = (lon, lat) if ele is None else (lon, lat, ele)
        return geojson.Feature(
            geometry=geojson.Point(at, precision=7),
            properties={"name": name, "description": text, "more": {"list": [1, [2]]}},
        )

    features = [feature(*place) for place in PLACES]
    features.append(geojson.Feature(geometry=geojson.LineString([(1, 2), (3, 4)])))
    return geojson.dumps(geojson.FeatureCollection(features), sort_keys=True)


def gdal_file(path, driver, names, **options):
    points = [
        shapely.Point(lon, lat, ele or 0.0) for _, lat, lon, ele, _ in PLACES
    ]
    fields = [
        numpy.array([name for name, *_ in PLACES], dtype=object),
        numpy.array([text or "" for *_, text in PLACES], dtype=object),
    ]
    if driver == "GPX":
        fields.append(numpy.array([ele for _, _, _, ele, _ in PLACES], dtype=float))
    pyogrio.raw.write(
        str(path), shapely.to_wkb(points), fields, names, driver=driver,
        geometry_type="Point Z", crs="EPSG:4326", **options,
    )


def main():
    OUT.mkdir(exist_ok=True)
    texts = {
        "gpxpy.gpx": gpxpy_file("1.1"),
        "gpxpy-1.0.gpx": gpxpy_file("1.0"),
        "simplekml.kml": simplekml_file(),
        "fastkml.kml": fastkml_file(),
        "geojson.geojson": geojson_file(),
    }
    for name, text in texts.items():
        (OUT / name).write_text(text, encoding="utf-8")
    gdal_file(OUT / "gdal.gpx", "GPX", ["name", "desc", "ele"], layer="waypoints")
    gdal_file(OUT / "gdal.kml", "KML", ["Name", "Description"])
    gdal_file(OUT / "gdal.geojson", "GeoJSON", ["name", "desc"], RFC7946="YES")
    with open(OUT / "expected.csv", "w", encoding="utf-8", newline="") as file:
        file.write("# What the files beside this one say of each place; made by\n")
        file.write("# tests/reference/make/points.py with gpxpy 1.6.2, simplekml 1.3.6, fastkml 1.4.0,\n")
        file.write(f"# geojson 3.3.0, pyogrio {pyogrio.__version__} (GDAL {pyogrio.__gdal_version_string__}).\n")
        rows = csv.writer(file, lineterminator="\n")
        rows.writerow(["file", "name", "latitude_deg", "longitude_deg", "elevation_m", "notes"])
        for name in sorted([*texts, "gdal.gpx", "gdal.kml", "gdal.geojson"]):
            for place, lat, lon, ele, text in PLACES:
                words = " ".join((text or "").split())
                rows.writerow([name, place, lat, lon, ele or 0.0, words])


main()
