"""Measure a plane or a bay again; taken inside the fixed track, it is what infill is cut to."""

from __future__ import annotations

from dataclasses import fields, replace

from tracker.domain.errors import Refused
from tracker.domain.geometry import lying
from tracker.domain.geometry.bays import bay_shapes, fitted_infill, track_faces
from tracker.domain.geometry.outline import area_m2, place, tidy
from tracker.domain.geometry.tape import findings, quadrilateral, say
from tracker.domain.site import Bay, Outline, Plane, Site, TapeSet
from tracker.domain.work.material import Shapes
from tracker.domain.work.targets import find_bay
from tracker.measures import LONGEST_M, MeasureError, SiteUnit, read_length, show_area, show_length
from tracker.services.allotment import allot
from tracker.services.answers import Outcome
from tracker.services.cut_list import ticked
from tracker.services.desk import Desk
from tracker.store.amounts import outline_text
from tracker.store.site_writer import tape_row
from tracker.store.tables import BayRow, PlaneRow

READINGS = tuple(field.name.removesuffix("_m") for field in fields(TapeSet))
SIDES = ("bottom", "top", "left", "right")
NAMED = 3
"""Most pieces named in a caution."""
MEASURED = frozenset({"measure", "plan", "stock"})


def measure_again(desk: Desk, target: str, readings: dict[str, str], fitted: bool = False) -> Outcome:
    """Takes a tape set of a bay or plane; readings left out stay as they were. Refused where it can't be."""
    before = _ticked(desk)
    outcome = _measured(desk, target, readings, fitted)
    cautions = tuple(_sentence(one) for one in outcome.cautions)
    lost = sorted(before - _ticked(desk)) if before else []
    return replace(outcome, cautions=(*cautions, _no_longer_fit(lost)) if lost else cautions)


def _sentence(words: str) -> str:
    """Words as a sentence of their own: one caution is read right after another."""
    return f"{words[0].upper()}{words[1:]}" + ("" if words.endswith(".") else ".")


def _no_longer_fit(pieces: list[str]) -> str:
    named = ", ".join(pieces[:NAMED]) + (f" and {len(pieces) - NAMED} more" if len(pieces) > NAMED else "")
    return (f"Ticked as cut, and no longer as the bay needs them: {named}. Try them in the new places; spoil the "
            "boards of what can't be used, for the book has them whole.")


def readings_before(desk: Desk, target: str, fitted: bool = False) -> dict[str, tuple[float | None, bool]]:
    """What each reading of a bay or plane is now, m, and whether a tape said so; sides not taped are those of the plan.

    None where nothing is known of it. Refused where the target is no bay or plane.
    """
    site = desk.standing().site
    plane = _plane(site, target)
    bay = None if plane is not None else find_bay(site, target)
    tape = plane.tape if plane is not None else bay.fitted if fitted else bay.tape
    if tape is not None:
        return {name: (getattr(tape, f"{name}_m"), True) for name in READINGS}
    outline = tidy(plane.outline if plane is not None else bay.outline)
    found: dict[str, tuple[float | None, bool]] = {name: (None, False) for name in READINGS}
    if len(outline) == 4 and not fitted:
        left, low = _corner(outline)
        right, high = max(x for x, _ in outline), max(y for _, y in outline)
        if {*outline} == {(left, low), (right, low), (right, high), (left, high)}:
            sides = {"bottom": right - left, "top": right - left, "left": high - low, "right": high - low}
            found |= {name: (length, False) for name, length in sides.items()}
    return found


def _ticked(desk: Desk) -> frozenset[str]:
    now = desk.standing()
    return ticked(now, allot(now)) if now.ticks else frozenset()


def _measured(desk: Desk, target: str, readings: dict[str, str], fitted: bool) -> Outcome:
    now = desk.standing()
    plane = _plane(now.site, target)
    if plane is not None and fitted:
        raise Refused(f"{target}: only a bay is measured inside its track; name one as plane/bay")
    if plane is not None:
        return _measure_plane(desk, plane, _taped(now.site, target, plane.tape, readings))
    bay = find_bay(now.site, target)
    tape = _taped(now.site, target, bay.fitted if fitted else bay.tape, readings)
    return _measure_fitted(desk, bay, tape) if fitted else _measure_bay(desk, bay, tape)


def _plane(site: Site, target: str) -> Plane | None:
    fits = [plane for key, plane in site.planes.items() if target in (key, key.split("/", 1)[1])]
    if len(fits) > 1:
        raise Refused(f"{target}: fits {' and '.join(plane.key for plane in fits)}; write one of them in full")
    return fits[0] if fits else None


def _taped(site: Site, target: str, before: TapeSet | None, readings: dict[str, str]) -> TapeSet:
    # Four new sides make the old diagonals another shape's.
    kept = () if before is None or set(SIDES) <= set(readings) else READINGS
    figures = {name: getattr(before, f"{name}_m") for name in kept}
    for name, text in readings.items():
        if name not in READINGS:
            raise Refused(f"{target}: {name} is no reading; the readings are {', '.join(READINGS)}")
        try:
            figures[name] = _length(target, name, text, site.unit, None if before is None else
                                    getattr(before, f"{name}_m"))
        except MeasureError as error:
            raise Refused(f"{target}: {error}") from error
    missing = [name for name in SIDES if figures.get(name) is None]
    if missing:
        raise Refused(f"{target}: {', '.join(missing)} not given; a tape set needs bottom, top, left, right and a "
                      "diagonal")
    tape = TapeSet(**{f"{name}_m": figures.get(name) for name in READINGS})
    try:
        quadrilateral(tape)
    except Refused as error:
        raise Refused(f"{target}: {error}") from error
    return tape


def _length(target: str, name: str, text: str, unit: SiteUnit, before: float | None) -> float:
    """A reading as typed; with + or - before it, what it differs from the one before, m."""
    sign = text.strip()[:1]
    if sign not in ("+", "-"):
        return read_length(text, unit, what=name)
    if before is None:
        raise Refused(f"{target}: {name} was not taped before, so there is nothing to add {text} to; give all of it")
    more = text.strip()[1:].strip()
    if not more:
        raise Refused(f"{target}: {name} \"{text}\": say by how much it differs, e.g. {sign}8")
    length_m = before + (-1 if sign == "-" else 1) * read_length(more, unit, what=name, position=True)
    if not 0 < length_m <= LONGEST_M:
        raise Refused(f"{target}: {name} would be {show_length(length_m, unit)} with {text}; check the reading")
    return length_m


def _corner(outline: Outline) -> tuple[float, float]:
    return min(x for x, _ in outline), min(y for _, y in outline)


def _four_sided(what: str, outline: Outline) -> None:
    if len(tidy(outline)) != 4:
        raise Refused(f"{what}: a tape set describes four sides, this outline has {len(tidy(outline))}; "
                      "give its outline in a site file instead")


def _refuse_faults(plane: Plane, unit: SiteUnit) -> None:
    faults = lying.plane_faults(plane)
    if faults:
        said = lying.say(faults[0], lambda length_m: show_length(length_m, unit))
        raise Refused(f"{plane.name}: measured so, {said}; check the readings")


def _measure_plane(desk: Desk, plane: Plane, tape: TapeSet) -> Outcome:
    now = desk.standing()
    _four_sided(plane.name, plane.outline)
    outline = place(quadrilateral(tape), _corner(plane.outline))
    # A bay that is the whole plane stays the whole plane.
    whole = [bay for bay in plane.bays if bay.outline == plane.outline]
    bays = tuple(replace(bay, outline=outline) if bay in whole else bay for bay in plane.bays)
    measured = replace(plane, outline=outline, tape=tape, bays=bays)
    _refuse_faults(measured, now.site.unit)
    number = now.numbers.planes[plane.key]
    with desk.store.write() as session:
        session.add(tape_row(tape, desk.today(), plane_id=number))
        session.get(PlaneRow, number).outline = outline_text(outline)
        for bay in whole:
            session.get(BayRow, now.numbers.bays[bay.key]).outline = outline_text(outline)
        session.sentence = f"Measured {now.site.short(plane.key)} again: {show_area(area_m2(outline), now.site.unit)}."
    return Outcome(session.sentence, MEASURED, _findings(now.site, tape))


def _measure_bay(desk: Desk, bay: Bay, tape: TapeSet) -> Outcome:
    now = desk.standing()
    name = now.site.short(bay.key)
    _four_sided(name, bay.outline)
    outline = place(quadrilateral(tape), _corner(bay.outline))
    plane = now.site.planes[f"{bay.room}/{bay.plane}"]
    bays = tuple(replace(one, outline=outline, tape=tape) if one.key == bay.key else one for one in plane.bays)
    measured = replace(plane, bays=bays)
    _refuse_faults(measured, now.site.unit)
    parted = _neighbours(now.site, plane, bay) - _neighbours(now.site, measured, bay)
    number = now.numbers.bays[bay.key]
    with desk.store.write() as session:
        session.add(tape_row(tape, desk.today(), bay_id=number))
        session.get(BayRow, number).outline = outline_text(outline)
        session.sentence = f"Measured {name} again: {show_area(area_m2(outline), now.site.unit)}."
    said = (f"{bay.name} and {other} no longer meet, so each gets edge track there; tape {other} too, or check the "
            "readings" for other in sorted(parted))
    return Outcome(session.sentence, MEASURED, (*_findings(now.site, tape), *said))


def _neighbours(site: Site, plane: Plane, bay: Bay) -> set[str]:
    edges = bay_shapes(plane, track_faces(site, plane))[bay.name].edges
    return {edge.neighbour for edge in edges if edge.neighbour}


def _measure_fitted(desk: Desk, bay: Bay, tape: TapeSet) -> Outcome:
    now = desk.standing()
    name = now.site.short(bay.key)
    surveyed = Shapes(now.site).of(bay)
    infill = fitted_infill(surveyed, tape)
    size = sum(part.area_m2 for part in infill)
    # A reading that is off by a whole stick or a slipped digit is no fit for this bay.
    if not 0.8 < size / surveyed.infill_m2 < 1.25:
        raise Refused(f"{name}: measured so, its infill is {show_area(size, now.site.unit)} where the survey "
                      f"gives {show_area(surveyed.infill_m2, now.site.unit)}; check the readings")
    with desk.store.write() as session:
        session.add(tape_row(tape, desk.today(), bay_id=now.numbers.bays[bay.key], fitted=True))
        session.sentence = f"Measured {name} inside its track: infill is cut to {show_area(size, now.site.unit)} now."
    return Outcome(session.sentence, MEASURED, _findings(now.site, tape))


def _findings(site: Site, tape: TapeSet) -> tuple[str, ...]:
    return tuple(say(one, lambda length_m: show_length(length_m, site.unit)) for one in findings(tape))
