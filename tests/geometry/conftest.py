"""Reads the site files of tests/data into plain values: just what geometry needs of them."""

from __future__ import annotations

import tomllib
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from tracker.domain.geometry.outline import place, rectangle
from tracker.domain.geometry.tape import quadrilateral
from tracker.domain.site import Bay, BuildUp, Item, Opening, Plane, Room, Site, TapeSet

DATA = Path(__file__).parent.parent / "data"
UNIT_M = {"mm": 0.001, "in": 0.0254}


def read_case(name: str) -> Site:
    raw = tomllib.loads((DATA / f"geometry_{name}.toml").read_text())
    unit = UNIT_M[raw["site"]["unit"]]
    items = tuple(Item(one["name"], one["form"], face_m=one.get("face", 0) * unit) for one in raw["item"])
    build_ups = tuple(BuildUp(one["name"], one["infill"], edge=one.get("edge"), joint=one.get("joint"))
                      for one in raw["build_up"])
    rooms = tuple(Room(room["name"], 1.0, tuple(_plane(room["name"], plane, unit) for plane in room["plane"]))
                  for room in raw["room"])
    return Site(name, raw["site"]["unit"], "EUR", date(2026, 1, 5), items=items, build_ups=build_ups, rooms=rooms)


def _plane(room: str, raw: dict[str, Any], unit: float) -> Plane:
    outline, tape = _outline(raw, unit)
    openings = tuple(Opening(one["name"], _outline(one, unit)[0], one["surface"]) for one in raw.get("opening", ()))
    bays = []
    for one in raw.get("bay", ()):
        shape, taped = (outline, None) if one.get("whole") else _outline(one, unit)
        bays.append(Bay(room, raw["name"], one["name"], one["phase"], one["build_up"], shape, taped))
    return Plane(room, raw["name"], raw["kind"], outline, raw["surface"], openings, tuple(bays), tape)


def _outline(raw: dict[str, Any], unit: float) -> tuple[tuple[tuple[float, float], ...], TapeSet | None]:
    at = tuple(value * unit for value in raw.get("at", (0, 0)))
    if "tape" in raw:
        tape = TapeSet(**{f"{name}_m": value * unit for name, value in raw["tape"].items()})
        return place(quadrilateral(tape), at), tape
    if "size" in raw:
        return place(rectangle(*(value * unit for value in raw["size"])), at), None
    return tuple((x * unit, y * unit) for x, y in raw["outline"]), None


@pytest.fixture(scope="session")
def case() -> Any:
    return read_case
