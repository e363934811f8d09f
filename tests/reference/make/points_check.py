"""Reads the GPX and KML that rakelight writes with other libraries. Run from the repository's
root, with the program built:

    python tests/reference/make/points_check.py target/debug/rakelight

Writes nothing. GPX is read by gpxpy and by GDAL (pyogrio), KML by fastkml and by GDAL, and checked
against the schema of the OGC (KML 2.2) that fastkml carries; the order of the elements of a
waypoint is that of the GPX 1.1 schema. Names and places must be the same in all of them, and the
places those of the map in GeoJSON.
"""

import io
import json
import subprocess
import sys
import xml.etree.ElementTree as tree

import fastkml
import fastkml.validator
import gpxpy
import pyogrio
import shapely

NAMES = "{http://www.topografix.com/GPX/1/1}"
# wptType of the GPX 1.1 schema, as far as it is written.
ORDER = ["ele", "name", "desc", "type"]
RUNS = [
    ["tripod", "demo-sites/saltbush-tank.toml", "--time", "2027-05-13T21:30"],
    ["night", "demo-sites/tamarisk-halt.toml", "--on", "2027-06-05"],
    ["scan", "demo-sites/saltbush-tank.toml", "demo-sites/tinaja-mesa.toml",
     "demo-sites/candlenut-cay.toml", "--from", "2027-05-01", "--to", "2027-08-31"],
]


def run(arguments, form):
    done = subprocess.run([sys.argv[1], *arguments, "--format", form, "--quiet"],
                          check=True, capture_output=True)
    return done.stdout


def rounded(lon, lat):
    return round(lon, 6), round(lat, 6)


def by_gdal(text, layer=None):
    options = {} if layer is None else {"layer": layer}
    meta, _, geometries, fields = pyogrio.raw.read(io.BytesIO(text), **options)
    names = [name.lower() for name in meta["fields"]]
    points = [shapely.from_wkb(wkb) for wkb in geometries]
    assert all(point.geom_type == "Point" for point in points)
    return [(name, rounded(point.x, point.y))
            for name, point in zip(fields[names.index("name")], points)]


def placemarks(part):
    for one in part.features:
        if isinstance(one, fastkml.Placemark):
            yield one
        else:
            yield from placemarks(one)


def main():
    for arguments in RUNS:
        gpx_text, kml_text = run(arguments, "gpx"), run(arguments, "kml")
        gpx = gpxpy.parse(gpx_text.decode())
        assert gpx.version == "1.1"
        told = [(point.name, rounded(point.longitude, point.latitude)) for point in gpx.waypoints]
        assert told and by_gdal(gpx_text, "waypoints") == told
        root = tree.fromstring(gpx_text)
        assert [child.tag for child in root][0] == NAMES + "metadata"
        for point in root.iter(NAMES + "wpt"):
            places = [ORDER.index(child.tag.removeprefix(NAMES)) for child in point]
            assert places == sorted(set(places))

        assert fastkml.validator.validate(element=None, file_to_validate=io.BytesIO(kml_text))
        kml = fastkml.KML.from_string(kml_text, strict=True)
        marks = list(placemarks(kml))
        assert [(mark.name, rounded(mark.geometry.x, mark.geometry.y)) for mark in marks] == told
        assert by_gdal(kml_text) == told
        # The same text, but for its signs of HTML.
        for mark, point in zip(marks, gpx.waypoints):
            text = mark.description.replace("<br>", "\n")
            for sign, plain in [("&lt;", "<"), ("&gt;", ">"), ("&quot;", '"'), ("&apos;", "'"),
                                ("&amp;", "&")]:
                text = text.replace(sign, plain)
            assert text == point.description

        features = json.loads(run(arguments, "geojson"))["features"]
        ours = {rounded(*feature["geometry"]["coordinates"]) for feature in features
                if feature["geometry"]["type"] == "Point"}
        assert ours <= {place for _, place in told}, arguments
        print(f"{arguments[0]}: {len(told)} points, the same in each reader")
    print(f"gpxpy, fastkml {fastkml.__version__}, pyogrio {pyogrio.__version__} "
          f"(GDAL {pyogrio.__gdal_version_string__}): KML is valid")


main()
