"""The sweep at the desk: writing the signal, reading a recording of it, keeping what it says as a measurement."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from threading import Lock
from typing import TYPE_CHECKING

from tracker.domain.errors import Refused
from tracker.domain.sweep.signal import Settings
from tracker.services.sweep_answers import SweepReading, SweepWritten

if TYPE_CHECKING:
    from tracker.services.answers import Outcome
    from tracker.services.desk import Desk
    from tracker.services.sweep_analysing import ReadRecording

HIGH_SHARE = 0.45
"""How much of the rate the sweep's upper end may take; the rest is the converter's filter (common practice)."""
LOUD = ("Caution: begin with the volume down and turn it up until the room is filled and talk would be drowned, no "
        "more; a sweep that is too loud harms ears and tweeters: keep away from the loudspeaker, or wear protection.")


@dataclass(frozen=True, slots=True)
class SweepWords:
    """A recording to read, as typed; what is empty was not said."""

    recording: str
    name: str = ""
    room: str = ""
    phase: str = ""
    position: str = ""
    channel: str = ""
    signal: str = ""
    temperature: str = ""
    humidity: str = ""
    on: str = ""
    note: str = ""
    again: bool = False
    """May the recording take the place of one of the same position?"""


def write_sweep(desk: Desk | None, file: str, seconds: float = 10.0, rate_hz: int = 48000, level_db: float = -12.0,
                force: bool = False) -> SweepWritten:
    """Writes the signal to a file, and notes its settings in the store where there is one."""
    from tracker.services import sweep_files

    settings = Settings(seconds=seconds, rate_hz=rate_hz, level_db=level_db,
                        high_hz=min(Settings.high_hz, HIGH_SHARE * rate_hz))
    path = sweep_files.path_of("file", file)
    sha256 = sweep_files.write_signal(path, settings, force)
    if desk is not None:
        _note(desk, path, settings, sha256)
    words = _written(settings)
    noted = "" if desk is not None else (" There is no store here, so its settings are in the file alone: hand it to "
                                         "`sweep read` with --signal.")
    return SweepWritten(f"Wrote the sweep to {path}: {words}.{noted}", (LOUD, *_what_next(path, settings)),
                        desk is not None)


def _note(desk: Desk, path: Path, settings: Settings, sha256: str) -> None:
    from tracker.store.recordings import StoredSignal, read_signals, write_signal

    with desk.store.write() as session:
        if any((one.path, one.sha256) == (str(path.resolve()), sha256) for one in read_signals(session)):
            return
        write_signal(session, StoredSignal(settings.as_text(), str(path.resolve()), sha256,
                                           desk.now().isoformat(timespec="seconds")))
        session.sentence = f"Noted the sweep {path.name}: {_written(settings)}."


def _written(settings: Settings) -> str:
    return (f"{settings.total_s:.1f} s in all, {settings.sweep_s:.1f} s of sweep from {settings.low_hz:g} Hz to "
            f"{settings.high_hz / 1000:g} kHz, {settings.rate_hz} Hz, peak {settings.level_db:g} dB")


def _what_next(path: Path, settings: Settings) -> tuple[str, ...]:
    return (
        "Turn off automatic gain, noise suppression and room correction; put the microphone where you work or listen.",
        f"Start recording as WAV, FLAC or AIFF, play {path.name} from its first chirp to its last, keep the room "
        "quiet, and stop a second later.",
        "Then: `sabinry sweep read RECORDING`, with --as NAME to keep it; two positions or more tell the room from the "
        "spot.")


def read_sweep(desk: Desk | None, words: SweepWords) -> SweepReading:
    """What a recording says; kept as a measurement where a name is given. Refused where nothing must be read of it."""
    from tracker.services.sweep_analysing import candidates, read_recording

    name = words.name.strip()
    if desk is None and name:
        raise Refused("as: there is no store to keep a measurement in; start one with `sabinry new FILE`, or leave "
                      "--as out to look at the recording alone")
    if desk is None or not name:
        noted = None if desk is None else _noted_in(desk)
        return read_recording(words.recording, words.channel, candidates(words.signal, noted)).reading()
    by_steps = ReadingBySteps(desk, words)
    by_steps.read()
    return by_steps.keep(desk)


def read_file(store: Path, words: SweepWords) -> SweepReading:
    """The same with the store there is at a path, if any; opened in full only where something is to be kept in it."""
    from tracker.services.sweep_analysing import candidates, read_recording
    from tracker.store.revision import noted_signals

    if not store.is_file():
        return read_sweep(None, words)
    noted = None if words.name.strip() else noted_signals(store)
    if noted is not None:
        return read_recording(words.recording, words.channel, candidates(words.signal, noted)).reading()
    from tracker.services.desk import open_desk

    desk = open_desk(store)
    try:
        return read_sweep(desk, words)
    finally:
        desk.close()


class Stopped(Exception):
    """The person stopped what was going on; nothing is stored of it."""


class ReadingBySteps:
    """A recording to be kept: looked up at the desk, then read on any thread, then kept at the desk.

    Only reading takes long, and it needs no desk. Refused at once where it could not be kept as is said.
    """

    def __init__(self, desk: Desk, words: SweepWords) -> None:
        from tracker.services.sweep_keeping import refuse_early

        if not words.name.strip():
            raise Refused("name: say what the measurement is called, such as bare, or after one")
        refuse_early(desk, words)
        self._words, self._noted = words, _noted_in(desk)
        self._read: ReadRecording | None = None
        self.step, self.done = "reading the file", 0.0
        self._turn = Lock()
        self._stopped = self._keeping = False

    def stop(self) -> bool:
        """Ends it at its next step, so that nothing is stored; false where it is being stored already."""
        with self._turn:
            self._stopped = not self._keeping
            return self._stopped

    def read(self) -> None:
        """Reads the recording; `step` and `done` say how far it is. Stopped where the person stopped it."""
        from tracker.services.sweep_analysing import candidates, read_recording

        words = self._words
        self._read = read_recording(words.recording, words.channel, candidates(words.signal, self._noted), self._told)

    def keep(self, desk: Desk) -> SweepReading:
        """Stores what was read, as one change; Stopped, and nothing stored, where the person was quicker."""
        from tracker.services.sweep_keeping import keep

        with self._turn:
            if self._stopped:
                raise Stopped
            self._keeping = True
        if self._read is None:
            raise RuntimeError("a recording is kept once it is read")
        self._told("storing it", 1.0)
        return self._read.reading(keep(desk, self._words, self._read))

    def _told(self, step: str, done: float) -> None:
        self.step, self.done = step, done
        if self._stopped:
            raise Stopped


def keep_sweep(desk: Desk, words: SweepWords) -> Outcome:
    """The same from a form: always kept, and answered as any change."""
    by_steps = ReadingBySteps(desk, words)
    by_steps.read()
    return keep_read(desk, by_steps)


def keep_read(desk: Desk, by_steps: ReadingBySteps) -> Outcome:
    """The last of its steps, answered as any change."""
    from tracker.services.answers import Outcome
    from tracker.services.measurements import MEASURED

    found = by_steps.keep(desk)
    said = (*(f"{one.text}; {one.remedy}" for one in found.problems), *found.cautions)
    return Outcome(found.stored or "", MEASURED, tuple(f"{one[0].upper()}{one[1:]}." for one in said))


def _noted_in(desk: Desk) -> tuple[str, ...]:
    from tracker.store.recordings import read_signals

    with desk.store.read() as session:
        return tuple(one.settings for one in read_signals(session))
