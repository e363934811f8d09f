"""Joins the points of a map to what was counted there, and draws both counts.

    python3 examples/map/draw.py FOLDER

FOLDER has grid.csv and nights.csv of map.sh; FOLDER/map.png is written. Lines in
one ink, each with its number of nights, say how many.
"""

import sys
from pathlib import Path

import duckdb
import matplotlib

matplotlib.use("Agg")
import matplotlib.pyplot as plt
from matplotlib.ticker import MaxNLocator

folder = Path(sys.argv[1])

# A join, so that a point without a row would show: the SQL engine knows types and
# joins a hundred million rows as it joins these.
rows = duckdb.execute(
    """
    SELECT grid."row", grid."column", grid.latitude_deg, grid.longitude_deg,
           nights.nights_raking, nights.nights_dark
    FROM read_csv($grid) AS grid
    LEFT JOIN read_csv($nights) AS nights
      ON nights."row" = grid."row" AND nights."column" = grid."column"
    ORDER BY grid."row", grid."column"
    """,
    {"grid": str(folder / "grid.csv"), "nights": str(folder / "nights.csv")},
).fetchnumpy()

height = int(rows["row"].max()) + 1
latitude, longitude, raking, dark = (
    rows[name].reshape(height, -1)
    for name in ("latitude_deg", "longitude_deg", "nights_raking", "nights_dark")
)

figure, places = plt.subplots(1, 2, figsize=(9, 4.6), layout="constrained")
for place, counted, title in [
    (places[0], raking, "Nights with a low Moon from the side"),
    (places[1], dark, "Dark nights"),
]:
    place.set_title(f"{title}, 2027", fontsize=10)
    # Whole nights: between 27 and 28 there is no line.
    levels = MaxNLocator(nbins=8, integer=True).tick_values(counted.min(), counted.max())
    lines = place.contour(
        longitude, latitude, counted, levels=levels, colors="black", linewidths=0.8
    )
    # A label at the edge of the grid is whole.
    for label in place.clabel(lines, fmt="%d", fontsize=8):
        label.set_clip_on(False)
    place.set_xlabel("longitude, degrees")
    place.set_ylabel("latitude, degrees")
    place.set_aspect(1.2)
figure.savefig(folder / "map.png", dpi=150)
print(folder / "map.png")
