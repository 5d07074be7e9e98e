"""Keeping what a recording says: one position of a measurement, its decay curves averaged with those of the others."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from typing import Any

from sqlmodel import Session

from tracker.domain.bands import BANDS_HZ
from tracker.domain.errors import Refused
from tracker.domain.sound.measured import checked
from tracker.domain.sweep.measured import Analysis, mean_of
from tracker.domain.sweep.stored import as_plain, from_plain
from tracker.services.desk import Desk, Standing
from tracker.services.measurements import (
    as_measured,
    day_of,
    figure_said,
    phase_named,
    put_measurement,
    room_named,
    state_words,
)
from tracker.services.sweep_analysing import Kept, ReadRecording
from tracker.services.sweep_reading import METRICS, problem_of, reasons_of
from tracker.services.sweeping import SweepWords
from tracker.store.measurements import StoredMeasurement, read_measurements, rewrite_measurement
from tracker.store.recordings import StoredRecording, read_recordings, write_recording

_MOST_POSITIONS = 100
_LONGEST_NAME = 80
_MEAN_METRICS = ("t30", "t20")
"""What is counted with: T30 scatters less, so it comes first where it counts wherever T20 does."""


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a recording goes: its measurement, still without its figures, and its position there."""

    one: StoredMeasurement
    position: int
    beside: tuple[StoredRecording, ...]
    """The other positions of the measurement."""
    instead_of: StoredRecording | None
    everywhere: tuple[StoredRecording, ...]
    """Every recording that is kept."""
    names: Mapping[int, str]
    """Of every measurement, by its number."""


def refuse_early(desk: Desk, words: SweepWords) -> None:
    """Refused where a recording could not be kept as is said, before any time goes into reading it."""
    with desk.store.read() as session:
        _place(session, desk.standing_in(session), desk, words)


def keep(desk: Desk, words: SweepWords, read: ReadRecording) -> Kept:
    """Stores a recording as one position of its measurement, as one change."""
    with desk.store.write() as session:
        now = desk.standing_in(session)
        place = _place(session, now, desk, words)
        _refuse_twice(place, read)
        with_figures(place.one, read.analysis)  # one in which nothing counts adds nothing to the others
        together = mean_of([*(analysis_of(one) for one in place.beside), read.analysis])
        one = with_figures(place.one, together)
        if place.one.id:
            checked(as_measured(now, one))
            rewrite_measurement(session, place.one.id, one)
            number = place.one.id
        else:
            number = put_measurement(session, now, one)
        said = _said(words)
        write_recording(session, StoredRecording(
            number, place.position, str(read.path), read.sha256, read.settings.as_text(),
            {"read": as_plain(read.analysis), "channel": read.channel, **said,
             "problems": [asdict(problem_of(fault)) for fault in read.warnings]},
            0 if place.instead_of is None else place.instead_of.id))
        count = sum(time_s is not None for time_s in one.t_s)
        verb = "Read position {} of \"{}\" again" if place.instead_of else "Stored position {} of \"{}\""
        session.sentence = (f"{verb.format(place.position, one.name)} in {one.room}: {one.metric.upper()} counts in "
                            f"{count} of {len(BANDS_HZ)} bands, {state_words(now, one)}.")
    return Kept(session.sentence, _cautions(one), together if place.beside else None)


def refuse_bad_name(name: str) -> None:
    """Refused where a measurement's name would not stand in one line."""
    if not name.isprintable() or len(name) > _LONGEST_NAME:
        raise Refused(f"as: a name is one line of at most {_LONGEST_NAME} characters; choose a plain one, such as bare")


def analysis_of(recording: StoredRecording) -> Analysis:
    """What was read from a recording that is kept."""
    return from_plain(dict(recording.analysis["read"]))


def with_figures(one: StoredMeasurement, mean: Analysis) -> StoredMeasurement:
    """A measurement with the decay times that count, T30 where it counts in as many bands as T20; Refused without any.
    """
    bands = [mean.band(hz) for hz in BANDS_HZ]
    times = {metric: tuple(band.figure(metric.upper()).value_s
                           if band is not None and band.figure(metric.upper()).valid else None for band in bands)
             for metric in _MEAN_METRICS}
    metric = max(_MEAN_METRICS, key=lambda name: sum(time_s is not None for time_s in times[name]))
    if all(time_s is None for time_s in times[metric]):
        reasons = [reason for band in bands if band is not None for reason in reasons_of(band)] or ["none was heard"]
        raise Refused(f"{one.name}: no band has a decay time that counts ({reasons[0]}); record again louder or in a "
                      "quieter hour, and until after the last chirp")
    scatter = getattr(mean.spread, f"{metric}_s") if mean.spread is not None else (None,) * len(mean.bands_hz)
    known = dict(zip(mean.bands_hz, scatter, strict=True))
    more = {f"{name.lower()}_s": tuple(band and band.figure(name).value_s for band in bands) for name in METRICS}
    return replace(one, t_s=times[metric], metric=metric, positions=mean.positions,
                   more={**more, "sd_s": tuple(known.get(hz) for hz in BANDS_HZ),
                         "valid": tuple([] if band is None else list(reasons_of(band)) for band in bands)})


def _place(session: Session, now: Standing, desk: Desk, words: SweepWords) -> _Place:
    name, known = words.name.strip(), read_measurements(session)
    refuse_bad_name(name)
    before = _known_before(now, known, words)
    on, phase = day_of(words.on, desk.today()), phase_named(now.site, now.site.rooms[0], words.phase)
    everywhere = read_recordings(session)
    here = () if before is None else tuple(one for one in everywhere if one.measurement == before.id)
    if before is None:
        room = room_named(now.site, words.room)
        before = StoredMeasurement(room=room.name, name=name, source="sweep", on=on, t_s=(), phase=phase,
                                   temperature_c=room.temperature_c, humidity_pct=room.humidity_pct)
    _refuse_another(before, words, on.isoformat(), phase)
    position = _position(words, here)
    taken = next((one for one in here if one.position == position), None)
    if taken is not None and not words.again:
        raise Refused(f"position {position}: {name} has a recording of it already; replace that with --again, or keep "
                      "this one as another position")
    one = replace(before, temperature_c=figure_said("temperature", words.temperature, before.temperature_c, "18", True),
                  humidity_pct=figure_said("humidity", words.humidity, before.humidity_pct, "40"),
                  note=words.note.strip() or before.note)
    return _Place(one, position, tuple(other for other in here if other is not taken), taken, everywhere,
                  {other.id: other.name for other in known})


def _known_before(now: Standing, known: Sequence[StoredMeasurement], words: SweepWords) -> StoredMeasurement | None:
    name, room = words.name.strip(), words.room.strip()
    within = room_named(now.site, room).name if room else None
    fits = [one for one in known if one.name == name and within in (None, one.room)]
    if len(fits) > 1:
        raise Refused(f"{name}: measured in {' and in '.join(one.room for one in fits)}; say --room")
    if fits and fits[0].source == "typed":
        raise Refused(f"{name}: a measurement of that name was typed in; keep this one under another name")
    return fits[0] if fits else None


def _refuse_another(before: StoredMeasurement, words: SweepWords, on: str, phase: str | None) -> None:
    if words.on.strip() and on != before.on.isoformat():
        raise Refused(f"date {on}: {before.name} was measured on {before.on.isoformat()}; keep another day under "
                      "another name")
    if words.phase.strip() and phase != before.phase:
        was = f"of phase {before.phase}" if before.phase else "what the diary says of its day"
        raise Refused(f"phase {phase}: {before.name} is {was}; keep another state under another name, or "
                      f"take this one out with `sabinry sound --drop {before.name}`")


def _position(words: SweepWords, here: Sequence[StoredRecording]) -> int:
    text, taken = words.position.strip(), {one.position for one in here}
    if text:
        if not re.fullmatch(r"[0-9]{1,3}", text) or not 1 <= int(text) <= _MOST_POSITIONS:
            raise Refused(f"position {text}: positions are counted from 1; write e.g. 2")
        return int(text)
    if words.again and len(taken) > 1:
        raise Refused(f"position: say which one is read again, {', '.join(map(str, sorted(taken)))}")
    if words.again and taken:
        return min(taken)
    return next(number for number in range(1, len(taken) + 2) if number not in taken)


def _refuse_twice(place: _Place, read: ReadRecording) -> None:
    for one in place.everywhere:
        if (one.sha256, one.analysis.get("channel")) == (read.sha256, read.channel) and one is not place.instead_of:
            raise Refused(f"{read.path.name}: this very recording is kept already, as position {one.position} of "
                          f"{place.names[one.measurement]}; record each position on its own")


def _said(words: SweepWords) -> Mapping[str, Any]:
    """Air as it was noted; None where it was not, which widens what is uncertain."""
    return {"temperature_c": figure_said("temperature", words.temperature, 0.0, "18", True)
            if words.temperature.strip() else None,
            "humidity_pct": figure_said("humidity", words.humidity, 0.0, "40") if words.humidity.strip() else None}


def _cautions(one: StoredMeasurement) -> tuple[str, ...]:
    lost = [str(hz) for hz, time_s in zip(BANDS_HZ, one.t_s, strict=True) if time_s is None]
    said = [f"{', '.join(lost)} Hz: no {one.metric.upper()} that counts; these bands stay out of every later figure"
            ] if lost else []
    if one.positions == 1:
        said.append("one position only; two or more tell the room from the spot")
    return tuple(said)
