"""Measured decay times of the rooms, typed or read from sweeps: the same rows, read and written alike."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, Literal

from sqlmodel import Session

from tracker.domain.bands import BANDS_HZ
from tracker.domain.sound.counting import Times
from tracker.domain.sound.measured import Metric
from tracker.store.site_reader import rows_of

Source = Literal["typed", "sweep"]
BARE = "bare"
MORE = ("edt_s", "t20_s", "t30_s", "sd_s")
"""What a sweep says beside the decay times that are used: other readings, and the spread over the positions, s."""


@dataclass(frozen=True, slots=True)
class StoredMeasurement:
    """One measurement of a room: decay times in s per octave band, degC, % relative humidity."""

    room: str
    name: str
    source: Source
    on: date
    t_s: Times
    """The decay times that are counted with; None where a band was not measured or can't be used."""
    metric: Metric = "t20"
    temperature_c: float = 20.0
    humidity_pct: float = 50.0
    positions: int = 1
    phase: str | None = None
    """All phases up to this one were up; `bare`: nothing was; None: what the diary says of that day."""
    note: str = ""
    more: Mapping[str, Any] | None = None
    """Keys of `MORE` per octave band, and `valid`: a list of reasons per band; None for what was typed."""
    id: int = 0


def read_measurements(session: Session) -> tuple[StoredMeasurement, ...]:
    """Every measurement, the earliest first."""
    rooms = {row.id: row.name for row in rows_of(session, "room")}
    phases = {row.id: row.name for row in rows_of(session, "phase")}
    return tuple(_read(row, rooms, phases) for row in rows_of(session, "measurement", "on_date, id"))


def any_measured(session: Session) -> bool:
    """Is any measurement stored?"""
    return session.connection().exec_driver_sql("SELECT 1 FROM measurement LIMIT 1").first() is not None


def _read(row: Any, rooms: Mapping[int, str], phases: Mapping[int, str]) -> StoredMeasurement:
    decay = json.loads(row.decay)
    bands = decay["bands_hz"]
    more = {key: _per_band(bands, decay[key]) for key in (*MORE, "valid") if key in decay}
    return StoredMeasurement(
        room=rooms[row.room_id], name=row.name, source=row.source, on=date.fromisoformat(row.on_date),
        t_s=_per_band(bands, decay["t_s"]), metric=decay.get("metric", "t20"), temperature_c=row.temperature_c,
        humidity_pct=row.humidity_pct, positions=row.positions,
        phase=phases[row.phase_id] if row.phase_id is not None else decay.get("state"), note=row.note,
        more=more or None, id=row.id)


def _per_band(bands: list[int], values: list[Any]) -> tuple[Any, ...]:
    """The figures of the bands that are counted in, whichever were measured beside them."""
    found = dict(zip(bands, values, strict=True))
    return tuple(found.get(hz) for hz in BANDS_HZ)


def write_measurement(session: Session, one: StoredMeasurement) -> int:
    """Adds a measurement to what the session writes; its number. Its own number is not looked at."""
    from tracker.store.tables import MeasurementRow

    named = one.phase if one.phase != BARE else None
    row = MeasurementRow(
        room_id=_number(session, "room", one.room), phase_id=named and _number(session, "phase", named),
        name=one.name, source=one.source, on_date=one.on.isoformat(), temperature_c=one.temperature_c,
        humidity_pct=one.humidity_pct, positions=one.positions, decay=_decay(one), note=one.note)
    session.add(row)
    session.flush()
    return row.id or 0


def rewrite_measurement(session: Session, number: int, one: StoredMeasurement) -> None:
    """Puts another position's figures into a measurement: its decay times, positions, climate and note."""
    from tracker.store.tables import MeasurementRow

    row = session.get_one(MeasurementRow, number)
    row.decay, row.positions, row.note = _decay(one), one.positions, one.note
    row.temperature_c, row.humidity_pct = one.temperature_c, one.humidity_pct
    session.add(row)


def remove_measurement(session: Session, number: int) -> None:
    """Takes a measurement out, with what is known of its recordings; the files stay where they are."""
    import sqlalchemy as sa

    from tracker.store.tables import MeasurementRow, RecordingRow

    for row in session.exec(sa.select(RecordingRow).where(RecordingRow.measurement_id == number)).scalars().all():
        session.delete(row)
    session.flush()
    session.delete(session.get(MeasurementRow, number))


def _decay(one: StoredMeasurement) -> str:
    decay: dict[str, Any] = {"bands_hz": list(BANDS_HZ), "metric": one.metric, "t_s": list(one.t_s)}
    decay |= {key: list(values) for key, values in (one.more or {}).items()}
    if one.phase == BARE:
        decay["state"] = BARE
    return json.dumps(decay)


def _number(session: Session, table: str, name: str) -> int:
    return next(row.id for row in rows_of(session, table) if row.name == name)
