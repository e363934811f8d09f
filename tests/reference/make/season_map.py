"""Reads the map of a season that rakelight writes with GDAL.

Run from the repository's root, with the program built:

    python tests/reference/make/season_map.py target/debug/rakelight

Writes tests/reference/season_map_read.csv: one row a feature, as GDAL (pyogrio)
reads it, with the type that GDAL gives each property; the coordinates by GEOS
(shapely).
"""

import csv
import datetime
import io
import math
import subprocess
import sys

import pyogrio
import shapely

COMMAND = [
    "scan", "tests/data/season_map/region.csv", "--season", "--quiet",
    "--from", "2027-05-01", "--to", "2027-07-31", "--format", "geojson",
]
NUMBERS = ["score", "windows", "nights", "nights_raking", "nights_blend", "nights_dark"]
TEXTS = ["role", "site", "light", "best_night", "own.guide"]


def main():
    text = subprocess.run([sys.argv[1], *COMMAND], check=True, capture_output=True).stdout
    meta, _, geometries, fields = pyogrio.raw.read(io.BytesIO(text))
    names = list(meta["fields"])
    types = dict(zip(names, meta["ogr_types"]))
    assert meta["crs"] == "EPSG:4326"
    out = io.StringIO()
    out.write(f"# The map of `rakelight {' '.join(COMMAND)}`,\n")
    out.write(f"# as pyogrio {pyogrio.__version__} (GDAL {pyogrio.__gdal_version_string__}) and ")
    out.write(f"shapely {shapely.__version__} (GEOS {shapely.geos_version_string}) read it.\n")
    for name in NUMBERS + TEXTS:
        out.write(f"# {name}: {types[name]}\n")
    out.write(f"# Script: make/season_map.py. Made {datetime.date.today().isoformat()}.\n")
    table = csv.writer(out, lineterminator="\n")
    table.writerow(["type", "longitude_deg", "latitude_deg", *NUMBERS, *TEXTS])
    for index, wkb in enumerate(geometries):
        point = shapely.from_wkb(wkb)
        assert point.is_valid
        row = [point.geom_type, f"{point.x:.7f}", f"{point.y:.7f}"]
        for name in NUMBERS:
            assert types[name] in ("OFTReal", "OFTInteger"), (name, types[name])
            number = float(fields[names.index(name)][index])
            row.append("" if math.isnan(number) else f"{number:g}")
        for name in TEXTS:
            value = fields[names.index(name)][index]
            row.append("" if str(value) in ("None", "NaT") else str(value))
        table.writerow(row)
    with open("tests/reference/season_map_read.csv", "w", newline="\n") as file:
        file.write(out.getvalue())


main()
