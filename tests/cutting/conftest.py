"""Rooms and the independent check, handed to the tests of cutting."""

from __future__ import annotations

import importlib.util
import tomllib
from functools import cache
from pathlib import Path

import pytest
from shapely.geometry import Polygon

from tracker.domain.cutting.plans import BoardStock, Need2

FACE_MM = 20
ROOMS = sorted((Path(__file__).parents[1] / "data" / "cutting_rooms").glob("*.toml"))


@cache
def load_room(path: Path) -> tuple[tuple[Need2, ...], BoardStock]:
    """The bays' net infill and the board of a room file in mm; every edge takes 20 mm (a joint of 40 is halved)."""
    site = tomllib.loads(path.read_text())
    item = next(one for one in site["item"] if one["form"] == "board")
    long, wide = (side / 1000 for side in item["size"])
    stock = BoardStock(item["name"], long, wide, item["kerf"] / 1000, waste_below_m=item["waste_below"] / 1000)
    needs = []
    for plane in site["room"][0]["plane"]:
        for bay in plane["bay"]:
            net = Polygon(bay["outline"])
            for opening in plane.get("opening", ()):
                net = net.difference(Polygon(opening["outline"]))
            net = net.buffer(-FACE_MM, join_style="mitre", mitre_limit=20)
            shapes = [one for one in getattr(net, "geoms", [net]) if not one.is_empty]
            infill = tuple((_ring(one.exterior), tuple(_ring(hole) for hole in one.interiors)) for one in shapes)
            needs.append(Need2(f"{plane['name']}/{bay['name']}", infill))
    return tuple(needs), stock


def _ring(ring):
    return tuple((x / 1000, y / 1000) for x, y in ring.coords[:-1])


def load(name):
    """A module beside this file."""
    spec = importlib.util.spec_from_file_location(name, Path(__file__).with_name(f"{name}.py"))
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="session")
def verify():
    return load("cutting_verify")


@pytest.fixture(scope="session")
def classes():
    return load("cutting_classes")


@pytest.fixture(scope="session")
def cpsat():
    return load("cutting_cpsat")


@pytest.fixture(params=ROOMS, ids=lambda path: path.stem)
def room(request):
    return load_room(request.param)


@pytest.fixture(scope="session")
def rooms():
    return [load_room(path) for path in ROOMS]
