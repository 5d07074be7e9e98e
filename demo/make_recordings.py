"""Simulates recordings of the sweep in the demo's mixing room, bare and after its first phase.

`python demo/make_recordings.py FOLDER` makes them there with the sweep they are of; read one with
`sabinry sweep read FOLDER/bare-1.flac --signal FOLDER/sweep.wav`. Everything is drawn from a seed: the decay times are
those the site's planes and bays give, the rest is what one loudspeaker and two spots in a room make of it.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np

from tracker.domain.errors import Refused
from tracker.domain.sound.rooms import room_sound
from tracker.domain.sweep.signal import Settings, signal_at
from tracker.domain.sweep.spectra import quick_length
from tracker.domain.work.progress import Progress
from tracker.resources import folder
from tracker.services.site_file import read_site
from tracker.services.sounding import room_surfaces
from tracker.services.sweep_files import write_signal

SETTINGS = Settings()
SIGNAL = "sweep.wav"
POSITIONS = 2
SNR_DB = 45.0
DIRECT_DB = -6.0
"""Energy of the direct sound against the reverberation's."""
HIGH_PASS_HZ = 55.0
DRIFT_PPM = 23.0
_LENGTH_S = 2.0
_BEFORE_S = 0.002


def decay_times() -> dict[str, tuple[float, ...]]:
    """Decay time in each octave band from 63 Hz to 8 kHz, s, of the room's two states; the outer bands are guessed."""
    site = read_site(folder("demo") / "site.toml")
    phase = site.phases[0].name
    found = room_sound(room_surfaces(site, site.rooms[0], Progress()), (phase,), site.cap)
    states = {"bare": found.bare, phase.replace(" ", "-"): found.phases[0].after}
    return {name: (state.sabine_s[0], *state.sabine_s, 0.9 * state.sabine_s[-1]) for name, state in states.items()}


def make_recordings(into: Path, seed: int = 20260301, positions: int = POSITIONS) -> list[Path]:
    """Writes the sweep and the recordings of both states, 16-bit FLAC, into a folder; answers the recordings' paths.

    Replaces nothing: Refused where one of the files is there.
    """
    import soundfile

    todo = {into / f"{state}-{position}.flac": (decay_s, position)
            for state, decay_s in decay_times().items() for position in range(1, positions + 1)}
    for path in todo:
        if path.exists():
            raise Refused(f"{path}: there is such a file already; choose another folder")
    into.mkdir(parents=True, exist_ok=True)
    write_signal(into / SIGNAL, SETTINGS)
    for path, (decay_s, position) in todo.items():
        soundfile.write(path, recording(decay_s, seed, position), SETTINGS.rate_hz, "PCM_16", format="FLAC")
    return list(todo)


def recording(decay_s: tuple[float, ...], seed: int, position: int) -> np.ndarray:
    """What is recorded at a position in a room of these decay times: the sweep in it, with the room's own noise."""
    rng = np.random.default_rng([seed, position])
    heard = response(rng, decay_s)
    rate_hz, delay_s = SETTINGS.rate_hz, rng.uniform(0.4, 1.5)
    count = round((delay_s + SETTINGS.total_s + 0.5) * rate_hz)
    played = signal_at(SETTINGS, np.arange(count) * (1 + DRIFT_PPM * 1e-6) / rate_hz - delay_s)
    size = quick_length(count + heard.size)
    sound = np.fft.irfft(np.fft.rfft(played, size) * np.fft.rfft(heard, size), size)[:count]
    noise = np.cumsum(rng.standard_normal(count)) * 0.02
    noise = noise - np.convolve(noise, np.full(480, 1 / 480), "same") + rng.standard_normal(count)
    sound += noise * (np.std(sound) / np.std(noise) * 10 ** (-SNR_DB / 20))
    return sound * (0.25 / np.max(np.abs(sound)))


def response(rng: np.random.Generator, decay_s: tuple[float, ...]) -> np.ndarray:
    """Noise that falls in each octave band by its decay time, after the direct sound, through a small loudspeaker."""
    rate_hz = SETTINGS.rate_hz
    size = quick_length(round(_LENGTH_S * rate_hz))
    hertz = np.fft.rfftfreq(size, 1 / rate_hz)
    white = np.fft.rfft(rng.standard_normal(size))
    # neighbouring bands cross over within a third of an octave, their powers adding up to one
    at = np.clip(np.log2(np.maximum(hertz, 1.0) / 1000) + 4, 0, len(decay_s) - 1)
    t_s = np.arange(size) / rate_hz
    tail = sum(np.fft.irfft(white * np.sqrt(np.clip(2 - 3 * np.abs(at - band), 0, 1)), size) * 10 ** (-3 * t_s / decay)
               for band, decay in enumerate(decay_s))
    begins = round((_BEFORE_S + rng.uniform(0.001, 0.003)) * rate_hz)
    tail = np.concatenate([np.zeros(begins), tail[:-begins]])
    tail[round(_BEFORE_S * rate_hz)] += np.sqrt(np.sum(tail**2) * 10 ** (DIRECT_DB / 10))
    s = 1j * hertz / HIGH_PASS_HZ
    return np.fft.irfft(np.fft.rfft(tail) * s * s / (s * s + np.sqrt(2) * s + 1), size)


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit("usage: python demo/make_recordings.py FOLDER")
    for one in make_recordings(Path(sys.argv[1])):
        print(one)
