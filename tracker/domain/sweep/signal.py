"""The signal: marker chirp, synchronised exponential sweep, silence for the tail, the same marker chirp again.

Everything is a formula of time, so it can be worked out at whatever instants a recorder took its samples: any rate, any
error of its clock, and no resampling.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, fields

import numpy as np

from tracker.domain.errors import Refused

VERSION = 1
FADE_IN_S = 0.15
FADE_OUT_S = 0.01
MARKER_LOW_HZ = 1000.0
MARKER_HIGH_HZ = 8000.0
MARKER_FADE_S = 0.005

_HEAD = f"sabinry sweep {VERSION}:"
# key in the file's comment, field, least, most, unit, why not less or more
_LIMITS: tuple[tuple[str, str, float, float, str, str], ...] = (
    ("seconds", "seconds", 2.0, 60.0, "s", "shorter sweeps drown in noise, longer ones outlast patience"),
    ("rate", "rate_hz", 32000, 192000, "Hz", "use 44100, 48000 or 96000"),
    ("level", "level_db", -60.0, -1.0, "dB", "full scale is 0 dB; -12 leaves room for the converter"),
    ("low", "low_hz", 10.0, 40.0, "Hz", "the 63 Hz octave begins at 45 Hz"),
    ("high", "high_hz", 12000.0, 80000.0, "Hz", "the 8 kHz octave ends at 11.3 kHz"),
    ("lead", "lead_s", 0.1, 10.0, "s", "players swallow the first instant"),
    ("gap", "gap_s", 0.3, 10.0, "s", "the marker must die away before the sweep"),
    ("tail", "tail_s", 0.5, 20.0, "s", "the room must die away after the sweep"),
    ("marker", "marker_s", 0.05, 1.0, "s", "0.1 is enough"),
    ("end", "end_s", 0.3, 10.0, "s", "the last marker must die away too"),
)


@dataclass(frozen=True)
class Settings:
    """What a sweep file holds; times in s, frequencies in Hz, level of its peak in dB under full scale."""

    seconds: float = 10.0
    rate_hz: int = 48000
    level_db: float = -12.0
    low_hz: float = 20.0
    high_hz: float = 20000.0
    lead_s: float = 0.5
    gap_s: float = 1.0
    tail_s: float = 3.0
    marker_s: float = 0.1
    end_s: float = 1.0

    def __post_init__(self) -> None:
        for key, name, least, most, unit, why in _LIMITS:
            value = getattr(self, name)
            if not isinstance(value, (int, float)) or not math.isfinite(value) or not least <= value <= most:
                raise Refused(f"sweep {key} {value}: choose {least:g} to {most:g} {unit} ({why})")
        if self.rate_hz != int(self.rate_hz):
            raise Refused(f"sweep rate {self.rate_hz}: a rate is a whole number of samples a second, such as 48000")
        if self.high_hz > 0.46 * self.rate_hz:
            raise Refused(f"sweep high {self.high_hz:g} Hz does not fit a rate of {self.rate_hz} Hz: "
                          f"choose at most {0.46 * self.rate_hz:.0f} Hz, or a higher rate")

    @property
    def growth_s(self) -> float:
        """Time in which the frequency grows by e, s; times low_hz it is whole, which synchronises the sweep."""
        return max(1.0, round(self.low_hz * self.seconds / math.log(self.high_hz / self.low_hz))) / self.low_hz

    @property
    def sweep_s(self) -> float:
        """Length of the sweep itself, s: `seconds`, to the nearest that synchronises."""
        return self.growth_s * math.log(self.high_hz / self.low_hz)

    @property
    def first_marker_s(self) -> float:
        """Where the first marker begins, s from the start of the file."""
        return self.lead_s

    @property
    def sweep_start_s(self) -> float:
        """Where the sweep begins, s from the start of the file."""
        return self.lead_s + self.marker_s + self.gap_s

    @property
    def sweep_end_s(self) -> float:
        """Where the sweep ends, s from the start of the file."""
        return self.sweep_start_s + self.sweep_s

    @property
    def second_marker_s(self) -> float:
        """Where the second marker begins, s from the start of the file."""
        return self.sweep_end_s + self.tail_s

    @property
    def marker_spacing_s(self) -> float:
        """From the start of one marker to the start of the other, s."""
        return self.second_marker_s - self.first_marker_s

    @property
    def total_s(self) -> float:
        """Length of the file, s."""
        return self.second_marker_s + self.marker_s + self.end_s

    @property
    def peak(self) -> float:
        """Largest sample, as a share of full scale."""
        return 10.0 ** (self.level_db / 20.0)

    def reaches_s(self, frequency_hz: float) -> float:
        """When the sweep passes a frequency (Hz), s from the start of the sweep."""
        return self.growth_s * math.log(frequency_hz / self.low_hz)

    def as_text(self) -> str:
        """One line that says all of it, for the comment of the file; `from_text` reads it back to the bit."""
        return _HEAD + " " + " ".join(f"{key}={_written(getattr(self, name))}" for key, name, *_ in _LIMITS)

    @classmethod
    def from_text(cls, text: str) -> Settings:
        """Settings out of a line that `as_text` wrote, alone or within a longer comment; Refused if there is none."""
        _, found, rest = text.partition(_HEAD)
        if not found:
            raise Refused("no sweep settings in this text: give the file that `sweep write` wrote, or its settings")
        names = {key: name for key, name, *_ in _LIMITS}
        kinds = {field.name: field.type for field in fields(cls)}
        read: dict[str, float] = {}
        for word in rest.replace("\x00", " ").split():
            key, equals, value = word.partition("=")
            if not equals or key not in names:
                break  # whatever else the comment says
            try:
                read[names[key]] = int(value) if kinds[names[key]] == "int" else float(value)
            except ValueError:
                raise Refused(f"sweep settings: {word} is not a number; write the sweep file again") from None
        if len(read) != len(names):
            missing = ", ".join(key for key, name in names.items() if name not in read)
            raise Refused(f"sweep settings lack {missing}: write the sweep file again")
        return cls(**read)


def sweep_at(settings: Settings, t_s: np.ndarray, up_to_hz: float | None = None) -> np.ndarray:
    """The sweep alone, peak 1, at the instants t_s (s from the sweep's start; any shape); 0 outside it.

    `up_to_hz` leaves out what lies above a frequency, for a recorder whose rate cannot hold it.

    Source: A. Novak, P. Lotton, L. Simon, "Synchronized swept-sine", J. Audio Eng. Soc. 63 (2015) 786: sin(2 pi f1 L
    exp(t/L)) with f1 L whole (from memory).
    """
    t = np.asarray(t_s, dtype=float)
    end = settings.sweep_s if up_to_hz is None else min(settings.sweep_s, settings.reaches_s(up_to_hz))
    swept = np.zeros(t.shape)
    inside = (t >= 0.0) & (t <= end)
    at = t[inside]
    growth = settings.growth_s
    # the whole cycles at the start are left out, so that the phase keeps all its digits
    swept[inside] = (np.sin(2.0 * np.pi * settings.low_hz * growth * np.expm1(at / growth))
                     * _fades(at, end, FADE_IN_S, FADE_OUT_S))
    return swept


def marker_at(settings: Settings, t_s: np.ndarray) -> np.ndarray:
    """One marker, a linear chirp of peak 1 from 1 to 8 kHz, at the instants t_s (s from its start); 0 outside it."""
    t = np.asarray(t_s, dtype=float)
    chirp = np.zeros(t.shape)
    inside = (t >= 0.0) & (t <= settings.marker_s)
    at = t[inside]
    rise = (MARKER_HIGH_HZ - MARKER_LOW_HZ) / (2.0 * settings.marker_s)
    chirp[inside] = (np.sin(2.0 * np.pi * at * (MARKER_LOW_HZ + rise * at))
                     * _fades(at, settings.marker_s, MARKER_FADE_S, MARKER_FADE_S))
    return chirp


def signal_at(settings: Settings, t_s: np.ndarray) -> np.ndarray:
    """The whole signal at its level, at the instants t_s (s from the start of the file, in rising order)."""
    t = np.asarray(t_s, dtype=float)
    heard = np.zeros(t.shape)
    for start, length, part in ((settings.first_marker_s, settings.marker_s, marker_at),
                                (settings.sweep_start_s, settings.sweep_s, sweep_at),
                                (settings.second_marker_s, settings.marker_s, marker_at)):
        first, last = np.searchsorted(t, [start, start + length])
        heard[first:last] = part(settings, t[first:last] - start)
    return heard * settings.peak


def sweep_signal(settings: Settings) -> np.ndarray:
    """The samples of the file (one channel, full scale 1): what `sweep write` stores."""
    return signal_at(settings, np.arange(round(settings.total_s * settings.rate_hz)) / settings.rate_hz)


def _fades(t: np.ndarray, length_s: float, fade_in_s: float, fade_out_s: float) -> np.ndarray:
    # worked out where it fades only, which is little of a sweep
    gain = np.ones(t.shape)
    for left_s, fade_s in ((t, fade_in_s), (length_s - t, fade_out_s)):
        within = left_s < fade_s
        gain[within] *= np.sin(0.5 * np.pi * np.clip(left_s[within] / fade_s, 0.0, 1.0)) ** 2
    return gain


def _written(value: float) -> str:
    return str(int(value)) if float(value).is_integer() else repr(float(value))
