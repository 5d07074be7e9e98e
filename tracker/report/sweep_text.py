"""What a sweep says, and what changed between two, as text."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

from rich.console import RenderableType
from rich.text import Text

from tracker.measures import SiteUnit, show_volume
from tracker.report.text import figures, heading, stacked, table
from tracker.services.sweep_answers import (
    BandChange,
    MaskFit,
    Problem,
    RecordingView,
    Stage,
    SweepComparison,
    SweepList,
    SweepReading,
)

_DECAYS = (("EDT s", "edt_s", "edt_valid"), ("T20 s", "t20_s", "t20_valid"), ("T30 s", "t30_s", "t30_valid"))
_IN_A_ROW = 13
"""One-third octaves side by side."""
_MODES = 8


def reading_text(found: SweepReading) -> RenderableType:
    """Decay by band, what does not count and why, the response, the modes, and what is wrong with the recording."""
    return stacked(
        None if found.recording is None else heading(_recording(found.recording)), _decays(found), *_reasons(found),
        *_response(found), _modes(found), *_problems(found.problems),
        *(() if found.together is None else (Text(""), _decays(found.together), *_reasons(found.together))),
        *(Text(f"Caution: {one}") for one in found.cautions),
        Text(found.stored or "Nothing was kept; --as NAME keeps it as a measurement."))


def list_text(found: SweepList) -> RenderableType:
    """The signals and the measurements, with their recordings."""
    signals = [[one.written, f"{one.seconds:.1f} s", f"{one.rate_hz} Hz", f"{one.level_db:g} dB", one.path]
               for one in found.signals]
    rows = []
    for one in found.measurements:
        rows.append([one.name, one.room, one.date.isoformat(), one.state, one.metric.upper(), *figures(one.t_s)])
        rows += [[f"  position {at.position}", "", "", Path(at.path).name, "", *[""] * len(one.t_s)]
                 for at in one.positions]
    columns = ["measurement", "room", "day", "state", "", *(f"{hz} Hz" for hz in found.bands_hz)]
    return stacked(
        heading(found.site),
        table(["written", "sweep", "rate", "peak", "file"], signals) if signals else Text(
            "No sweep is noted yet: `sabinry sweep write FILE.wav` makes one."),
        Text(""),
        table(columns, rows, right=range(5, 5 + len(found.bands_hz))) if rows else Text(
            "No recording is kept yet: `sabinry sweep read RECORDING --as NAME` keeps one."),
        *_problems([problem for one in found.measurements for at in one.positions for problem in at.problems]))


def comparison_text(found: SweepComparison, unit: SiteUnit) -> RenderableType:
    """Band by band: decay before and after, the gain with its span, the gain predicted, and the verdict."""
    rows = [[f"{one.hz} Hz", one.metric or "-", *figures((one.before_s, one.after_s)), _span(one),
             *figures((one.predicted_m2,), 1), one.verdict] for one in found.changes]
    return stacked(
        heading(f"{found.room}, {show_volume(found.volume_m3, unit)}: {found.before.name} to {found.after.name}"),
        Text(_stage(found.before)), Text(_stage(found.after)), Text(""),
        table(["", "", "before s", "after s", "gain m2 (95 in 100)", "predicted m2", "verdict"], rows,
              right=range(2, 6)),
        Text(found.sentence), *(Text(f"{one.hz} Hz: {'; '.join(one.reasons)}") for one in found.changes if one.reasons),
        Text(""), Text("Response, after less before, dB"),
        *_thirds(found.response_change_db.hz, found.response_change_db.db, "dB"),
        *_problems((*found.before.reading.problems, *found.after.reading.problems)),
        *(Text(f"Note: {one}") for one in found.notes))


def _recording(found: RecordingView) -> str:
    channel = f", channel {found.channel} of {found.channels}" if found.channels > 1 else ""
    clock = "" if found.clock_ppm is None else f", clock {found.clock_ppm:+.1f} ppm, corrected"
    return f"{Path(found.path).name}: {found.length_s:.1f} s at {found.rate_hz:g} Hz{channel}{clock}"


def _decays(found: SweepReading) -> RenderableType:
    hz = sorted((*found.bands_hz, *found.outer.hz))

    def across(key: str) -> list[float | bool | None]:
        known = dict(zip((*found.bands_hz, *found.outer.hz), (*getattr(found, key), *getattr(found.outer, key)),
                         strict=True))
        return [known[one] for one in hz]

    rows = [[name, *(f"{word}" if counts or word == "-" else f"({word})"
                     for word, counts in zip(figures(across(key)), across(valid), strict=True))]
            for name, key, valid in _DECAYS]
    if found.positions > 1:
        rows.append(["T20 spread s", *figures(across("sd_t20_s"))])
        rows.append(["T30 spread s", *figures(across("sd_t30_s"))])
    rows += [["noise dB", *figures(across("noise_db"), 0)], ["C80 dB", *figures(across("c80_db"), 1)],
             ["D50", *figures(across("d50"))], ["curvature %", *figures(across("curvature_pct"), 0)]]
    head = "" if found.positions == 1 else f"{found.positions} positions"
    return table([head, *(f"{one} Hz" for one in hz)], rows, right=range(1, 1 + len(hz)))


def _reasons(found: SweepReading) -> Iterable[Text]:
    """In brackets is what does not count; why, each reason once with its bands."""
    said: dict[str, list[int]] = {}
    bands = [*zip(found.bands_hz, found.valid, found.notes, strict=True),
             *zip(found.outer.hz, found.outer.valid, found.outer.notes, strict=True)]
    for hz, reasons, notes in sorted(bands):
        for reason in (*reasons, *notes):
            said.setdefault(reason, []).append(hz)
    for reason, hz in said.items():
        yield Text(f"{', '.join(map(str, hz))} Hz: {reason}")


def _response(found: SweepReading) -> Iterable[RenderableType]:
    yield Text("")
    yield Text(f"Response by one-third octaves, in power: standard deviation {found.flatness_db:.1f} dB, "
               f"{found.peak_to_peak_db:.1f} dB from lowest to highest")
    yield from _thirds(found.response.hz, found.response.db, "dB")
    if found.response.sd_db:
        yield Text(f"Spread over the positions: {min(found.response.sd_db):.1f} to {max(found.response.sd_db):.1f} dB")
    yield from (Text(_mask(one)) for one in found.masks)


def _mask(one: MaskFit) -> str:
    if not one.outside_hz:
        return f"{one.name}: all {one.judged} bands judged are inside"
    return (f"{one.name}: {len(one.outside_hz)} of {one.judged} bands are outside, {one.worst_db:.1f} dB at worst "
            f"({', '.join(map(str, one.outside_hz))} Hz)")


def _thirds(hz: Sequence[int], db: Sequence[float], name: str) -> Iterable[RenderableType]:
    for first in range(0, len(hz), _IN_A_ROW):
        part = slice(first, first + _IN_A_ROW)
        yield table(["", *(_short(one) for one in hz[part])], [[name, *(f"{one:+.1f}" for one in db[part])]],
                    right=range(1, 1 + len(hz[part])))


def _short(hz: int) -> str:
    return f"{hz / 1000:g}k" if hz >= 1000 else str(hz)


def _modes(found: SweepReading) -> Text | None:
    if not found.modes:
        return None
    loudest = sorted(found.modes, key=lambda one: -one.level_db)[:_MODES]
    return Text("Modes heard, the loudest: " + ", ".join(
        f"{one.hz:.1f} Hz ({one.decay_s:.2f} s, {one.level_db:.0f} dB)"
        for one in sorted(loudest, key=lambda one: one.hz)))


def _problems(problems: Iterable[Problem]) -> Iterable[Text]:
    for one in problems:
        where = "" if one.position is None else f"position {one.position}: "
        yield Text(f"Problem: {where}{one.text}; {one.remedy}")


def _stage(one: Stage) -> str:
    air = "" if one.temperature_c is None else f", {one.temperature_c:g} degC"
    return (f"{one.name}: {one.date.isoformat()}, {one.state}, {one.positions} position"
            f"{'s' if one.positions != 1 else ''}{air}")


def _span(one: BandChange) -> str:
    if one.gain_m2 is None or one.high_m2 is None:
        return "-"
    return f"{one.gain_m2:+.1f} ± {one.high_m2 - one.gain_m2:.1f}"

