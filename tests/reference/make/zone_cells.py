"""src/scene/zones: the time zone of every place, as a tree of cells; and zone_clocks.csv.

Boundaries are those of timezone-boundary-builder (made from OpenStreetMap, ODbL 1.0) as the
package timezonefinder-data has them. Which zones keep the same clocks comes from the IANA data in
the package tzdata, by Python's zoneinfo; zone_clocks.csv keeps it for the tests.

The tree: two squares of 180 degrees, west and east, each cut into four until a cell has one answer
or is the finest. Places at sea that no zone holds have none, nor has the Antarctic. A cell that a
border crosses holds a zone of each kind of clocks. Borders between the same clocks and with the
high sea are kept in larger cells, which hold the zone with the largest part.

names.txt: a line for each answer: no zone (line 0), one, or several with spaces between them.
nodes.bin: 3 bytes, big end first, for each of a node's children: south-west, south-east,
north-west, north-east. Nodes 0 and 1 are the squares. From 0x800000 a child is the number of a
line; from 0x400000 that of a block; below, that of a node. What is equal is kept once.
blocks.bin: the finest 4 by 4 cells, where there are two zones: 2 bytes for the line that has both,
then 2 bits for each cell, in the order of the children: no zone, the first, the second, both.
"""

import datetime
import importlib.metadata
import os
import sys
import zoneinfo

import shapely
from timezonefinder import TimezoneFinder

zoneinfo.reset_tzpath(to=[])

# Halvings of 180 degrees: the finest cells are 180 / 2**13 degrees, 2.4 km. Borders that change no
# clock are kept to 20 km, those with the high sea to 40 km.
FINEST, SAME_CLOCKS, COAST = (int(depth) for depth in (sys.argv[1:] or (13, 10, 9)))
BLOCK = FINEST - 2
BLOCKS, LEAF = 0x400000, 0x800000
# South of this no zone is that of a place by its boundaries: stations keep the time of their supply.
ANTARCTIC = -60.0
# Parts of a cell that do not count: rounding, and gaps between polygons.
NOTHING = 1e-7

HERE = os.path.dirname(os.path.abspath(__file__))
ZONES = os.path.join(HERE, "..", "..", "..", "src", "scene", "zones")
UTC = datetime.timezone.utc


def clocks(name):
    """Every change of the offset from 2000 to 2099: (second, offset), the first at the start."""
    zone = zoneinfo.ZoneInfo(name)

    def offset(second):
        moment = datetime.datetime.fromtimestamp(second, UTC).astimezone(zone)
        return int(moment.utcoffset().total_seconds())

    second = int(datetime.datetime(2000, 1, 1, tzinfo=UTC).timestamp())
    end = int(datetime.datetime(2099, 12, 31, tzinfo=UTC).timestamp())
    known = offset(second)
    changes = [(second, known)]
    while second < end:
        after = offset(second + 86_400)
        if after != known:
            low, high = second, second + 86_400
            while high - low > 1:
                middle = (low + high) // 2
                low, high = (middle, high) if offset(middle) == known else (low, middle)
            known = after
            changes.append((high, known))
        second += 86_400
    return tuple(changes)


def boundaries(finder, name):
    polygons = []
    for rings in finder.get_geometry(tz_name=name, coords_as_pairs=True):
        polygon = shapely.Polygon(rings[0], rings[1:])
        polygons.append(polygon if polygon.is_valid else shapely.make_valid(polygon))
    return polygons


class Tree:
    def __init__(self, clocks_of):
        self.clocks_of = clocks_of
        self.lines = {"": 0}
        self.line_of = {LEAF: ""}
        self.nodes = [None, None]
        self.blocks = []
        self.known = {}
        self.crossed = 0

    def leaf(self, zones):
        line = " ".join(sorted(zones))
        leaf = LEAF + self.lines.setdefault(line, len(self.lines))
        self.line_of[leaf] = line
        return leaf

    def cell(self, parts, west, south, size, depth):
        """The child for a cell; parts: zone and those of its polygons that may reach into it."""
        if south + size <= ANTARCTIC:
            return self.leaf([])
        clipped, share = {}, {}
        whole = size * size
        for zone, polygons in parts.items():
            pieces = []
            for polygon in polygons:
                piece = shapely.clip_by_rect(polygon, west, south, west + size, south + size)
                if piece.area > NOTHING * whole:
                    pieces.append(piece)
            if pieces:
                clipped[zone] = pieces
                share[zone] = min(sum(piece.area for piece in pieces) / whole, 1.0)
        if not clipped:
            return self.leaf([])
        by_size = sorted(share, key=lambda zone: (-share[zone], zone))
        first_of = {}
        for zone in by_size:
            first_of.setdefault(self.clocks_of[zone], zone)
        enough = FINEST
        if len(first_of) == 1:
            enough = COAST if len(clipped) == 1 else SAME_CLOCKS
        covered = all(part > 1.0 - NOTHING for part in share.values())
        if covered or depth >= enough:
            self.crossed += len(first_of) > 1
            return self.leaf(first_of.values())
        children = self.children(clipped, west, south, size, depth)
        if len(set(children)) == 1 and isinstance(children[0], int):
            return children[0]
        # Numbers are given only above the blocks.
        return children if depth > BLOCK else self.number(children, depth)

    def children(self, parts, west, south, size, depth):
        half = size / 2.0
        return tuple(
            self.cell(parts, west + half * east, south + half * north, half, depth + 1)
            for north in (0, 1)
            for east in (0, 1)
        )

    def number(self, children, depth):
        block = self.block(children) if depth == BLOCK else None
        if block is not None:
            return BLOCKS + self.numbered(self.blocks, block)
        children = tuple(
            child if isinstance(child, int) else self.number(child, depth + 1) for child in children
        )
        return self.numbered(self.nodes, children)

    def numbered(self, all, one):
        if one not in self.known:
            self.known[one] = len(all)
            all.append(one)
        return self.known[one]

    def block(self, children):
        """Six bytes for 4 by 4 cells of two zones and the line that has both; None for others."""
        cells = []
        for child in children:
            cells.extend([child] * 4 if isinstance(child, int) else child)
        both = [cell for cell in set(cells) if " " in self.line_of[cell]]
        if len(both) != 1:
            return None
        zones = self.line_of[both[0]].split(" ")
        if len(zones) != 2:
            return None
        codes = [self.leaf([]), self.leaf(zones[:1]), self.leaf(zones[1:]), both[0]]
        if not set(cells) <= set(codes):
            return None
        word = 0
        for cell in cells:
            word = word * 4 + codes.index(cell)
        return (both[0] - LEAF).to_bytes(2, "big") + word.to_bytes(4, "big")


def main():
    finder = TimezoneFinder(in_memory=True)
    zones = sorted(name for name in finder.timezone_names if not name.startswith("Etc/"))
    clocks_of = {name: clocks(name) for name in zones}
    parts = {name: boundaries(finder, name) for name in zones}
    tree = Tree(clocks_of)
    # South of the pole and north of it there is nothing: the squares reach from -90 to 90.
    tree.nodes[0] = tree.children(parts, -180.0, -90.0, 180.0, 0)
    tree.nodes[1] = tree.children(parts, 0.0, -90.0, 180.0, 0)
    assert max(len(tree.nodes), len(tree.blocks)) < BLOCKS
    with open(os.path.join(ZONES, "nodes.bin"), "wb") as file:
        file.writelines(child.to_bytes(3, "big") for node in tree.nodes for child in node)
    with open(os.path.join(ZONES, "blocks.bin"), "wb") as file:
        file.writelines(tree.blocks)
    with open(os.path.join(ZONES, "names.txt"), "w", encoding="ascii", newline="\n") as file:
        file.writelines(f"{line}\n" for line in tree.lines)
    classes = {}
    for name in zones:
        classes.setdefault(clocks_of[name], name)
    data = f"timezonefinder-data {importlib.metadata.version('timezonefinder-data')}"
    header = [
        "The time zones of zone_cells.bin, and for each the first that keeps the same clocks from 2000",
        "to 2099.",
        f"Source: zones of {data} (timezone-boundary-builder, made from",
        "OpenStreetMap, ODbL 1.0); clocks by Python's zoneinfo, IANA time zone data,",
        f"tzdata {importlib.metadata.version('tzdata')} (public domain).",
        "Settings: offsets of each day, changes to the second.",
        "Script make/zone_cells.py.",
        f"Made {datetime.datetime.now(UTC):%Y-%m-%d}.",
    ]
    with open(os.path.join(HERE, "..", "zone_clocks.csv"), "w", encoding="utf-8", newline="\n") as file:
        file.writelines(f"# {line}\n" for line in header)
        file.write("zone,same_clocks\n")
        file.writelines(f"{name},{classes[clocks_of[name]]}\n" for name in zones)
    print(
        f"{len(tree.nodes)} nodes, {len(tree.blocks)} blocks, {len(tree.lines)} lines: "
        f"{12 * len(tree.nodes) + 6 * len(tree.blocks)} bytes and the names; "
        f"{tree.crossed} cells with borders, {len(classes)} clocks of {len(zones)} zones"
    )


main()
