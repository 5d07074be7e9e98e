"""Signals that were written, and recordings that measurements were read from: settings and figures, no sound."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sqlmodel import Session

from tracker.store.site_reader import rows_of


@dataclass(frozen=True, slots=True)
class StoredSignal:
    """A signal that was written to a file: its settings as the file's own comment says them."""

    settings: str
    path: str
    sha256: str
    written: str
    """Moment, ISO 8601."""


@dataclass(frozen=True, slots=True)
class StoredRecording:
    """One position of a measurement: where its file lay, and what was read from it."""

    measurement: int
    position: int
    path: str
    sha256: str
    settings: str
    """Of the signal it was read with."""
    analysis: Mapping[str, Any]
    """As plain values that JSON can hold."""
    id: int = 0


def read_signals(session: Session) -> tuple[StoredSignal, ...]:
    """Every signal written, the newest first."""
    return tuple(StoredSignal(row.settings, row.path, row.sha256, row.written)
                 for row in rows_of(session, "signal", "id DESC"))


def write_signal(session: Session, one: StoredSignal) -> None:
    """Adds a signal to what the session writes."""
    from tracker.store.tables import SignalRow

    session.add(SignalRow(written=one.written, path=one.path, sha256=one.sha256, settings=one.settings))


def read_recordings(session: Session) -> tuple[StoredRecording, ...]:
    """Every recording, by measurement and position."""
    return tuple(StoredRecording(row.measurement_id, row.position, row.path, row.sha256, row.settings,
                                 json.loads(row.analysis), row.id)
                 for row in rows_of(session, "recording", "measurement_id, position"))


def write_recording(session: Session, one: StoredRecording) -> None:
    """Adds a recording to what the session writes; one with a number takes the place of the row of that number."""
    from tracker.store.tables import RecordingRow

    row = session.get_one(RecordingRow, one.id) if one.id else RecordingRow(
        measurement_id=one.measurement, position=one.position, path="", sha256="", settings="", analysis="{}")
    row.path, row.sha256, row.settings = one.path, one.sha256, one.settings
    row.analysis = json.dumps(one.analysis, allow_nan=False)
    session.add(row)
