"""From a recording's file to its analysis: whose sweep it is, what is wrong with it, what it says."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from tracker.domain.errors import Refused
from tracker.domain.sweep.faults import Findings, examine
from tracker.domain.sweep.faults_said import Fault
from tracker.domain.sweep.measured import Analysis, analyse
from tracker.domain.sweep.progress import Told, part_of, unheard
from tracker.domain.sweep.signal import Settings
from tracker.services.sweep_answers import RecordingView, SweepReading
from tracker.services.sweep_reading import problem_of, reading_of

if TYPE_CHECKING:
    import numpy as np

_ANOTHERS = frozenset({"not-this-sweep", "wrong-rate"})
"""Faults that another signal's settings may clear up."""
_READ, _EXAMINED = 0.1, 0.7
"""Which share of the work is done once the file is read, and once it is examined."""
_A_CLOCK_PPM = 200.0
"""Clocks of recorders are mostly within 100 ppm (common practice, no source): further off, other sweeps are tried."""


@dataclass(frozen=True, slots=True)
class Kept:
    """What became of a recording that was kept: the sentence of the change, and what to know of it."""

    sentence: str
    cautions: tuple[str, ...] = ()
    together: Analysis | None = None
    """All positions of its measurement, where there are several."""


@dataclass(frozen=True, slots=True)
class ReadRecording:
    """A recording that was read, and nothing fatal found."""

    path: Path
    sha256: str
    channel: int
    channels: int
    rate_hz: float
    length_s: float
    settings: Settings
    analysis: Analysis
    warnings: tuple[Fault, ...]

    def reading(self, kept: Kept | None = None) -> SweepReading:
        """As it is answered."""
        alignment = self.analysis.alignment
        view = RecordingView(
            str(self.path), self.channel, self.channels, self.rate_hz, self.length_s, self.settings.as_text(),
            alignment and alignment.delay_s(self.settings), alignment and alignment.drift_ppm,
            alignment and alignment.level_change_db)
        found = reading_of(self.analysis, tuple(problem_of(one) for one in self.warnings), view)
        if kept is None:
            return found
        together = None if kept.together is None else reading_of(kept.together)
        return replace(found, stored=kept.sentence, cautions=kept.cautions, together=together)


def candidates(signal: str, noted: Sequence[str] | None) -> tuple[Settings, ...]:
    """The settings a recording may have been made with: those of the file named, else those noted in the store."""
    from tracker.services import sweep_files

    if signal.strip():
        return (sweep_files.signal_settings(sweep_files.path_of("signal", signal)),)
    if noted is None:
        raise Refused("signal: there is no store that knows the sweep's settings; name the file that `sweep write` "
                      "wrote with --signal")
    if not noted:
        raise Refused("signal: this store has no sweep noted; name the file that `sweep write` wrote with --signal")
    return known_settings(noted)


def known_settings(texts: Sequence[str]) -> tuple[Settings, ...]:
    """Settings out of their texts, each once whatever its level; the level is the player's business."""
    found: dict[Settings, Settings] = {}
    for text in texts:
        settings = Settings.from_text(text)
        found.setdefault(replace(settings, level_db=Settings.level_db), settings)
    return tuple(found.values())


def read_recording(file: str, channel: str, known: Sequence[Settings], told: Told = unheard) -> ReadRecording:
    """Reads a recording with the first of the settings known that is in it; Refused with the worst that is wrong."""
    from tracker.services import sweep_files

    path = sweep_files.path_of("recording", file)
    sound = sweep_files.read_recording(path, _channel(channel), part_of(told, 0.0, _READ))
    settings, found = _matched(sound.samples, sound.rate_hz, known, part_of(told, _READ, _EXAMINED))
    if found.fatal:
        more = (f" (none of the {len(known)} sweeps noted in the store is in it)"
                if len(known) > 1 and found.fatal[0].code in _ANOTHERS else "")
        raise Refused(f"{path.name}: {found.fatal[0].line}{more}")
    try:
        analysis = analyse(sound.samples, sound.rate_hz, settings, found.alignment, found.crossed,
                           part_of(told, _EXAMINED, 1.0))
    except Refused as refusal:
        raise Refused(f"{path.name}: {str(refusal).removeprefix('sweep: ')}") from refusal
    return ReadRecording(path.resolve(), sound.sha256, sound.channel, sound.channels, sound.rate_hz,
                         sound.length_s, settings, analysis, found.faults)


def _matched(samples: np.ndarray, rate_hz: float, known: Sequence[Settings],
             told: Told) -> tuple[Settings, Findings]:
    """The sweep that is in a recording, the newest first, and what the check found with it.

    Two sweeps may differ by so little that either would pass: the one that needs the smaller error of the clock is it.
    """
    tried: list[tuple[Settings, Findings]] = []
    for at, settings in enumerate(known):
        lead = f"sweep {at + 1} of {len(known)}: " if len(known) > 1 else ""
        found = examine(samples, rate_hz, settings, part_of(told, at / len(known), (at + 1) / len(known), lead))
        if not found.fatal and _drift_ppm(found) < _A_CLOCK_PPM:
            return settings, found
        tried.append((settings, found))
    passed = [one for one in tried if not one[1].fatal] or [one for one in tried if one[1].alignment is not None]
    if passed:
        return min(passed, key=lambda one: _drift_ppm(one[1]))
    return next((one for one in tried if one[1].fatal[0].code not in _ANOTHERS), tried[0])


def _drift_ppm(found: Findings) -> float:
    return math.inf if found.alignment is None else abs(found.alignment.drift_ppm)


def _channel(text: str) -> int | None:
    if not text.strip():
        return None
    if not re.fullmatch(r"\s*[0-9]{1,3}\s*", text) or int(text) < 1:
        raise Refused(f"channel {text.strip()}: channels are counted from 1; write e.g. 2")
    return int(text)
