"""Sound files of the sweep: the signal written with its settings in it, recordings read, by what is in them."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from tracker.domain.errors import Refused
from tracker.domain.sweep.progress import Told, part_of, unheard
from tracker.domain.sweep.signal import Settings, sweep_signal
from tracker.services.sweep_formats import refuse_foreign

if TYPE_CHECKING:
    import numpy as np
    import soundfile

LONGEST_S = 600.0
USUAL_RATE_HZ = 48000
"""A higher rate is read for as many samples, not for as long: they are all held at once."""
MOST_CHANNELS = 32
_BLOCK = 1 << 18
_SAME = 1e-3
"""Channels that differ by less than this share of their level are one signal twice."""
_LOSSLESS = ("PCM_", "FLOAT", "DOUBLE", "ALAC_")
_DEAD = 1e-3
"""A channel this much fainter than the loudest has nothing connected to it."""


@dataclass(frozen=True, eq=False)
class Recording:
    """One channel of a sound file, full scale 1, with what was found about the file."""

    path: Path
    samples: np.ndarray = field(repr=False)
    rate_hz: int
    channels: int
    channel: int
    """Which one was read, from 1."""
    depth: str
    """As the file says it, such as PCM_24 or FLOAT."""
    sha256: str
    comment: str

    @property
    def length_s(self) -> float:
        return len(self.samples) / self.rate_hz


def path_of(what: str, text: str) -> Path:
    """A path as typed or dragged into a terminal, which often puts it in quotes; Refused where it cannot be one."""
    bare = text.strip().strip("'\"")
    if not bare or "\0" in bare:
        raise Refused(f"{what}: name the file")
    try:
        return Path(bare).expanduser()
    except RuntimeError:
        raise Refused(f"{what}: there is no home folder {bare.split('/')[0]}; write the whole path") from None


def write_signal(path: Path, settings: Settings, force: bool = False) -> str:
    """Writes the sweep as a 24-bit WAV file that says in its own comment how it was made; answers its checksum.

    Only `force` replaces a file, and only once the new one is whole.
    """
    import numpy as np
    import soundfile

    if path.suffix.lower() != ".wav":
        raise Refused(f"{path}: the sweep is written as WAV; choose a name that ends in .wav")
    if not path.parent.is_dir():
        raise Refused(f"{path}: there is no folder {path.parent}; make it first, or choose another")
    if path.is_dir() or (path.exists() and not force):
        raise Refused(f"{path}: there is such a file already; choose another name"
                      + ("" if path.is_dir() else ", or --force to replace it"))
    samples = np.round(sweep_signal(settings) * 2.0**23) / 2.0**23
    draft = path.with_name(f".{path.stem}.{os.getpid()}.wav")
    try:
        with soundfile.SoundFile(draft, "w", settings.rate_hz, 1, "PCM_24", format="WAV") as file:
            file.comment = settings.as_text()
            file.write(samples)
        sha256 = sha256_of(draft)
        os.replace(draft, path)
    except (OSError, soundfile.LibsndfileError) as why:
        raise Refused(f"{path}: it cannot be written ({_reason(why)}); choose another place") from None
    finally:
        draft.unlink(missing_ok=True)
    return sha256


def signal_settings(path: Path) -> Settings:
    """The settings a sweep file carries in its comment."""
    with _opened(path) as file:
        comment = file.comment or ""
    try:
        return Settings.from_text(comment)
    except Refused as why:
        raise Refused(f"{path}: {why}") from None


def read_recording(path: Path, channel: int | None = None, told: Told = unheard) -> Recording:
    """Reads one channel of a WAV, FLAC or AIFF file at its own rate; `channel` counts from 1.

    Without a choice the channels must be alike, or all but one dead.
    """
    with _opened(path) as file:
        rate, channels, depth, comment = file.samplerate, file.channels, file.subtype, file.comment or ""
        if channel is not None and not 1 <= channel <= channels:
            raise Refused(f"{path}: there is no channel {channel}; choose 1 to {channels}")
        if channels > MOST_CHANNELS:
            raise Refused(f"{path}: {channels} channels are more than a recording has; export one of them")
        if file.frames > LONGEST_S * min(rate, USUAL_RATE_HZ):
            raise Refused(f"{path}: it is {file.frames / rate / 60:.0f} minutes long; cut it to the sweep, from before "
                          "the first chirp to after the last")
        unchosen = channel is None and channels > 1
        chosen = _only_channel(path, file, part_of(told, 0.0, 0.5)) if unchosen else channel or 1
        samples = _one_channel(path, file, chosen, part_of(told, 0.5 if unchosen else 0.0, 1.0))
    return Recording(path, samples, rate, channels, chosen, depth, sha256_of(path), comment)


def sha256_of(path: Path) -> str:
    """Checksum of the file as it lies there, hexadecimal."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _opened(path: Path) -> soundfile.SoundFile:
    import soundfile

    refuse_foreign(path)
    try:
        file = soundfile.SoundFile(path)
    except soundfile.LibsndfileError as why:
        raise Refused(f"{path}: it cannot be read ({_reason(why)}); export it again as WAV or FLAC") from None
    if not file.subtype.startswith(_LOSSLESS):
        file.close()
        raise Refused(f"{path}: it holds {file.subtype}, which throws away what is measured here; record as WAV of 16 "
                      "or 24 bits, or FLAC")
    return file


def _one_channel(path: Path, file: soundfile.SoundFile, channel: int, told: Told) -> np.ndarray:
    import numpy as np

    # in blocks: of a file of many channels only one is ever held whole
    parts = [block[:, channel - 1].copy() for block in _blocks(path, file, told)]
    return np.concatenate(parts) if parts else np.zeros(0)


def _only_channel(path: Path, file: soundfile.SoundFile, told: Told) -> int:
    """The channel to read where none was chosen: the first of those alike, or the one that is alive."""
    import numpy as np

    power, apart = np.zeros(file.channels), np.zeros(file.channels)
    for block in _blocks(path, file, told):
        power += np.sum(block**2, axis=0)
        apart += np.sum((block - block[:, :1]) ** 2, axis=0)
    alive = np.flatnonzero(power > _DEAD**2 * power.max())
    if alive.size == 1:
        return int(alive[0]) + 1
    if not np.isfinite(power).all() or np.all(apart <= _SAME**2 * power):
        return 1
    raise Refused(f"{path}: its {file.channels} channels differ; choose one with --channel 1"
                  f"{_others(file.channels)} (the measuring microphone's)")


def _others(channels: int) -> str:
    return " or 2" if channels == 2 else f" to {channels}"


def _blocks(path: Path, file: soundfile.SoundFile, told: Told) -> Iterator[np.ndarray]:
    import soundfile

    frames = max(1, _BLOCK // file.channels)
    try:
        file.seek(0)
        for number, block in enumerate(file.blocks(frames, dtype="float64", always_2d=True)):
            told("reading the file", min(1.0, number * frames / file.frames))
            yield block
    except soundfile.LibsndfileError as why:
        raise Refused(f"{path}: it is damaged ({_reason(why)}); copy it from the recorder again") from None


def _reason(why: Exception) -> str:
    said = getattr(why, "error_string", None) or getattr(why, "strerror", None) or str(why)
    return " ".join(said.split()).removeprefix("Error : ").rstrip(".")
