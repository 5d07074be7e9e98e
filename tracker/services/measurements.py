"""Decay times measured in a room: typed in, kept, and what was up when they were taken."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date

from tracker.domain.bands import BANDS_HZ
from tracker.domain.errors import Refused
from tracker.domain.site import Room, Site
from tracker.domain.sound.counting import Times
from tracker.domain.sound.measured import Measured, checked, measuring_notes
from tracker.measures import MeasureError, read_date, show_day
from tracker.measures.units import NUMBER, number, quoted
from tracker.services.answers import Outcome
from tracker.services.desk import Desk, Standing
from tracker.store.measurements import (
    BARE,
    StoredMeasurement,
    read_measurements,
    remove_measurement,
    write_measurement,
)
from tracker.store.store import WriteSession

MEASURED = frozenset({"measure"})
EXAMPLE = "125=0.62 250=0.55 500=0.48"
TAKEN = ("now", "planned", "none")
"""What a measurement can't be named: states worked out, and the word for no calibration."""
_MOST_POSITIONS = 1000


@dataclass(frozen=True, slots=True)
class MeasuredWords:
    """A measurement as typed; what is empty was not said."""

    decay: str
    room: str = ""
    name: str = ""
    phase: str = ""
    on: str = ""
    positions: str = ""
    metric: str = ""
    temperature: str = ""
    humidity: str = ""
    note: str = ""


def read_in(desk: Desk) -> tuple[StoredMeasurement, ...]:
    """Every measurement of the site, the earliest first."""
    with desk.store.read() as session:
        return read_measurements(session)


def type_measurement(desk: Desk, words: MeasuredWords) -> Outcome:
    """Stores decay times a person measured by other means, as one change."""
    with desk.store.write() as session:
        now = desk.standing_in(session)
        room = room_named(now.site, words.room)
        on = day_of(words.on, desk.today())
        phase = phase_named(now.site, room, words.phase)
        known = read_measurements(session)
        one = StoredMeasurement(
            room=room.name, name=words.name.strip() or free_name(known, room.name, phase, on), source="typed", on=on,
            t_s=read_decay(words.decay), metric=_metric(words.metric),
            temperature_c=figure_said("temperature", words.temperature, room.temperature_c, "18", below_0=True),
            humidity_pct=figure_said("humidity", words.humidity, room.humidity_pct, "40"),
            positions=_positions(words.positions), phase=phase, note=words.note.strip())
        put_measurement(session, now, one)
        count = sum(time_s is not None for time_s in one.t_s)
        session.sentence = (f"Stored the measurement \"{one.name}\" of {room.name}: {count} "
                            f"band{'s' if count != 1 else ''}, {state_words(now, one)}.")
    return Outcome(session.sentence, MEASURED, _cautions(now, one))


def drop_measurement(desk: Desk, name: str, room: str = "") -> Outcome:
    """Takes a measurement out of the store; undo puts it back."""
    with desk.store.write() as session:
        now = desk.standing_in(session)
        within = room_named(now.site, room).name if room else None
        known = [one for one in read_measurements(session) if within in (None, one.room)]
        fits = [one for one in known if one.name == name]
        if len(fits) > 1:
            raise Refused(f"{name}: measured in {' and in '.join(one.room for one in fits)}; say --room")
        if not fits:
            raise Refused(f"{name}: no measurement of that name; {_listed(known)}")
        remove_measurement(session, fits[0].id)
        session.sentence = f"Dropped the measurement \"{name}\" of {fits[0].room}."
    return Outcome(session.sentence, MEASURED)


def put_measurement(session: WriteSession, now: Standing, one: StoredMeasurement) -> int:
    """Checks a measurement and adds it to what the session writes; its row number. Refused where it can't be right."""
    room_named(now.site, one.room)
    if one.name.casefold() in TAKEN:
        raise Refused(f"name {one.name}: that already stands for something else here; give another with --name")
    if any(other.room == one.room and other.name == one.name for other in read_measurements(session)):
        raise Refused(f"name {one.name}: {one.room} has a measurement of that name; give another with --name, or take "
                      f"that one out with `sabinry sound --drop \"{one.name}\"`")
    checked(as_measured(now, one))
    return write_measurement(session, one)


def as_measured(now: Standing, one: StoredMeasurement) -> Measured:
    """A measurement as the sound computation sees it, with what was up then."""
    return Measured(one.name, one.t_s, one.temperature_c, one.humidity_pct, one.positions, one.metric,
                    tuple(up_then(now, one).items()))


def up_then(now: Standing, one: StoredMeasurement) -> dict[str, float]:
    """Bay key to the share of its infill that was up at a measurement; bays with none are left out."""
    site = now.site
    if one.phase == BARE:
        return {}
    inside = [bay for plane in site.planes.values() if plane.room == one.room for bay in plane.bays]
    if one.phase is not None:
        order = [phase.name for phase in site.phases]
        done = set(order[:order.index(one.phase) + 1])
        return {bay.key: 1.0 for bay in inside if bay.phase in done}
    up: dict[str, float] = {}
    for entry in now.diary:
        if entry.step == "infill" and entry.on <= one.on:
            up[entry.key] = max(entry.done, up.get(entry.key, 0.0))
    return {bay.key: up[bay.key] for bay in inside if up.get(bay.key, 0.0) > 0.0}


def state_words(now: Standing, one: StoredMeasurement) -> str:
    """What was up at a measurement, in words."""
    if one.phase == BARE:
        return "bare"
    if one.phase is not None:
        return f"after phase {one.phase}"
    up = up_then(now, one)
    if not up:
        return f"bare by the diary on {one.on.isoformat()}"
    part = sum(share < 1 for share in up.values())
    partly = f", {part} of them in part" if part else ""
    return f"{len(up)} bay{'s' if len(up) > 1 else ''} up by the diary on {one.on.isoformat()}{partly}"


def free_name(known: Iterable[StoredMeasurement], room: str, phase: str | None, on: date) -> str:
    """A name for a measurement that says none."""
    first = BARE if phase == BARE else f"after {phase}" if phase else on.isoformat()
    taken = {one.name for one in known if one.room == room}
    dated = () if first == on.isoformat() else (f"{first} {on.isoformat()}",)
    return next(name for name in (first, *dated, *(f"{first} {count}" for count in range(2, len(taken) + 4)))
                if name not in taken)


def room_named(site: Site, name: str) -> Room:
    """A room by name; the only one where none is named."""
    rooms = {room.name: room for room in site.rooms}
    if name in rooms:
        return rooms[name]
    listed = ", ".join(rooms)
    if name:
        raise Refused(f"room {name}: no room of that name; the rooms are {listed}")
    if len(rooms) > 1:
        raise Refused(f"room: say which one, --room with one of {listed}")
    if not rooms:
        raise Refused("room: the site has none")
    return site.rooms[0]


def day_of(text: str, today: date) -> date:
    """The day of a measurement; today where none is said."""
    try:
        on = read_date(text, today, past=True) if text.strip() else today
    except MeasureError as error:
        raise Refused(str(error)) from error
    if on > today:
        raise Refused(f"date {show_day(on, today)}: that day is still to come; store it when it is measured")
    return on


def read_decay(text: str) -> Times:
    """Decay times per band from words such as `125=0.62 250=0.55 1k=0.48`; a band left out was not measured."""
    found: dict[int, float | None] = {}
    close = re.sub(r"(?<=[0-9])\s+(?=k?hz\s*=|s(?![a-z]))", "", text, flags=re.I)  # `125 Hz = 0.62 s` is one word
    words = [word for part in re.sub(r"\s*=\s*", "=", close).split() for word in re.split(r";|,(?=$)", part) if word]
    for word in words:
        match = re.fullmatch(rf"({NUMBER})(k?)(?:hz)?=(?:({NUMBER})s?|-)", word, re.I)
        if match is None:
            raise Refused(f"measured {quoted(word)}: cannot read that; write band=seconds, such as {EXAMPLE}")
        hz = number(match[1]) * (1000 if match[2] else 1)
        if hz not in BANDS_HZ:
            raise Refused(f"measured {quoted(word)}: figures are for {', '.join(map(str, BANDS_HZ))} Hz; leave other "
                          "bands out")
        if int(hz) in found:
            raise Refused(f"measured {quoted(word)}: {int(hz)} Hz is given twice; give it once")
        found[int(hz)] = None if match[3] is None else float(number(match[3]))
    if not found:
        raise Refused(f"measured {quoted(text)}: no decay time is given; write band=seconds, such as {EXAMPLE}")
    return tuple(found.get(hz) for hz in BANDS_HZ)


def phase_named(site: Site, room: Room, text: str) -> str | None:
    """The state that is said: a phase's name, `bare`, or None where none is said."""
    name = text.strip()
    if not name or name == BARE:
        return name or None
    phases = [phase.name for phase in site.phases]
    if name not in phases:
        raise Refused(f"phase {name}: no phase of that name; write {BARE} or one of {', '.join(phases)}")
    return name


def _metric(text: str) -> str:
    metric = text.strip().casefold() or "t20"
    if metric not in ("t20", "t30"):
        raise Refused(f"metric {text}: decay times are given as t20 or t30")
    return metric


def _positions(text: str) -> int:
    if not text.strip():
        return 1
    if not re.fullmatch(r"\s*[0-9]{1,6}\s*", text) or not 1 <= int(text) <= _MOST_POSITIONS:
        raise Refused(f"positions {quoted(text)}: write how many places were measured at, such as 2")
    return int(text)


def figure_said(what: str, text: str, without: float, example: str, below_0: bool = False) -> float:
    """A figure as typed; `without` where none is said."""
    if not text.strip():
        return without
    unit, mark = ("degC", r"(?:deg|°)?\s*C") if what == "temperature" else ("%", "%")
    match = re.fullmatch(rf"\s*({'-?' if below_0 else ''}{NUMBER})\s*(?:{mark})?\s*", text, re.I)
    if match is None:
        raise Refused(f"{what} {quoted(text)}: cannot read that; write a number of {unit}, such as {example}")
    return float(match[1].replace(",", "."))


def _cautions(now: Standing, one: StoredMeasurement) -> tuple[str, ...]:
    said = list(measuring_notes(as_measured(now, one)))
    if one.phase is not None and one.source == "typed":
        diary = up_then(now, replace(one, phase=None))
        off = _unlike(up_then(now, one), diary)
        if off:
            listed = ", ".join(now.site.short(key) for key in off[:3]) + (" and others" if len(off) > 3 else "")
            said.append(f"the diary says otherwise of {listed} on {one.on.isoformat()}; the measurement is taken as "
                        f"{state_words(now, one)}")
    return tuple(said)


def _unlike(one: Mapping[str, float], other: Mapping[str, float]) -> list[str]:
    return [key for key in {**one, **other} if one.get(key, 0.0) != other.get(key, 0.0)]


def _listed(known: Iterable[StoredMeasurement]) -> str:
    names = ", ".join(dict.fromkeys(one.name for one in known))
    return f"there are {names}" if names else "none is stored"
