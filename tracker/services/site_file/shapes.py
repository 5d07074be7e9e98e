"""Shapes in a site file: outline, size or tape set, placed on the plane; bays, openings and free tasks with them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import isclose
from typing import Literal

from tracker.domain.errors import Refused
from tracker.domain.geometry.outline import area_m2, check_outline, extent_m, place, rectangle, tidy
from tracker.domain.geometry.tape import quadrilateral
from tracker.domain.site import Bay, Item, Opening, Outline, Plane, Point, TapeSet, Task
from tracker.measures import MeasureError, SiteUnit, read_length, read_quantity
from tracker.services.site_file.tables import BayTable, OpeningTable, PlaneTable, Shaped, TapeTable, TaskTable

BOX_WITHIN_M = 0.02
"""How far opposite surfaces of a box may differ and still be taken for one, m. Common practice, no source."""


class ShapeReader:
    """Reads shapes in the site's unit."""

    def __init__(self, unit: SiteUnit, rooms: int) -> None:
        self._unit = unit
        self._rooms = rooms

    def part(self, table: str, room: str, *names: str) -> str:
        """A part of a room as a fault names it; with its room where there are several."""
        return f'[[{table}]] "{"/".join(names if self._rooms == 1 else (room, *names))}"'

    def _length(self, value: object, where: str, key: str, *, position: bool = False) -> float:
        try:
            return read_length(value, self._unit, what=key, position=position)
        except MeasureError as error:
            raise Refused(f"{where}: {error}") from error

    def _point(self, pair: list, where: str, key: str) -> Point:
        x, y = (self._length(value, where, key, position=True) for value in pair)
        return x, y

    def _tape(self, tape: TapeTable, where: str) -> TapeSet:
        return TapeSet(**{f"{name}_m": None if value is None else self._length(value, where, f"tape {name}")
                          for name, value in tape.model_dump().items()})

    def _shape(self, one: Shaped, where: str) -> tuple[Outline, TapeSet | None]:
        given = [key for key in ("outline", "size", "tape") if getattr(one, key) is not None]
        if len(given) != 1:
            said = " and ".join(given) if given else "none of them"
            raise Refused(f"{where}: give one of outline, size or tape; here is {said}")
        tape = None
        if one.outline is not None:
            if one.at is not None:
                raise Refused(f"{where}: at does not belong with outline, whose corners say where it is")
            outline = tuple(self._point(pair, where, "outline") for pair in one.outline)
            check_outline(outline, where)
            return outline, None
        if one.size is not None:
            outline = rectangle(*(self._length(value, where, "size") for value in one.size))
        else:
            tape = self._tape(one.tape, where)
            try:
                outline = quadrilateral(tape)
            except Refused as error:
                raise Refused(f"{where}: tape: {error}") from error
        return place(outline, (0.0, 0.0) if one.at is None else self._point(one.at, where, "at")), tape

    def plane(self, room: str, one: PlaneTable, where: str) -> Plane:
        """A plane with its openings and bays."""
        if one.at is not None:
            raise Refused(f"{where}: at belongs to bays and openings; a plane starts at its own corner")
        outline, tape = self._shape(one, where)
        axis = _axis(one, where)
        openings = tuple(self._opening(each, where) for each in one.opening)
        bays = tuple(self._bay(room, one.name, each, outline, where) for each in one.bay)
        return Plane(room=room, name=one.name, kind=one.kind, outline=outline, surface=one.surface, openings=openings,
                     bays=bays, tape=tape, axis=axis)

    def _opening(self, one: OpeningTable, where: str) -> Opening:
        place_ = f'{where} opening "{one.name}"'
        if one.outline is None and one.at is None:
            raise Refused(f"{place_}: at is missing; say where its lower left corner is, e.g. at = [1500, 900]")
        return Opening(one.name, self._shape(one, place_)[0], one.surface)

    def _bay(self, room: str, plane: str, one: BayTable, around: Outline, where: str) -> Bay:
        place_ = self.part("room.plane.bay", room, plane, one.name)
        if one.whole:
            if any(value is not None for value in (one.outline, one.size, one.tape, one.at)):
                raise Refused(f"{place_}: whole = true is the plane's outline; leave outline, size, tape and at out")
            outline, tape = around, None
        else:
            outline, tape = self._shape(one, place_)
        fitted = None if one.fitted is None else self._tape(one.fitted, place_)
        if fitted is not None and len(tidy(outline)) != 4:
            raise Refused(f"{place_}: fitted describes four sides, this bay has {len(tidy(outline))}; leave it out")
        return Bay(room=room, plane=plane, name=one.name, phase=one.phase, build_up=one.build_up, outline=outline,
                   tape=tape, fitted=fitted, after=tuple(one.after))

    def task(self, phase: str, one: TaskTable, items: dict[str, Item], where: str) -> Task:
        """A free task with what it needs; what it waits on is still as written."""
        needs = []
        for name, quantity in one.needs.items():
            item = items.get(name)
            if item is None:
                raise Refused(f'{where} task "{one.name}": needs "{name}" matches no item; add it as [[item]]')
            try:
                needs.append((name, read_quantity(quantity, form=item.form, unit=self._unit, pack=item.pack,
                                                  item_unit=item.unit, what=f'needs "{name}"')))
            except MeasureError as error:
                raise Refused(f'{where} task "{one.name}": {error}') from error
        return Task(phase=phase, name=one.name, after=tuple(one.after), hours_h=one.hours, needs=tuple(needs))


def _axis(one: PlaneTable, where: str) -> Literal["x", "y", "z"] | None:
    level = one.kind in ("ceiling", "slope", "floor")
    fits = () if one.kind == "cloud" else ("z",) if level else ("x", "y")
    if one.axis is not None and one.axis not in fits:
        said = " or ".join(fits) if fits else "none; take it out"
        raise Refused(f'{where}: axis = "{one.axis}": the axis of a {one.kind} is {said}')
    return "z" if level else one.axis


def box_volume_m3(planes: tuple[Plane, ...]) -> float | None:
    """Volume in m3 of a plain box; None for any other room."""
    sides = box_sides_m(planes)
    return None if sides is None else sides[0] * sides[1] * sides[2]


def box_sides_m(planes: tuple[Plane, ...]) -> tuple[float, float, float] | None:
    """Sides and height in m of a plain box, floor and ceiling alike and two pairs of equal walls; None for another."""
    bounding = [plane for plane in planes if plane.kind != "cloud"]
    sizes = {kind: list(_rectangles(bounding, kind)) for kind in ("floor", "ceiling", "wall")}
    if [len(sizes["floor"]), len(sizes["ceiling"]), len(sizes["wall"]), len(bounding)] != [1, 1, 4, 6]:
        return None
    length, width = sorted(sizes["floor"][0])
    if not _same(sorted(sizes["ceiling"][0]), [length, width]):
        return None
    height = sizes["wall"][0][1]
    walls = sorted(sizes["wall"])
    wanted = sorted([(length, height)] * 2 + [(width, height)] * 2)
    if not all(_same(wall, other) for wall, other in zip(walls, wanted, strict=True)):
        return None
    return length, width, height


def _rectangles(planes: list[Plane], kind: str) -> Iterator[tuple[float, float]]:
    for plane in planes:
        corners = tidy(plane.outline)
        (x0, y0), (x1, y1) = extent_m(corners)
        if plane.kind == kind and len(corners) == 4 and isclose(
                area_m2(corners), (x1 - x0) * (y1 - y0), rel_tol=0.02):
            yield x1 - x0, y1 - y0


def _same(one: Sequence[float], other: Sequence[float]) -> bool:
    return all(abs(a - b) <= BOX_WITHIN_M for a, b in zip(one, other, strict=True))
