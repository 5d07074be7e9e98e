"""What an analysis says, as the verbs and the screens answer it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from tracker.domain.bands import BANDS_HZ
from tracker.domain.sweep.faults_said import Fault
from tracker.domain.sweep.levels import MASKS
from tracker.domain.sweep.measured import Analysis
from tracker.domain.sweep.verdicts import BandDecay
from tracker.services.sweep_answers import (
    MaskFit,
    ModeHeard,
    OuterBands,
    Problem,
    RecordingView,
    Response,
    SweepReading,
    Times,
)

METRICS = ("EDT", "T20", "T30")
_SOURCES = {mask.name: mask.source for mask in MASKS}


def reading_of(analysis: Analysis, problems: tuple[Problem, ...] = (), recording: RecordingView | None = None
               ) -> SweepReading:
    """An analysis of one position or several, the six bands apart from those beside them."""
    spread = analysis.spread
    outer_hz = tuple(hz for hz in analysis.bands_hz if hz not in BANDS_HZ)
    return SweepReading(
        **_figures(analysis, BANDS_HZ),
        response=Response(analysis.levels.hz, _rounded(analysis.levels.db), () if spread is None
                          else _rounded(spread.levels_db)),
        flatness_db=analysis.flatness.sd_db, peak_to_peak_db=analysis.flatness.peak_to_peak_db,
        masks=tuple(MaskFit(one.name, one.judged, one.outside_hz, one.worst_db, _SOURCES.get(one.name, ""))
                    for one in analysis.fits),
        modes=tuple(ModeHeard(one.frequency_hz, one.decay_s, one.level_db) for one in analysis.modes),
        problems=problems, outer=OuterBands(**_figures(analysis, outer_hz), hz=outer_hz),
        positions=analysis.positions,
        clock_ppm=None if analysis.alignment is None else analysis.alignment.drift_ppm,
        recording=recording)


def problem_of(fault: Fault) -> Problem:
    return Problem(fault.code, fault.text, fault.remedy)


def reasons_of(band: BandDecay) -> tuple[str, ...]:
    """Why a decay time of a band does not count, each reason once with the decay times it holds for."""
    names: dict[str, list[str]] = {}
    for metric in METRICS:
        for reason in band.figure(metric).reasons:
            names.setdefault(reason, []).append(metric)
    return tuple(f"{', '.join(metrics)}: {reason}" for reason, metrics in names.items())


def _figures(analysis: Analysis, bands_hz: Sequence[int]) -> dict[str, Any]:
    bands = [analysis.band(hz) for hz in bands_hz]

    def each(take: Callable[[BandDecay], float | None]) -> Times:
        return tuple(None if band is None else take(band) for band in bands)

    def counts(metric: str) -> tuple[bool, ...]:
        return tuple(band is not None and band.figure(metric).valid for band in bands)

    def scatter(name: str) -> Times:
        if analysis.spread is None:
            return (None,) * len(bands)
        known = dict(zip(analysis.bands_hz, getattr(analysis.spread, name), strict=True))
        return tuple(known.get(hz) for hz in bands_hz)

    return {
        "edt_s": each(lambda band: band.edt.value_s), "t20_s": each(lambda band: band.t20.value_s),
        "t30_s": each(lambda band: band.t30.value_s),
        "valid": tuple(("the recording's rate does not hold this band",) if band is None else reasons_of(band)
                       for band in bands),
        "edt_valid": counts("EDT"), "t20_valid": counts("T20"), "t30_valid": counts("T30"),
        "noise_db": each(lambda band: None if band.dynamic_db is None else -band.dynamic_db),
        "c80_db": each(lambda band: band.c80_db), "d50": each(lambda band: band.d50),
        "curvature_pct": each(lambda band: band.curvature_pct),
        "xi20_permille": each(lambda band: band.xi20_permille),
        "xi30_permille": each(lambda band: band.xi30_permille), "bt": each(lambda band: band.bt),
        "notes": tuple(() if band is None else band.notes for band in bands),
        "sd_t20_s": scatter("t20_s"), "sd_t30_s": scatter("t30_s"),
    }


def _rounded(levels_db: Sequence[float]) -> tuple[float, ...]:
    return tuple(round(one, 3) for one in levels_db)
