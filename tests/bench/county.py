#!/usr/bin/env python3
"""Writes an invented county and four jobs for one lot of it, to measure time and memory by:

    county.py FOLDER [LOTS]          150,000 lots without a second figure; needs ogr2ogr
    /usr/bin/time -v trenchwright plan FOLDER/gpkg/job.toml --out out

Lots of 20 x 30 m in rows with streets between, a house on each, a water and a storm main in each street; every corner
is moved by up to 5 cm from a fixed seed, so that no two lots are alike. Jobs: `cut` with the layers of the 27 x 13 lots
around ours, then the same layers of the whole county as `gpkg` (indexed), `shp` (with .qix) and `geojson`.
"""

import json
import random
import subprocess
import sys
from pathlib import Path

EAST, NORTH = 430000.0, 5450000.0
SYSTEM = "EPSG:26910"
CRS = {"type": "name", "properties": {"name": "urn:ogc:def:crs:EPSG::26910"}}
COLUMNS = 500
LAYERS = ("parcels", "buildings", "mains")


def ground(x, y):
    """A hill that falls 2 % to the south and 1 % to the west, above sea level."""
    return 50 + 0.02 * (y - NORTH) % 200 + 0.01 * (x - EAST) % 100


def feature(properties, kind, coordinates):
    return json.dumps({"type": "Feature", "properties": properties,
                       "geometry": {"type": kind, "coordinates": coordinates}})


def ring(dice, x, y, width, height):
    corners = [(x, y), (x + width, y), (x + width, y + height), (x, y + height)]
    moved = [[round(a + dice.uniform(-0.05, 0.05), 3), round(b + dice.uniform(-0.05, 0.05), 3)] for a, b in corners]
    return [moved + moved[:1]]


def county(lots, seed=20260101):
    """Yields layer, column, row and text of every feature."""
    dice = random.Random(seed)
    rows = -(-lots // COLUMNS)
    for row in range(rows):
        y = NORTH + row * 40
        for kind, off in (("WATER", 4), ("STORM", 6)):
            for block in range(0, COLUMNS, 10):
                line = [[EAST + block * 20, y + off], [EAST + block * 20 + 200, y + off]]
                text = feature({"id": f"{kind[0]}{block}-{row}", "KIND": kind, "SIZE_MM": 200}, "LineString", line)
                yield "mains", block, row, text
        for column in range(min(COLUMNS, lots - row * COLUMNS)):
            x = EAST + column * 20
            name = f"{column}-{row}"
            yield "parcels", column, row, feature({"PID": name, "CLASS": "LOT", "ZONE": "R1"}, "Polygon",
                                                  ring(dice, x, y + 10, 20, 30))
            yield "buildings", column, row, feature({"id": "H" + name, "USE": "house"}, "Polygon",
                                                    ring(dice, x + 5, y + 20, 10, 10))


def collection(file, texts):
    with open(file, "w", encoding="utf-8") as out:
        out.write('{"type":"FeatureCollection","crs":' + json.dumps(CRS) + ',"features":[\n')
        out.write(",\n".join(texts))
        out.write("\n]}\n")


def job_of(folder, ending, column, row):
    """Our lot's own layers and the job file."""
    x, y = EAST + column * 20, NORTH + row * 40
    spots = [(x + dx, y + dy) for dx in (-4, 2, 10, 18, 24) for dy in (-2, 9, 18, 32, 41)]
    (folder / "spots.csv").write_text(
        "x,y,elev\n" + "".join(f"{a},{b},{ground(a, b):.3f}\n" for a, b in spots), encoding="utf-8")
    (folder / "sources.csv").write_text(
        f"id,x,y,kind,water,roof_area\nDS1,{x + 4.8},{y + 19.8},downspout,roof,50\n", encoding="utf-8")
    (folder / "outlets.csv").write_text(
        f"id,name,x,y,kind,roof\npopup,Pop-up,{x + 3},{y + 13},popup,yes\n", encoding="utf-8")
    (folder / "job.toml").write_text(f"""name = "County lot"
[units]
elevations = "m"
sizes = "mm"
[parcel]
id = "{column}-{row}"
street_between_lots = "yes"
[layers.parcel]
file = "parcels.{ending}"
fields.id = "PID"
where = "CLASS = 'LOT'"
[layers.foundation]
file = "buildings.{ending}"
[layers.utilities]
file = "mains.{ending}"
fields.facility = "KIND"
fields.width = "SIZE_MM"
constants.quality = "D"
words = {{ WATER = "water", STORM = "storm sewer" }}
[layers.spots]
file = "spots.csv"
[layers.sources]
file = "sources.csv"
[layers.outlets]
file = "outlets.csv"
[rules]
print.currency = "CAD"
""", encoding="utf-8")


def main():
    folder = Path(sys.argv[1])
    lots = int(sys.argv[2]) if len(sys.argv) > 2 else 150000
    column, row = 250, lots // COLUMNS // 2
    for name in ("cut", "geojson", "gpkg", "shp"):
        (folder / name).mkdir(parents=True, exist_ok=True)
    everything = {layer: [] for layer in LAYERS}
    near = {layer: [] for layer in LAYERS}
    for layer, a, b, text in county(lots):
        everything[layer].append(text)
        if abs(a - column) <= 13 and abs(b - row) <= 6:
            near[layer].append(text)
    for layer in LAYERS:
        collection(folder / "geojson" / f"{layer}.geojson", everything[layer])
        collection(folder / "cut" / f"{layer}.geojson", near[layer])
    for kind, driver, options in (("gpkg", "GPKG", []), ("shp", "ESRI Shapefile", ["-lco", "SPATIAL_INDEX=YES"])):
        for layer in LAYERS:
            to = folder / kind / f"{layer}.{kind}"
            to.unlink(missing_ok=True)
            subprocess.run(["ogr2ogr", "-q", "-f", driver, *options, str(to),
                            str(folder / "geojson" / f"{layer}.geojson")], check=True)
    for name, ending in (("cut", "geojson"), ("geojson", "geojson"), ("gpkg", "gpkg"), ("shp", "shp")):
        job_of(folder / name, ending, column, row)
    print(f"{lots} lots around {column}-{row} in {SYSTEM}: {folder}")


if __name__ == "__main__":
    main()
