"""The generated rooms as board needs, read by themselves: net infill is the bay 20 mm inside its outline."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path

from shapely.geometry import Polygon

from tracker.domain.cutting.plans import BoardStock, Need2

ROOMS = sorted((Path(__file__).parents[1] / "data" / "cutting_rooms").glob("*.toml"))
FACE_M = 0.02


@cache
def room(path: Path) -> tuple[tuple[Need2, ...], BoardStock]:
    """The bays' net infill, m, and the board, m, of a room file in mm; every track face is 20 mm (40 mm joints, halved)."""
    site = tomllib.loads(path.read_text())
    item = next(one for one in site["item"] if one["form"] == "board")
    long, wide = (side / 1000 for side in item["size"])
    stock = BoardStock(item["name"], long, wide, item["kerf"] / 1000, waste_below_m=item["waste_below"] / 1000)
    needs = []
    for plane in site["room"][0]["plane"]:
        holes = [Polygon(opening["outline"]) for opening in plane.get("opening", ())]
        for bay in plane["bay"]:
            net = Polygon(bay["outline"])
            for hole in holes:
                net = net.difference(hole)
            net = net.buffer(-FACE_M * 1000, join_style="mitre", mitre_limit=20)
            shapes = [one for one in getattr(net, "geoms", [net]) if not one.is_empty]
            infill = tuple((_ring(one.exterior), tuple(_ring(hole) for hole in one.interiors)) for one in shapes)
            needs.append(Need2(f"{plane['name']}/{bay['name']}", infill))
    return tuple(needs), stock


def _ring(ring):
    return tuple((x / 1000, y / 1000) for x, y in ring.coords[:-1])
