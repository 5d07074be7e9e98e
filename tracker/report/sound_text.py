"""Absorption area and decay time as text."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import RenderableType
from rich.text import Text

from tracker.domain.bands import BANDS_HZ
from tracker.domain.sound.trust import area_digits
from tracker.measures import show_area, show_volume
from tracker.report.sound_figures import BANDS, NOT_RESOLVED, ends, listed, spans, with_error
from tracker.report.text import figures, heading, stacked, table
from tracker.services.sound_answers import GainView, MeasuredView, RoomSound, SoundReport, SoundState

AGREES = {True: "agrees", False: "off", None: "-"}


def sound_text(report: SoundReport, unit: str) -> RenderableType:
    """Each room: its figures by band bare, now, planned and after each phase, its target, and what was measured."""
    return stacked(heading(report.site), *(_room(room, unit) for room in report.rooms))


def room_head(room: RoomSound, unit: str) -> Text:
    """The room's name with its size, and what its figures follow from."""
    follows = ("" if room.calibrated_on is None
               else f"; all figures follow from the measurement \"{room.calibrated_on}\"")
    return Text(f"{room.name}: {show_volume(room.volume_m3, unit)}, surface {show_area(room.surface_m2, unit)}, "
                f"crossover {room.crossover_hz:.0f} Hz{follows}")


def _room(room: RoomSound, unit: str) -> RenderableType:
    right = range(1, 1 + len(BANDS_HZ))
    areas = [[f"A m2, {name}", *_areas(state)] for name, state in _states(room)]
    gains = [[f"gain m2, {phase.name}", *figures(phase.gain_planned_m2, 1)] for phase in room.phases]
    decays = [[f"T s, {name}", *spans(state.low_s, state.high_s)] for name, state in _states(room)]
    decays += [[f"T s, after {phase.name}", *spans(phase.after.low_s, phase.after.high_s)] for phase in room.phases]
    target = [] if room.target is None else [[f"target s, {room.target.name}",
                                              *ends(room.target.low_s, room.target.high_s)]]
    said = None if room.target is None else Text(
        f"In target now: {listed(room.in_target)}. Target: {room.target.source}")
    below = [band for band in BANDS_HZ if band < room.crossover_hz]
    limit = None if not below else Text(
        f"Below {room.crossover_hz:.0f} Hz single modes rule and area figures only hint: {listed(below)}.")
    rows = table(["", *BANDS], [*areas, *gains, *decays, *target], right=right)
    notes = (Text(f"Note: {one}") for one in room.notes)
    return stacked(Text(""), room_head(room, unit), rows, _after(room), said, *_trust(room), limit, *notes,
                   *_calibration(room), *_measured(room), *(Text(f"Caution: {one}") for one in room.cautions))


def _after(room: RoomSound) -> Text | None:
    """What is up beyond a phase counts in its row too; in a measurement taken after that phase it does not."""
    up = [phase.name for phase in room.phases[1:] if any(phase.gain_installed_m2)]
    if not up:
        return None
    return Text(f"After a phase: it and all before it done, with what is up now of later ones ({', '.join(up)}). A "
                "measurement after a phase is predicted without later ones.")


def _areas(state: SoundState) -> list[str]:
    """To the fewest decimals any band of the row deserves, so that a row reads as one."""
    bands = list(zip(state.area_m2, state.area_low_m2, state.area_high_m2, strict=True))
    places = min(area_digits(low, high) for _, low, high in bands)
    return figures(state.area_m2, places)


def _states(room: RoomSound) -> list[tuple[str, SoundState]]:
    return [("bare", room.bare), ("now", room.now), ("planned", room.planned)]


def _trust(room: RoomSound) -> Iterator[Text]:
    """Why the spans are wide; the planned state's reason too where it is another."""
    yield Text(f"Now: {room.trust.sentence}")
    if room.trust_planned.sentence != room.trust.sentence:
        yield Text(f"Planned: {room.trust_planned.sentence}")


def _calibration(room: RoomSound) -> Iterator[RenderableType]:
    found = room.calibration
    if found is None:
        return
    times = ["-" if factor is None else f"{factor:.2f}" for factor in found.factor]
    yield Text(f"By \"{found.name}\" the bare surfaces absorb, times the handbooks' figures: "
               + ", ".join(f"{one} at {band}" for one, band in zip(times, BANDS, strict=True) if one != "-") + ".")
    yield from (Text(f"Caution: {one}") for one in found.warnings)


def _measured(room: RoomSound) -> Iterator[RenderableType]:
    if not room.measured:
        return
    right = range(1, 1 + len(BANDS_HZ))
    yield Text("")
    yield Text("Measured against predicted, s")
    yield table(["", *BANDS], [row for one in room.measured for row in _compared(one, room)], right=right)
    if room.gains:
        yield Text("Measured gain, m2, at the temperature and humidity of each visit")
        yield table(["", *BANDS], [row for one in room.gains for row in _gained(one)], right=right)
    notes = [note for one in (*room.measured, *room.gains) for note in one.notes]
    known = () if room.calibration is None else room.calibration.warnings
    yield from (Text(f"Note: {note}") for note in dict.fromkeys(notes) if note not in known)


def _compared(one: MeasuredView, room: RoomSound) -> Iterator[list[str]]:
    taken = f"{one.date.isoformat()}, {one.metric.upper()}, {one.positions} position{'s' if one.positions > 1 else ''}"
    state = "" if one.state.replace("phase ", "") == one.name else f"{one.state}; "
    yield [f"{one.name} ({state}{taken})",
           *(with_error(time_s, wide) for time_s, wide in zip(one.measured_s, one.expanded_s, strict=True))]
    yield ["  predicted", *spans(one.predicted.low_s, one.predicted.high_s)]
    if one.name == room.calibrated_on:
        yield ["  ", *("-" if time_s is None else "brought to it" for time_s in one.measured_s)]
    else:
        yield ["  ", *("-" if off is None else f"{AGREES[agrees]} ({off:+.0f} %)"
                       for off, agrees in zip(one.off_pct, one.agrees, strict=True))]


def _gained(one: GainView) -> Iterator[list[str]]:
    bands = zip(one.gain_m2, one.expanded_m2, one.resolved, strict=True)
    yield [f"{one.before} to {one.after}",
           *(NOT_RESOLVED if yes is False else with_error(gain, wide) for gain, wide, yes in bands)]
    yield ["  predicted", *(f"{gain:.1f}" for gain in one.predicted_m2)]
