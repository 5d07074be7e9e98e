"""Absorption area and decay time as text."""

from __future__ import annotations

from rich.console import RenderableType
from rich.text import Text

from tracker.domain.bands import BANDS_HZ
from tracker.measures import show_area, show_volume
from tracker.report.text import figures, heading, stacked, table
from tracker.services.answers import RoomSound, SoundReport, SoundState


def sound_text(report: SoundReport, unit: str) -> RenderableType:
    """Each room: its figures by band bare, now, planned and after each phase, and its target."""
    return stacked(heading(report.site), *(_room(room, unit) for room in report.rooms))


def _room(room: RoomSound, unit: str) -> RenderableType:
    head = (f"{room.name}: {show_volume(room.volume_m3, unit)}, surface {show_area(room.surface_m2, unit)}, "
            f"crossover {room.crossover_hz:.0f} Hz")
    columns = ["", *(f"{band} Hz" for band in BANDS_HZ)]
    right = range(1, 1 + len(BANDS_HZ))
    areas = [[f"A m2, {name}", *figures(state.area_m2, 1)] for name, state in _states(room)]
    gains = [[f"gain m2, {phase.name}", *figures(phase.gain_planned_m2, 1)] for phase in room.phases]
    decays = [[f"T s, {name}", *(_span(low, high) for low, high in zip(state.low_s, state.high_s, strict=True))]
              for name, state in _states(room)]
    decays += [[f"T s, after {phase.name}", *(_span(low, high) for low, high in
                                             zip(phase.after.low_s, phase.after.high_s, strict=True))]
               for phase in room.phases]
    target = [] if room.target is None else [
        [f"target s, {room.target.name}", *(_span(low, high) for low, high in
                                            zip(room.target.low_s, room.target.high_s, strict=True))]]
    said = None if room.target is None else Text(
        "In target now: " + (", ".join(f"{band} Hz" for band in room.in_target) or "no band")
        + f". Target: {room.target.source}")
    below = [band for band in BANDS_HZ if band < room.crossover_hz]
    limit = None if not below else Text(
        f"Below {room.crossover_hz:.0f} Hz single modes rule and area figures only hint: {', '.join(map(str, below))} "
        "Hz.")
    return stacked(Text(""), Text(head), table(columns, [*areas, *gains, *decays, *target], right=right), said, limit,
                   *(Text(f"Caution: {one}") for one in room.cautions))


def _states(room: RoomSound) -> list[tuple[str, SoundState]]:
    return [("bare", room.bare), ("now", room.now), ("planned", room.planned)]


def _span(low: float, high: float) -> str:
    """A span of decay times, s, to the digits it deserves; one figure where both ends agree to them."""
    ends = (f"{low:.2f}", f"{high:.2f}")
    return ends[0] if ends[0] == ends[1] else "-".join(ends)
