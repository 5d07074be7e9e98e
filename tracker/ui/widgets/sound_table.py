"""The figures of a room's sound, in lines: the states over the bands, the target, what was measured, the trust."""

from __future__ import annotations

from collections.abc import Sequence

from tracker.domain.bands import BANDS_HZ
from tracker.report.sound_figures import NOT_RESOLVED, area, ends, span, with_error
from tracker.services.sound_answers import RoomSound, SoundState, TargetView, WorthRow
from tracker.ui.ink import Line, fit, spans, width_of, wrapped
from tracker.ui.widgets.curves import MEASURED, STATES, band_name
from tracker.ui.widgets.heading import heading
from tracker.ui.widgets.worth_bars import worth_lines

_ROOMY = 12
"""Cells of a column from which a span is written out."""


def caption(room: RoomSound, number: int, count: int, area: bool, width: int) -> list[Line]:
    """What the chart shows, and which curve is which."""
    what = ("absorption area, m2" if width >= 72 else "area, m2") if area else "decay time, s"
    walk = spans((" ← ", "accent@screen.room(-1)"), (room.name, "strong"), (" → ", "accent@screen.room(1)"),
                 (f"{number} of {count}  ", "muted")) if count > 1 else spans((f" {room.name}  ", "strong"))
    start = spans(*walk, (what, "title"))
    key = [span for state, letter, role, _ in STATES for span in ((f" {letter} ", role), (f"{state} ", "muted"))]
    if room.measured:
        last = len(room.measured)
        key += [(" 1 " if last == 1 else f" 1-{last} ", MEASURED), ("measured ", "muted")]
    if room.target is not None:
        key += [(" ⢌⠢", "aim"), (" target ", "muted")]
    space = width - width_of(start) - width_of(tuple(key))
    if space < 1:
        # One blank between two of them does where there is no room for two.
        key = [(words if len(words.strip()) == 1 else words.rstrip(), role) for words, role in key]
        space = width - width_of(start) - width_of(tuple(key))
    return [spans(*start, " " * max(0, space), *key)]


def sound_lines(room: RoomSound, rows: Sequence[WorthRow], currency: str, as_area: bool, band: int,
                width: int) -> list[Line]:
    """The figures beneath the chart."""
    cell = _ROOMY if width >= 100 else 10 if width >= 78 else 8
    name = min(24, width - 6 * cell - 2)
    cautions = [line for one in room.cautions for line in wrapped(one, "short", width - 3, spans(" ! "))]
    lines: list[Line] = [spans(" ", (" " * name, "plain"), *(
        (fit(f"▸{band_name(hz)}" if place == band else band_name(hz), cell, right=True),
         "accent" if place == band else "title") for place, hz in enumerate(BANDS_HZ)))]
    lines += [_line(state, _figures(getattr(room, state), as_area, cell, room, state), name, cell, role)
              for state, _, role, _ in sorted(STATES, key=lambda one: ("bare", "now", "planned").index(one[0]))]
    # The newest measurement stands with the states; all of them and how far off the prediction was come further down.
    measured = _measured(room, as_area, name, cell)
    lines += measured[-1][:1] if measured else []
    if room.target is not None:
        aims = _aims(room.target, as_area, cell)
        named = f"target {room.target.name}"
        lines.append(_line(named if len(named) <= name else "target", aims, name, cell, "aim"))
    lines += worth_lines(room, rows, currency, width)
    if sum(map(len, measured)) > 1:
        lines += [*heading("Measurements", width, space=False), *(line for one in measured for line in one)]
    return [*cautions, *lines, *_trust(room, width), *_gains(room, name, cell, width), *_about(room, width)]


def _aims(target: TargetView, as_area: bool, cell: int) -> list[str]:
    """What the target lets pass in each band; where there is little room, only the end that more absorption reaches."""
    if not as_area:
        return ends(target.low_s, target.high_s) if cell >= 10 else [f"<{high:.2f}" for high in target.high_s]
    spans = zip(target.area_low_m2, target.area_high_m2, strict=True)
    return [f">{low:.0f}" if high is None or cell < 10 else f"{low:.0f}-{high:.0f}" for low, high in spans]


def _figures(state: SoundState, as_area: bool, cell: int, room: RoomSound, named: str) -> list[str]:
    if as_area:
        return [area(*band) for band in zip(state.area_m2, state.area_low_m2, state.area_high_m2, strict=True)]
    words = [_fitted(low, high, cell) for low, high in zip(state.low_s, state.high_s, strict=True)]
    inside = [named == "now" and hz in room.in_target for hz in BANDS_HZ]
    return [word + ("x" if hit and len(word) < cell else "") for word, hit in zip(words, inside, strict=True)]


def _fitted(low: float | None, high: float | None, cell: int) -> str:
    """A span in the room there is: the zeros before the points go first, then the second decimals."""
    words = span(low, high)
    if len(words) < cell or low is None or high is None:
        return words
    short = "-".join(word.removeprefix("0") for word in words.split("-"))
    return short if len(short) < cell else "-".join(dict.fromkeys((f"{low:.1f}", f"{high:.1f}")))


def _measured(room: RoomSound, as_area: bool, name: int, cell: int) -> list[list[Line]]:
    """For each measurement its figures, and how far off the prediction was."""
    found: list[list[Line]] = []
    for number, one in enumerate(room.measured, start=1):
        words = ["-" if figure is None else f"{figure:.1f}" if as_area else f"{figure:.2f}"
                 for figure in (one.area_m2 if as_area else one.measured_s)]
        found.append([_line(f"{number} {one.name}", words, name, cell, MEASURED)])
        if not as_area and one.name != room.calibrated_on:
            off = ["-" if share is None else f"{share:+.0f} %" for share in one.off_pct]
            found[-1].append(_line("  predicted off", off, name, cell, "muted"))
    return found


def _trust(room: RoomSound, width: int) -> list[Line]:
    said = [f"Now: {room.trust.sentence}"]
    if room.trust_planned.sentence != room.trust.sentence:
        said.append(f"Planned: {room.trust_planned.sentence}")
    lines: list[Line] = heading("How far to trust it", width, space=False)
    for one in said:
        lines += wrapped(one, "plain", width - 2, spans(" "))
    return lines


def _gains(room: RoomSound, name: int, cell: int, width: int) -> list[Line]:
    if not room.gains:
        return []
    lines: list[Line] = heading("Measured gain, m2", width, space=False)
    for one in room.gains:
        words = []
        for gain, wide, resolved in zip(one.gain_m2, one.expanded_m2, one.resolved, strict=True):
            whole = with_error(gain, wide) if resolved is not False else "?"
            words.append(whole if len(whole) < cell else whole.split()[0])
        lines.append(_line(f"{one.before} to {one.after}", words, name, cell, MEASURED))
        lines.append(_line("  predicted", [f"{gain:.1f}" for gain in one.predicted_m2], name, cell, "muted"))
    if any(yes is False for one in room.gains for yes in one.resolved):
        lines.append(spans((f" ? {NOT_RESOLVED}: the change is smaller than its uncertainty", "muted")))
    return lines


def _about(room: RoomSound, width: int) -> list[Line]:
    follows = ("Nothing was measured: figures follow from handbooks and test figures. Press m to type in a measurement."
               if room.calibrated_on is None else
               f"All figures follow from the measurement \"{room.calibrated_on}\".")
    said = [follows]
    if room.target is not None:
        said.append(f"{len(room.in_target)} of {len(BANDS_HZ)} bands are inside the target now, marked x. "
                    f"Target: {room.target.source}")
    said.append(f"{room.volume_m3:.1f} m3, {room.surface_m2:.1f} m2 of surface, mean free path "
                f"{room.mean_free_path_m:.2f} m; below {room.crossover_hz:.0f} Hz single modes rule and the figures "
                "are a guide only")
    said += room.notes
    lines: list[Line] = heading("About the figures", width, space=False)
    return [*lines, *(line for one in said for line in wrapped(one, "muted", width - 2, spans(" ")))]


def _line(name: str, words: Sequence[str], room: int, cell: int, role: str) -> Line:
    return spans(" ", (fit(name, room), role), *((fit(word, cell, right=True), role) for word in words))
