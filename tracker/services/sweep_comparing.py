"""Two measurements of a room read from sweeps: what changed band by band, and whether it is what was predicted."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from tracker.domain.bands import BANDS_HZ
from tracker.domain.errors import Refused
from tracker.domain.sound.calibration import as_up
from tracker.domain.sound.counting import Count
from tracker.domain.sound.measured import APPARENT
from tracker.domain.sweep.gain import SURE, BandGain, Conditions, gain_between
from tracker.domain.sweep.measured import Analysis, mean_of
from tracker.domain.work.material import Shapes
from tracker.services.calibrating import room_basis
from tracker.services.desk import Desk, Standing
from tracker.services.measurements import room_named, state_words, up_then
from tracker.services.sweep_analysing import known_settings
from tracker.services.sweep_answers import (
    BandChange,
    PositionView,
    Problem,
    Response,
    SignalView,
    Stage,
    SweepComparison,
    SweepList,
    SweepMeasurement,
)
from tracker.services.sweep_keeping import analysis_of
from tracker.services.sweep_reading import reading_of
from tracker.services.wording import close_name
from tracker.store.measurements import StoredMeasurement, read_measurements
from tracker.store.recordings import StoredRecording, read_recordings, read_signals

CANNOT = "cannot be told apart"
AS_PREDICTED, MORE, LESS, NONE = "as predicted", "more than predicted", "less than predicted", "not measured"
_FEW_POSITIONS = 3


@dataclass(frozen=True, slots=True)
class _Swept:
    """A measurement with its recordings and what they say together."""

    one: StoredMeasurement
    recordings: tuple[StoredRecording, ...]
    analysis: Analysis

    @property
    def conditions(self) -> Conditions:
        """The air as it was noted, the mean over the positions that noted it."""
        return Conditions(*(self._noted(key) for key in ("temperature_c", "humidity_pct")))

    def _noted(self, key: str) -> float | None:
        said = [one.analysis[key] for one in self.recordings if one.analysis.get(key) is not None]
        return sum(said) / len(said) if said else None


def compare_sweeps(desk: Desk, before: str, after: str, room: str = "") -> SweepComparison:
    """What was gained between two measurements, beside what the bays put up between them are predicted to gain."""
    with desk.store.read() as session:
        now = desk.standing_in(session)
        known, recordings = read_measurements(session), read_recordings(session)
    first, second = (_swept(now, known, recordings, name, room) for name in (before, after))
    if first.one.room != second.one.room:
        raise Refused(f"{after}: measured in {second.one.room}, and {before} in {first.one.room}; compare two of "
                      "one room")
    if first.one.id == second.one.id:
        raise Refused(f"{after}: that is the same measurement; name one from before and one from after")
    turned = second.one.on < first.one.on
    if turned:
        first, second = second, first
    where = room_named(now.site, first.one.room)
    predicted = _predicted(now, known, first.one, second.one)
    gains = gain_between(first.analysis, second.analysis, where.volume_m3, first.conditions, second.conditions)
    changes = tuple(_change(one, predicted.get(one.nominal_hz)) for one in gains)
    six = {one.hz: one for one in changes}
    inside = [six.get(hz) for hz in BANDS_HZ]
    return SweepComparison(
        site=now.site.name, room=where.name, volume_m3=where.volume_m3, before=_stage(now, first),
        after=_stage(now, second), changes=changes, gain_m2=tuple(one and one.gain_m2 for one in inside),
        uncertainty_m2=tuple(one and one.sd_m2 and SURE * one.sd_m2 for one in inside),
        predicted_m2=tuple(predicted[hz] for hz in BANDS_HZ),
        verdicts=tuple(NONE if one is None else one.verdict for one in inside),
        response_change_db=_response_change(first.analysis, second.analysis),
        sentence=_sentence([one for one in inside if one is not None]), notes=_notes(first, second, turned))


def sweep_list(desk: Desk) -> SweepList:
    """The signals that were written, and every measurement read from recordings, the earliest first."""
    with desk.store.read() as session:
        now = desk.standing_in(session)
        known, recordings, signals = read_measurements(session), read_recordings(session), read_signals(session)
    return SweepList(
        now.site.name,
        tuple(SignalView(one.path, one.written, settings.sweep_s, settings.rate_hz, settings.level_db)
              for one in signals for settings in known_settings([one.settings])),
        tuple(SweepMeasurement(
            one.name, one.room, one.on, state_words(now, one), _up_m2(now, one), one.metric, one.t_s,
            one.temperature_c, one.humidity_pct,
            tuple(PositionView(two.position, two.path, two.sha256, problems_of(two))
                  for two in recordings if two.measurement == one.id))
              for one in known if one.source == "sweep"))


def _up_m2(now: Standing, one: StoredMeasurement) -> float:
    shapes = Shapes(now.site)
    return sum(share * shapes.area_m2(now.site.bays[key]) for key, share in up_then(now, one).items())


def problems_of(recording: StoredRecording) -> tuple[Problem, ...]:
    """What was found wrong with a recording, and did not keep it from being read."""
    problems: Sequence[Mapping[str, Any]] = recording.analysis.get("problems", ())
    return tuple(Problem(one["code"], one["text"], one["remedy"], recording.position) for one in problems)


def _swept(now: Standing, known: Sequence[StoredMeasurement], recordings: Sequence[StoredRecording], name: str,
           room: str) -> _Swept:
    within = room_named(now.site, room).name if room else None
    swept = [one for one in known if one.source == "sweep" and within in (None, one.room)]
    fits = [one for one in swept if one.name == name]
    if len(fits) > 1:
        raise Refused(f"{name}: measured in {' and in '.join(one.room for one in fits)}; say --room")
    if not fits and any(one.name == name for one in known):
        raise Refused(f"{name}: typed in, so there are no recordings to compare; `sabinry sound` has its gain")
    if not fits:
        names = list(dict.fromkeys(one.name for one in swept))
        there = f"there are {', '.join(names)}" if names else "`sabinry sweep read FILE --as NAME` keeps one"
        raise Refused(f"{name}: no measurement of that name was read from recordings{close_name(name, names)}; {there}")
    mine = tuple(one for one in recordings if one.measurement == fits[0].id)
    return _Swept(fits[0], mine, mean_of([analysis_of(one) for one in mine]))


def _predicted(now: Standing, known: Sequence[StoredMeasurement], before: StoredMeasurement,
               after: StoredMeasurement) -> dict[int, float]:
    """Gain of what was up after over what was up before, m2 by band, by the figures the room is worked out with."""
    basis = room_basis(now, room_named(now.site, before.room), known)
    one, two = (Count(as_up(basis.surfaces, up_then(now, stage)), now.site.cap).areas(()).whole
                for stage in (before, after))
    return {hz: later - earlier for hz, earlier, later in zip(BANDS_HZ, one, two, strict=True)}


def _change(gain: BandGain, predicted_m2: float | None) -> BandChange:
    agrees = None if predicted_m2 is None else gain.agrees_with(predicted_m2)
    return BandChange(gain.nominal_hz, gain.metric, gain.before_s, gain.after_s, gain.gain_m2, gain.sd_m2, gain.low_m2,
                      gain.high_m2, predicted_m2, gain.told_apart, agrees, _verdict(gain, predicted_m2, agrees),
                      gain.reasons)


def _verdict(gain: BandGain, predicted_m2: float | None, agrees: bool | None) -> str:
    if gain.gain_m2 is None:
        return NONE
    if not gain.told_apart:
        return CANNOT
    if predicted_m2 is None:
        return "more absorption" if gain.gain_m2 > 0 else "less absorption"
    if agrees:
        return AS_PREDICTED
    return MORE if gain.gain_m2 > predicted_m2 else LESS


def _sentence(changes: Sequence[BandChange]) -> str:
    """The verdict over the six bands in one sentence."""
    words = []
    for verdict in (AS_PREDICTED, MORE, LESS, CANNOT, NONE):
        bands = [str(one.hz) for one in changes if one.verdict == verdict]
        if bands:
            words.append(f"{verdict} at {', '.join(bands)} Hz")
    text = "; ".join(words) or "no band was measured both times"
    return f"{text[0].upper()}{text[1:]}."


def _stage(now: Standing, swept: _Swept) -> Stage:
    one, air = swept.one, swept.conditions
    problems = tuple(problem for recording in swept.recordings for problem in problems_of(recording))
    return Stage(one.name, one.on, state_words(now, one), len(swept.recordings), air.temperature_c, air.humidity_pct,
                 reading_of(swept.analysis, problems))


def _response_change(before: Analysis, after: Analysis) -> Response:
    """Level after less before in each one-third octave both hold, dB; scatter of the two together."""
    later = dict(zip(after.levels.hz, after.levels.db, strict=True))
    shared = [(hz, later[hz] - db) for hz, db in zip(before.levels.hz, before.levels.db, strict=True) if hz in later]
    scatter: tuple[float, ...] = ()
    if before.spread is not None and after.spread is not None:
        scatter = tuple(round((one**2 / before.positions + two**2 / after.positions) ** 0.5, 3) for one, two in
                        zip(before.spread.levels_db, after.spread.levels_db, strict=False))[:len(shared)]
    return Response(tuple(hz for hz, _ in shared), tuple(round(db, 3) for _, db in shared), scatter)


def _notes(before: _Swept, after: _Swept, turned: bool) -> tuple[str, ...]:
    said = [f"Put in order of date: {before.one.name} was measured before {after.one.name}."] if turned else []
    few = [swept.one.name for swept in (before, after) if len(swept.recordings) < _FEW_POSITIONS]
    if few:
        said.append(f"{' and '.join(few)}: {_FEW_POSITIONS} positions or more would narrow the span, and tell a "
                    "change of the response from one of the spot.")
    unsaid = [swept.one.name for swept in (before, after) if swept.conditions.temperature_c is None]
    if unsaid:
        said.append(f"{' and '.join(unsaid)}: no temperature was noted, so 20 degC was taken, 3 either way; say "
                    "--temperature and --humidity.")
    return (*said, APPARENT)

