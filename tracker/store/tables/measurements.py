"""Decay times measured in a room, with the recordings they were read from."""

import sqlalchemy as sa
from sqlmodel import SQLModel

from tracker.store.tables.columns import STRICT, check, is_json, key, link, one_of, real, text, whole


class SignalRow(SQLModel, table=True):
    """A measurement signal that was written to a file, with its settings."""

    __tablename__ = "signal"
    __table_args__ = (STRICT,)
    id: int | None = key()
    written: str = text()
    path: str = text()
    sha256: str = text()
    settings: str = text()


class MeasurementRow(SQLModel, table=True):
    """The room's decay on one day; which phases were done is worked out from the date, or said by the phase."""

    __tablename__ = "measurement"
    __table_args__ = (sa.UniqueConstraint("room_id", "name"), one_of("source", "typed", "sweep"),
                      check("positions", "positions > 0"),
                      check("humidity", "humidity_pct >= 0 AND humidity_pct <= 100"), is_json("decay"), STRICT)
    id: int | None = key()
    room_id: int = link("room")
    phase_id: int | None = link("phase", None)
    name: str = text()
    source: str = text()
    on_date: str = text()
    temperature_c: float = real()
    humidity_pct: float = real()
    positions: int = whole(1)
    decay: str = text()
    note: str = text("")


class RecordingRow(SQLModel, table=True):
    """One recording of a measurement: where the file lies and what was read from it, not the sound."""

    __tablename__ = "recording"
    __table_args__ = (sa.UniqueConstraint("measurement_id", "position"), check("position", "position > 0"),
                      is_json("analysis"), STRICT)
    id: int | None = key()
    measurement_id: int = link("measurement", index=True)
    position: int = whole()
    path: str = text()
    sha256: str = text()
    settings: str = text()
    analysis: str = text()
