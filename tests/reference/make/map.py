"""Reads the maps that rakelight writes with GDAL, and measures them with PROJ.

Run from the repository's root, with the program built:

    python tests/reference/make/map.py target/debug/rakelight

Writes tests/reference/map_read.csv: one row a feature, as GDAL (pyogrio) reads
it; validity and orientation by GEOS (shapely); length and bearing of lines on
WGS84 by PROJ (pyproj).
"""

import datetime
import io
import subprocess
import sys

import pyogrio
import pyproj
import shapely

NIGHTS = [
    ("tests/data/night/paddock.toml", "2027-07-09", ["--core-offset", "-180..180", "--facing", "210"]),
    ("tests/data/night/meridian.toml", "2027-07-09", ["--core-offset", "-180..180", "--facing", "210"]),
]


def lines_of(geometry):
    if geometry.geom_type == "MultiLineString":
        return list(geometry.geoms)
    return [geometry]


def polygons_of(geometry):
    if geometry.geom_type == "MultiPolygon":
        return list(geometry.geoms)
    return [geometry]


def main():
    geod = pyproj.Geod(ellps="WGS84")
    out = io.StringIO()
    out.write("# Maps written by `rakelight night --format geojson`, as other libraries read them:\n")
    out.write(f"# pyogrio {pyogrio.__version__} (GDAL {pyogrio.__gdal_version_string__}), ")
    out.write(f"shapely {shapely.__version__} (GEOS {shapely.geos_version_string}), ")
    out.write(f"pyproj {pyproj.__version__} (PROJ {pyproj.proj_version_str}).\n")
    out.write("# Lines: geodesic length and first azimuth on WGS84. Areas: valid, and exterior rings\n")
    out.write("# counterclockwise (RFC 7946, section 3.1.6). Script: make/map.py.\n")
    out.write(f"# Made {datetime.date.today().isoformat()}.\n")
    out.write("night_of,id,type,parts,valid,counterclockwise,west_deg,east_deg,length_m,azimuth_deg,wkt\n")
    for site, date, more in NIGHTS:
        text = subprocess.run(
            [sys.argv[1], "night", site, "--on", date, "--format", "geojson", *more],
            check=True, capture_output=True,
        ).stdout
        meta, _, geometries, fields = pyogrio.raw.read(io.BytesIO(text))
        names = list(meta["fields"])
        ids = fields[names.index("id")]
        assert "role" in names
        for name, wkb in zip(ids, geometries):
            geometry = shapely.from_wkb(wkb)
            west, _, east, _ = geometry.bounds
            length, azimuth, ccw = "", "", ""
            parts = len(getattr(geometry, "geoms", [geometry]))
            if "Line" in geometry.geom_type:
                lines = lines_of(geometry)
                length = f"{sum(geod.geometry_length(line) for line in lines):.4f}"
                (x0, y0), (x1, y1) = lines[0].coords[0], lines[0].coords[-1]
                azimuth = f"{geod.inv(x0, y0, x1, y1)[0] % 360.0:.4f}"
            elif "Polygon" in geometry.geom_type:
                ccw = all(shapely.is_ccw(polygon.exterior) for polygon in polygons_of(geometry))
            wkt = shapely.to_wkt(geometry, rounding_precision=7, trim=True)
            row = [site, name, geometry.geom_type, parts, geometry.is_valid, ccw,
                   f"{west:.7f}", f"{east:.7f}", length, azimuth, f'"{wkt}"']
            out.write(",".join(str(cell) for cell in row) + "\n")
    with open("tests/reference/map_read.csv", "w", newline="\n") as file:
        file.write(out.getvalue())


main()
