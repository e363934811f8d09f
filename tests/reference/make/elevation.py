"""Small GeoTIFFs of every kind that is read, by GDAL (in rasterio), and what GDAL's own bilinear
resampling finds between their posts; places on UTM grids by PROJ (in pyproj).

Writes ../elevation/*.tif, ../elevation.csv and ../utm.csv. The ground is artificial and smooth.
"""

import datetime
import os
import pathlib

import numpy as np
import pyproj
import rasterio
import rasterio.shutil
from affine import Affine
from rasterio.warp import Resampling, reproject

HERE = pathlib.Path(__file__).parent
FOLDER = HERE.parent / "elevation"
POINTS = 30
SIZE = 60
SECOND = 1 / 3600


def ground(latitude, longitude):
    """Metres above the sea; wavelengths of 4 km and more."""
    north = np.radians(latitude) * 6_371_000.0
    east = np.radians(longitude) * 6_371_000.0 * np.cos(np.radians(np.round(latitude)))
    wave = lambda length, angle, size: size * np.sin(
        2 * np.pi * (north * np.cos(angle) + east * np.sin(angle)) / length
    )
    return 1500.0 + wave(4000, 0.4, 120) + wave(6500, 1.9, 150) + wave(17000, 2.7, 300)


def heights(crs, transform, shape, centre=0.5):
    """The ground at the posts; `centre` is where a post stands in its cell."""
    rows, columns = np.mgrid[0 : shape[0], 0 : shape[1]]
    x, y = transform * (columns + centre, rows + centre)
    if not pyproj.CRS(crs).is_geographic:
        back = pyproj.Transformer.from_crs(crs, pyproj.CRS(crs).geodetic_crs, always_xy=True)
        x, y = back.transform(x, y)
    return ground(y, x)


def write(name, data, crs, transform, dtype, nodata=None, **options):
    if np.issubdtype(np.dtype(dtype), np.integer):
        data = np.round(data)
    path = FOLDER / f"{name}.tif"
    profile = dict(
        driver="GTiff",
        height=data.shape[0],
        width=data.shape[1],
        count=1,
        dtype=dtype,
        crs=crs,
        transform=transform,
        **options,
    )
    if nodata is not None:
        profile["nodata"] = nodata
    with rasterio.open(path, "w", **profile) as file:
        file.write(data.astype(dtype), 1)
    return path


def point(path):
    """Declares that the posts stand at the coordinates, as GDAL understands it."""
    with rasterio.open(path, "r+") as file:
        file.update_tags(AREA_OR_POINT="Point")


def good():
    """Each file and its posts."""
    second3 = 3 * SECOND
    alps = Affine(second3, 0, 8.0, 0, -second3, 46.55)
    shape = (SIZE, SIZE)
    tiled = dict(tiled=True, blockxsize=16, blockysize=16)
    data = heights("EPSG:4326", alps, shape)
    write("degrees-i16-strips-none", data, "EPSG:4326", alps, "int16")
    point(write("degrees-i16-tiles-deflate-2-point", data, "EPSG:4326", alps, "int16",
                compress="deflate", predictor=2, **tiled))
    write("degrees-u16-tiles-lzw-2", data, "EPSG:4269", alps, "uint16", compress="lzw",
          predictor=2, **tiled)
    write("degrees-i32-strips-deflate-2", data, "EPSG:4258", alps, "int32", compress="deflate",
          predictor=2)
    write("degrees-u32-strips-lzw", data, "EPSG:4326", alps, "uint32", compress="lzw")
    write("degrees-i16-strips-packbits-big-endian", data, "EPSG:4326", alps, "int16",
          compress="packbits", ENDIANNESS="BIG")
    holed = data.copy()
    holed[20:30, 25:40] = np.nan
    write("degrees-f32-tiles-deflate-3-nan", holed, "EPSG:4326", alps, "float32",
          nodata=float("nan"), compress="deflate", predictor=3, **tiled)
    marked = np.where(np.isnan(holed), -9999.0, holed)
    point(write("degrees-f32-strips-lzw-3-nodata-point", marked, "EPSG:4326", alps, "float32",
                nodata=-9999.0, compress="lzw", predictor=3, blockysize=7))
    lowest = float(np.finfo(np.float32).min)
    marked = np.where(np.isnan(holed), lowest, holed)
    write("degrees-f32-strips-none-lowest", marked, "EPSG:4326", alps, "float32", nodata=lowest)
    write("degrees-f32-tiles-lzw-2", data, "EPSG:4326", alps, "float32", compress="lzw",
          predictor=2, **tiled)
    write("degrees-f64-tiles-deflate-3", data, "EPSG:4326", alps, "float64", compress="deflate",
          predictor=3, **tiled)
    write("degrees-over-ellipsoid", data, "EPSG:4979", alps, "int16", compress="deflate")
    # Rows from south to north: the place is in a matrix.
    upward = Affine(second3, 0, 8.0, 0, second3, 46.5)
    write("degrees-f32-upward-matrix", heights("EPSG:4326", upward, shape), "EPSG:4326", upward,
          "float32", compress="deflate", predictor=3)
    # Tiles that were never written.
    with rasterio.open(FOLDER / "degrees-i16-tiles-sparse.tif", "w", driver="GTiff", height=SIZE,
                       width=SIZE, count=1, dtype="int16", crs="EPSG:4326", transform=alps,
                       nodata=-32768, compress="deflate", SPARSE_OK="TRUE", **tiled) as file:
        window = rasterio.windows.Window(0, 0, 48, 32)
        file.write(np.round(data[:32, :48]).astype("int16"), 1, window=window)
    # Overviews behind the first directory, which is read.
    with rasterio.open(FOLDER / "big-overviews.tif", "w", driver="GTiff", height=SIZE, width=SIZE,
                       count=1, dtype="int16", crs="EPSG:4326", transform=alps,
                       compress="deflate", predictor=2, BIGTIFF="YES", **tiled) as file:
        file.write(np.round(data).astype("int16"), 1)
        file.build_overviews([2, 4], Resampling.average)
    with rasterio.MemoryFile() as memory:
        with memory.open(driver="GTiff", height=SIZE, width=SIZE, count=1, dtype="float32",
                         crs="EPSG:4326", transform=alps) as file:
            file.write(data.astype("float32"), 1)
        with memory.open() as file:
            rasterio.shutil.copy(file, FOLDER / "degrees-f32-cog.tif", driver="COG",
                                 compress="deflate", predictor="yes", overview_count=1)
    for name, crs, corner in [
        ("utm32-f32-tiles-deflate-3", "EPSG:32632", (423_000, 5_151_000)),
        ("utm19s-i16-strips-lzw-2", "EPSG:32719", (610_000, 7_480_000)),
        ("utm13-nad83-f32-tiles", "EPSG:26913", (475_000, 4_428_000)),
        ("utm13-nad83-2011-i32-strips", "EPSG:6342", (475_000, 4_428_000)),
        ("utm33-etrs89-i16-point", "EPSG:25833", (395_000, 7_520_000)),
        ("mga54-gda2020-f32-strips", "EPSG:7854", (260_000, 6_500_000)),
    ]:
        transform = Affine(90, 0, corner[0], 0, -90, corner[1])
        kind = next(kind for kind in ("f32", "i16", "i32") if kind in name)
        dtype = {"f32": "float32", "i16": "int16", "i32": "int32"}[kind]
        options = tiled if "tiles" in name else {}
        predictor = 3 if kind == "f32" else 2
        path = write(name, heights(crs, transform, shape), crs, transform, dtype,
                     compress="lzw" if "lzw" in name else "deflate", predictor=predictor, **options)
        if "point" in name:
            point(path)
    transform = Affine(90, 0, 475_000, 0, -90, 4_428_000)
    feet = heights("EPSG:26913", transform, shape) / (1200 / 3937)
    write("utm13-feet", feet, "EPSG:26913+6360", transform, "float32", compress="deflate",
          predictor=3)
    # Two tiles that share no post: one raster cut in two, in degrees and in metres.
    for name, crs, transform in [
        ("degrees", "EPSG:4326", alps),
        ("utm32", "EPSG:32632", Affine(90, 0, 423_000, 0, -90, 5_151_000)),
    ]:
        data = heights(crs, transform, shape)
        write(f"whole-{name}", data, crs, transform, "float32", compress="deflate", predictor=3)
        for part, columns in [("west", slice(0, 25)), ("east", slice(25, SIZE))]:
            cut = transform * Affine.translation(columns.start, 0)
            write(f"part-{name}-{part}", data[:, columns], crs, cut, "float32",
                  compress="deflate", predictor=3)
    # Above 50 degrees the cells of some sets are half as wide again.
    for name, corner, wide in [("south", 50.0 + SECOND / 2, 1.0), ("north", 50.0 + 40.5 * SECOND, 1.5)]:
        rows = 40
        columns = round(60 / wide)
        transform = Affine(wide * SECOND, 0, 14.0 - wide * SECOND / 2, 0, -SECOND, corner)
        write(f"step-{name}", heights("EPSG:4326", transform, (rows, columns)), "EPSG:4326",
              transform, "float32", compress="deflate", predictor=3)
    # The antimeridian: a tile on either side.
    for name, west in [("west", 180.0 - 30 * second3), ("east", -180.0)]:
        transform = Affine(second3, 0, west, 0, -second3, -16.5)
        # One ground on both sides.
        data = heights("EPSG:4326", transform * Affine.translation(0, 0), (40, 30))
        if name == "east":
            data = heights("EPSG:4326", Affine(second3, 0, 180.0, 0, -second3, -16.5), (40, 30))
        write(f"turn-{name}", data, "EPSG:4326", transform, "float32", compress="deflate",
              predictor=3)
    # One ground on two grids, for skylines.
    fine = Affine(SECOND, 0, 8.0, 0, -SECOND, 46.55)
    write("skyline-degrees", heights("EPSG:4326", fine, (180, 200)), "EPSG:4326", fine, "float32",
          compress="deflate", predictor=3, **tiled | dict(blockxsize=64, blockysize=64))
    grid = Affine(25, 0, 423_200, 0, -25, 5_155_700)
    write("skyline-utm32", heights("EPSG:32632", grid, (226, 180)), "EPSG:32632", grid, "float32",
          compress="deflate", predictor=3, **tiled | dict(blockxsize=64, blockysize=64))


def refused():
    """Files that are met with what to type instead."""
    degrees = Affine(0.001, 0, 8.0, 0, -0.001, 46.55)
    data = np.full((8, 8), 500.0)
    web = Affine(100, 0, 890_000, 0, -100, 5_870_000)
    write("no-web-mercator", data, "EPSG:3857", web, "int16")
    write("no-national", data, "EPSG:2056", Affine(100, 0, 2_600_000, 0, -100, 1_200_000), "int16")
    write("no-nad27", data, "EPSG:4267", degrees, "int16")
    write("no-system", data, None, degrees, "int16")
    write("no-rotated", data, "EPSG:4326", degrees @ Affine.rotation(20), "int16")
    write("no-8-bit", data * 0 + 9, "EPSG:4326", degrees, "uint8")
    write("no-64-bit", data, "EPSG:4326", degrees, "int64")
    write("no-zstd", data, "EPSG:4326", degrees, "int16", compress="zstd")
    write("no-lerc", data, "EPSG:4326", degrees, "float32", compress="lerc")
    write("no-jpeg", data * 0 + 9, "EPSG:4326", degrees, "uint8", compress="jpeg",
          tiled=True, blockxsize=16, blockysize=16)
    write("no-nodata", np.where(np.eye(8), -9999.0, data), "EPSG:4326", degrees, "float32")
    with rasterio.open(FOLDER / "no-bands.tif", "w", driver="GTiff", height=8, width=8, count=2,
                       dtype="int16", crs="EPSG:4326", transform=degrees) as file:
        file.write(np.stack([data, data]).astype("int16"))
    with rasterio.open(FOLDER / "no-scale.tif", "w", driver="GTiff", height=8, width=8, count=1,
                       dtype="int16", crs="EPSG:4326", transform=degrees) as file:
        file.write(data.astype("int16"), 1)
        file.scales = [0.1]


def bilinear(file, x, y):
    """GDAL's own value in the middle of a tiny cell at x and y of the file's own grid."""
    step = 1e-6 * abs(file.transform.a)
    found = np.full((1, 1), -12345.0, dtype="float64")
    # Both in the same system, so that nothing is projected; which one does not matter.
    reproject(
        source=file.read(1).astype("float64"),
        src_transform=file.transform,
        src_crs="EPSG:3857",
        src_nodata=file.nodata,
        destination=found,
        dst_transform=Affine(step, 0, x - step / 2, 0, -step, y + step / 2),
        dst_crs="EPSG:3857",
        dst_nodata=-12345.0,
        resampling=Resampling.bilinear,
        XSCALE=1,
        YSCALE=1,
    )
    return float(found[0, 0])


def table(random):
    lines = []
    for path in sorted(FOLDER.glob("*.tif")):
        name = path.stem
        if name.startswith("no-") or name.startswith("part-"):
            continue
        with rasterio.open(path) as file:
            posts = file.read(1, masked=True)
            mask = np.ma.getmaskarray(posts) | ~np.isfinite(posts.filled(0).astype("float64"))
            unit = 1200 / 3937 if "feet" in name else 1.0
            flat = pyproj.CRS(file.crs.to_wkt())
            flat = flat.sub_crs_list[0] if flat.is_compound else flat
            for _ in range(POINTS):
                row = random.uniform(0, file.height - 1)
                column = random.uniform(0, file.width - 1)
                x, y = file.transform * (column + 0.5, row + 0.5)
                east, north = x, y
                if not flat.is_geographic:
                    back = pyproj.Transformer.from_crs(flat, flat.geodetic_crs, always_xy=True)
                    x, y = back.transform(x, y)
                r, c = int(row), int(column)
                if mask[r : r + 2, c : c + 2].any():
                    height = ""
                else:
                    height = f"{bilinear(file, east, north) * unit:.4f}"
                lines.append(f"{name}.tif,{y:.10f},{x:.10f},{height}")
    return lines


def utm(random):
    lines = []
    for _ in range(200):
        zone = int(random.integers(1, 61))
        south = bool(random.integers(0, 2))
        latitude = round(random.uniform(0, 84) * (-1 if south else 1), 9)
        # Three zones away, now and then.
        longitude = 6 * zone - 183 + random.uniform(-3, 3) * (1 if random.uniform() < 0.8 else 6)
        longitude = round((longitude + 180) % 360 - 180, 9)
        code = (32700 if south else 32600) + zone
        # PROJ's default is the series of Krueger and of Poder and Engsager.
        east, north = pyproj.Transformer.from_crs(4326, code, always_xy=True).transform(
            longitude, latitude
        )
        lines.append(f"{zone},{'S' if south else 'N'},{latitude:.9f},{longitude:.9f},"
                     f"{east:.6f},{north:.6f}")
    return lines


def header(what):
    return [
        f"# {what}",
        f"# Source: rasterio {rasterio.__version__} with GDAL {rasterio.__gdal_version__}, "
        f"pyproj {pyproj.__version__} with PROJ {pyproj.proj_version_str}",
        "# Script: tests/reference/make/elevation.py",
        f"# Made: {datetime.date.today().isoformat()}",
    ]


def main():
    FOLDER.mkdir(exist_ok=True)
    for old in FOLDER.glob("*"):
        old.unlink()
    good()
    refused()
    for extra in FOLDER.glob("*.xml"):
        os.remove(extra)
    random = np.random.default_rng(18)
    lines = header("Heights between the posts of elevation/*.tif by GDAL's bilinear resampling, "
                   "metres; empty beside a post without one")
    lines += ["file,latitude_deg,longitude_deg,elevation_m", *table(random)]
    (HERE.parent / "elevation.csv").write_text("\n".join(lines) + "\n")
    lines = header("Places on the grids of UTM zones (WGS84), metres")
    lines += ["zone,hemisphere,latitude_deg,longitude_deg,east_m,north_m", *utm(random)]
    (HERE.parent / "utm.csv").write_text("\n".join(lines) + "\n")


if __name__ == "__main__":
    main()
