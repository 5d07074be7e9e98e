"""Keys that no table takes: which one was likely meant, or where the thing belongs."""

from __future__ import annotations

from difflib import get_close_matches

from tracker.services.site_file.tables import (
    BayTable,
    BuildUpTable,
    ItemTable,
    OpeningTable,
    PlaneTable,
    RoomTable,
    SurfaceTable,
    table_at,
)

_SHAPED = {"dimensions": "size", "corners": "outline", "points": "outline", "position": "at", "offset": "at"}
_MEANT = {
    ItemTable: {"thickness": "depth", "thick": "depth", "cost": "price", "stock": "on_hand", "quantity": "on_hand",
                "type": "form", "kind": "form", "resistivity": "flow_resistivity", "lead_time": "lead_days"},
    BuildUpTable: {"board": "infill", "cloth": "fabric", "track": "edge", "absorption": "alpha", "fixings": "each",
                   "air_gap": "gap"},
    BayTable: _SHAPED, OpeningTable: _SHAPED, PlaneTable: {"type": "kind", **_SHAPED},
    SurfaceTable: {"absorption": "alpha", "coefficients": "alpha"},
}
"""The trade's other words for a key."""
_NEAR, _NEAR_TABLE = 0.5, 0.65
"""How alike a key and the one meant are at least; a table taken for another would bring all its keys into it."""
_VOLUMES = {"mm": "e.g. volume = 43.2", "in": 'or in ft3, e.g. volume = "1525 ft^3"'}
_ELSEWHERE = {"plane": "room.plane", "bay": "room.plane.bay", "opening": "room.plane.opening", "task": "phase.task"}


def meant(loc: tuple[str | int, ...]) -> str | None:
    """The key that the unknown one at `loc` likely stands for; None where none is near."""
    table, name = table_at(loc[:-1]), str(loc[-1])
    if table is None or instead(loc) is not None or _elsewhere(loc):
        return None
    known = list(table.model_fields)
    word = _MEANT.get(table, {}).get(name.lower().replace("-", "_").replace(" ", "_"))
    near = _NEAR if len(loc) > 1 else _NEAR_TABLE
    return word or next(iter(get_close_matches(name, known, n=1, cutoff=near)), None)


def _elsewhere(loc: tuple[str | int, ...]) -> str | None:
    """The header of a table that stands at the top of the file and belongs within another."""
    return _ELSEWHERE.get(str(loc[0])) if len(loc) == 1 else None


def instead(loc: tuple[str | int, ...]) -> str | None:
    """The key of the same table that says what the unknown one tried to, in another way."""
    sizes = ("size", "outline", "length", "width", "height", "dimensions")
    return "volume" if table_at(loc[:-1]) is RoomTable and loc[-1] in sizes else None


def remedy_for(loc: tuple[str | int, ...], unit: str) -> str:
    """What to do about the unknown key at `loc`, with an example in the site's unit."""
    if instead(loc) is not None:
        return f"a room takes its volume in m3, {_VOLUMES[unit]}; sizes belong to its planes"
    if (header := _elsewhere(loc)) is not None:
        return f"write [[{header}]]"
    name = meant(loc)
    if name is not None:
        return f"did you mean {name}?"
    table = table_at(loc[:-1])
    return f"it takes {', '.join(table.model_fields)}" if table is not None else "leave it out"
