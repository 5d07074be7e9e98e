"""The figures of a room's sound, in lines: the states over the bands, the target, what each phase adds."""

from __future__ import annotations

from collections.abc import Sequence

from tracker.domain.bands import BANDS_HZ
from tracker.services.answers import PhaseSound, RoomSound
from tracker.ui.ink import Line, fit, spans, width_of, wrapped
from tracker.ui.widgets.curves import STATES
from tracker.ui.widgets.heading import heading


def caption(room: RoomSound, number: int, count: int, area: bool, width: int) -> list[Line]:
    """What the chart shows, and which curve is which."""
    what = "absorption area, m2" if area else "decay time, s"
    walk = spans((" ← ", "accent@screen.room(-1)"), (room.name, "strong"), (" → ", "accent@screen.room(1)"),
                 (f"{number} of {count}  ", "muted")) if count > 1 else spans((f" {room.name}  ", "strong"))
    start = spans(*walk, (what, "title"))
    key = [span for state, letter, role, _ in STATES for span in ((f" {letter} ", role), (f"{state} ", "muted"))]
    if room.target is not None and not area:
        key += [(" ⢌⠢", "aim"), (" target ", "muted")]
    space = width - width_of(start) - width_of(tuple(key))
    return [spans(*start, " " * max(1, space), *key)]


def sound_lines(room: RoomSound, area: bool, width: int) -> list[Line]:
    """The figures beneath the chart."""
    cell = 7 if width < 100 else 12
    name = min(24, width - 6 * cell - 2)
    lines: list[Line] = [_line("", [f"{band // 1000}k" if band >= 1000 else str(band) for band in BANDS_HZ], name, cell,
                               "title")]
    for state, _, role, _ in sorted(STATES, key=lambda one: ("bare", "now", "planned").index(one[0])):
        found = getattr(room, state)
        if area:
            lines.append(_line(state, [f"{figure:.2f}" for figure in found.area_m2], name, cell, role))
            continue
        inside = [state == "now" and band in room.in_target for band in BANDS_HZ]
        words = [f"{figure:.2f}" + ("x" if hit else "") for figure, hit in zip(found.sabine_s, inside, strict=True)]
        lines.append(_line(state, words, name, cell, role))
        if state == "now" and cell >= 12:
            span = [f"{low:.2f}-{high:.2f}" for low, high in zip(found.low_s, found.high_s, strict=True)]
            lines.append(_line("  over the models", span, name, cell, "muted"))
    if room.target is not None and not area:
        span = [f"{low:.2f}-{_high(high)}" for low, high in zip(room.target.low_s, room.target.high_s, strict=True)]
        short = [f"<{_high(high)}" for high in room.target.high_s]
        lines.append(_line(f"target {room.target.name}", span if cell >= 12 else short, name, cell, "aim"))
        hits = len(room.in_target)
        lines.append(spans((f" {hits} of {len(BANDS_HZ)} bands are inside the target now, marked x", "muted")))
    figures = "installed of planned" if cell >= 12 else "planned"
    lines += heading("Gain of each phase, m2", width, spans((figures, "muted")), space=False)
    lines += [_gain(phase, name, cell) for phase in room.phases]
    if room.target is not None:
        lines += wrapped(f"Target: {room.target.source}", "muted", width - 2, spans(" "))
    about = (f"{room.volume_m3:.1f} m3, {room.surface_m2:.1f} m2 of surface, mean free path "
             f"{room.mean_free_path_m:.2f} m; below {room.crossover_hz:.0f} Hz the figures are a guide only")
    cautions = [line for one in room.cautions for line in wrapped(one, "short", width - 3, spans(" ! "))]
    return [*cautions, *lines, *wrapped(about, "muted", width - 2, spans(" "))]


def _high(figure: float) -> str:
    return f"{figure:.2f}" if figure < 100 else "any"


def _line(name: str, words: Sequence[str], room: int, cell: int, role: str) -> Line:
    return spans(" ", (fit(name, room), role), *((fit(word, cell, right=True), role) for word in words))


def _gain(phase: PhaseSound, room: int, cell: int) -> Line:
    cells = []
    for planned, up in zip(phase.gain_planned_m2, phase.gain_installed_m2, strict=True):
        done, none = planned > 0 and up >= planned - 0.005, up < 0.005
        # A narrow cell has room for one figure; the mark before the name says that a part of it is up.
        text = f"{planned:.1f}" if done or none or cell < 12 else f"{up:.1f}/{planned:.1f}"
        cells.append((fit(text, cell, right=True), "installed" if done else "muted" if none else "plain"))
    whole = sum(phase.gain_installed_m2) / max(sum(phase.gain_planned_m2), 1e-9)
    mark = ("x ", "done") if whole > 0.999 else ("> ", "way") if whole > 0 else (". ", "waiting")
    return spans(" ", mark, (fit(phase.name, room - 2), "plain"), *cells)


