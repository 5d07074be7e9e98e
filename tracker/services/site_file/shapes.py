"""Shapes in a site file: outline, size or tape set, placed on the plane; planes with their openings and bays."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields
from typing import Any, Literal

from tracker.domain.errors import Refused
from tracker.domain.geometry import lying
from tracker.domain.geometry.outline import check_outline, place, rectangle, tidy
from tracker.domain.geometry.tape import quadrilateral
from tracker.domain.site import Bay, Opening, Outline, Plane, TapeSet
from tracker.services.site_file.faults import Fault, Gathered, Loc, Unjudged, judged
from tracker.services.site_file.invalid import example_of
from tracker.services.site_file.lengths import Lengths
from tracker.services.site_file.names import shown_name, tables_in
from tracker.services.site_file.tables import UNREAD, BayTable, OpeningTable, PlaneTable, Shaped, TapeTable

Shape = tuple[Outline, TapeSet | None]


class ShapeReader:
    """Reads shapes in the site's unit."""

    def __init__(self, lengths: Lengths, found: Gathered, part: Callable[..., str]) -> None:
        self._lengths = lengths
        self._found = found
        self._part = part

    def plane(self, room: str, one: PlaneTable, where: str, loc: Loc) -> Plane | None:
        """A plane with its openings and bays; None where any of it can't be read or lies wrong."""
        before = len(self._found.faults)
        if one.at is not None:
            with self._found.at(*loc, "at"):
                raise Refused(f"{where}: at belongs to bays and openings; a plane starts at its own corner")
        shape = self._shape(one, where, loc, at=(0.0, 0.0))
        axis = None
        with self._found.at(*loc, "axis"):
            axis = _axis(one, where)
        openings = {number: opening for number, each in enumerate(tables_in(one.opening))
                    if (opening := self._opening(each, number, where, (*loc, "opening", number))) is not None}
        bays = {number: bay for number, each in enumerate(tables_in(one.bay)) if (bay := self._bay(
            room, shown_name(one.name, int(loc[-1])), each, number, shape, (*loc, "bay", number))) is not None}
        outline, tape = shape or ((), None)
        plane = Plane(room=room, name=one.name, kind=one.kind, outline=outline, surface=one.surface,
                      openings=tuple(openings.values()), bays=tuple(bays.values()), tape=tape, axis=axis)
        for fault in lying.plane_faults(plane, bounded=shape is not None):
            # Of two by one name the second is told as that; where it lies can't be meant.
            if fault.other != fault.name:
                numbers = list(openings if fault.kind == "opening" else bays)
                self._found.faults.append(Fault((*loc, fault.kind, numbers[fault.number]),
                                                f"{where}: {lying.say(fault, self._lengths.show)}"))
        whole = shape is not None and UNREAD not in vars(one).values() and len(openings) == len(one.opening) and (
            len(bays) == len(one.bay))
        return None if self._found.since(before) or not whole else plane

    def _shape(self, one: Shaped, where: str, loc: Loc, at: tuple[float, float] | None = None) -> Shape | None:
        """Its outline where it lies; None where it can't be read."""
        if at is None and one.at is None:
            at = (0.0, 0.0)
        elif at is None:
            with self._found.at(*loc, "at"):
                at = self._lengths.pair(one.at, where, "at", (*loc, "at"), position=True)
        with self._found.at(*loc):
            outline, tape = self._drawn(one, where, loc)
            if one.outline is None:
                outline = place(outline, judged(UNREAD if at is None else at))
            return outline, tape
        return None

    def _drawn(self, one: Shaped, where: str, loc: Loc) -> Shape:
        given = [key for key in ("outline", "size", "tape") if getattr(one, key) is not None]
        if len(given) != 1:
            said = " and ".join(given) if given else "none of them"
            raise Refused(f"{where}: give one of outline, size or tape; here is {said}")
        if one.outline is not None:
            if one.at is not None and not isinstance(one, PlaneTable):
                raise Refused(f"{where}: at does not belong with outline, whose corners say where it is")
            corners = [self._corner(pair, where, (*loc, "outline")) for pair in judged(one.outline)]
            if None in corners:
                raise Unjudged
            outline = tuple(corner for corner in corners if corner is not None)
            check_outline(outline, where)
            return outline, None
        if one.size is not None:
            return rectangle(*self._lengths.pair(one.size, where, "size", (*loc, "size"))), None
        return self._taped(one.tape, where, "tape", loc)

    def _corner(self, pair: Any, where: str, loc: Loc) -> tuple[float, ...] | None:
        try:
            return self._lengths.pair(pair, where, "outline", loc, position=True)
        except Unjudged:
            return None

    def _taped(self, tape: TapeTable, where: str, key: str, loc: Loc) -> Shape:
        """A tape set and the outline it fixes."""
        given = vars(judged(tape))
        read = {name: self._lengths.noted(value, where, f"{key} {name}", (*loc, key, name))
                for name, value in given.items()}
        if any(read[name] is None and value is not None for name, value in given.items()):
            raise Unjudged
        taped = TapeSet(**{field.name: read[field.name.removesuffix("_m")] for field in fields(TapeSet)})
        try:
            return quadrilateral(taped), taped
        except Refused as error:
            raise Refused(f"{where}: {key}: {error}") from error

    def _opening(self, one: OpeningTable, number: int, where: str, loc: Loc) -> Opening | None:
        name = shown_name(one.name, number)
        place_ = f'{where} opening "{name}"'
        if one.outline is None and one.at is None:
            with self._found.at(*loc):
                raise Refused(f"{place_}: at is missing; say where its lower left corner is, "
                              f"{example_of('at', self._lengths.unit)}")
        shape = self._shape(one, place_, loc)
        return None if shape is None or (one.outline is None and one.at is None) else Opening(
            name, shape[0], one.surface)

    def _bay(self, room: str, plane: str, one: BayTable, number: int, around: Shape | None, loc: Loc) -> Bay | None:
        name = shown_name(one.name, number)
        where = self._part("room.plane.bay", room, plane, name)
        shape = fitted = None
        with self._found.at(*loc):
            if not judged(one.whole):
                shape = self._shape(one, where, loc)
            elif any(value is not None for value in (one.outline, one.size, one.tape, one.at)):
                raise Refused(f"{where}: whole = true is the plane's outline; leave outline, size, tape and at out")
            elif around is not None:
                shape = around[0], None
        if one.fitted is not None:
            with self._found.at(*loc, "fitted"):
                if shape is not None and len(tidy(shape[0])) != 4:
                    raise Refused(f"{where}: fitted describes four sides, this bay has {len(tidy(shape[0]))}; "
                                  "leave it out")
                fitted = self._taped(one.fitted, where, "fitted", loc)[1]
        return None if shape is None else Bay(
            room=room, plane=plane, name=name, phase=one.phase, build_up=one.build_up, outline=shape[0],
            tape=shape[1], fitted=fitted, after=() if one.after is UNREAD else tuple(one.after))


def _axis(one: PlaneTable, where: str) -> Literal["x", "y", "z"] | None:
    level = judged(one.kind) in ("ceiling", "slope", "floor")
    fits = () if one.kind == "cloud" else ("z",) if level else ("x", "y")
    if judged(one.axis) is not None and one.axis not in fits:
        said = " or ".join(fits) if fits else "none; take it out"
        raise Refused(f'{where}: axis = "{one.axis}": the axis of a {one.kind} is {said}')
    return "z" if level else one.axis
