"""The whole-length response of a recording: what lies outside the room's own decay tells what went wrong."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from tracker.domain.sweep.alignment import Alignment
from tracker.domain.sweep.deconvolve import CrossSpectrum, cross_spectrum
from tracker.domain.sweep.signal import Settings
from tracker.domain.sweep.spectra import quick_length

CLEAR_LOW_HZ = 300.0
CLEAR_HIGH_HZ = 9000.0
"""Where small loudspeakers, rooms and microphones all work, Hz (common practice, no source)."""
_FLOOR = 1e-6
_AROUND_S = (0.02, 1.5)
"""What belongs to the direct sound and its room, s before and after the peak."""
_APART_S = 3.0
_AHEAD_S = 0.1
_BEGINS = 10.0 ** (-10.0 / 20.0)
"""A sound begins where it comes within 10 dB of its peak: a late reflection may be the loudest."""
_SIGMAS = 8.0
_TINY = 1e-30


@dataclass(frozen=True)
class WholeResponse:
    """The response over the whole length of a recording, turning round at its end.

    spectrum: of `size` samples at rate_hz, its zero at the sweep's start in the recording. begins_s: where that start
    was taken to be, s from the start of the recording. stretch: the player's seconds in one of the recorder's. aligned:
    whether that start is known; else all of the recording comes after the zero.
    """

    spectrum: np.ndarray
    size: int
    rate_hz: float
    begins_s: float
    stretch: float
    aligned: bool

    def within(self, low_hz: float, high_hz: float) -> tuple[np.ndarray, float]:
        """The response's envelope between two frequencies (Hz), its edges a sixth of an octave wide, and its rate, Hz.

        Worked out at the lowest rate that holds it.
        """
        step = self.rate_hz / self.size
        edge = 2.0 ** (1.0 / 12.0)
        first = max(1, math.floor(low_hz / edge / step))
        last = min(self.spectrum.size, math.ceil(high_hz * edge / step))
        octave = np.log2(np.arange(first, last) * step)
        shape = (np.clip((octave - math.log2(low_hz)) * 6.0 + 0.5, 0.0, 1.0)
                 * np.clip((math.log2(high_hz) - octave) * 6.0 + 0.5, 0.0, 1.0))
        count = quick_length(last - first)
        part = np.zeros(count, dtype=complex)
        part[: last - first] = self.spectrum[first:last] * np.sin(0.5 * np.pi * shape) ** 2
        return np.abs(np.fft.ifft(part)) * (2.0 * count / self.size), count * step

    @cached_property
    def clear(self) -> tuple[np.ndarray, float]:
        """The envelope from 300 Hz to 9 kHz and its rate, Hz."""
        return self.within(CLEAR_LOW_HZ, min(CLEAR_HIGH_HZ, 0.42 * self.rate_hz))

    @cached_property
    def peak_s(self) -> float:
        """Where the direct sound is, s from the zero; before it where less than nothing."""
        envelope, rate_hz = self.clear
        at = int(np.argmax(envelope)) / rate_hz
        length_s = envelope.size / rate_hz
        return at - length_s if self.aligned and at > 0.5 * length_s else at

    @cached_property
    def clearness_db(self) -> float:
        """The peak over the rms of everything that is not the room, dB: what tells this sweep from anything else."""
        envelope, rate_hz = self.clear
        peak = int(np.argmax(envelope))
        turned = np.roll(envelope, round(_AROUND_S[0] * rate_hz) - peak)
        rest = turned[round(sum(_AROUND_S) * rate_hz):]
        if rest.size < rate_hz:
            return 0.0
        return _db(envelope[peak] ** 2, float(np.mean(rest**2)))

    @cached_property
    def again_db(self) -> float:
        """The highest peak 3 s and more away from the direct sound, over it, dB: the sweep played again."""
        envelope, rate_hz = self.clear
        apart = round(_APART_S * rate_hz)
        turned = np.roll(envelope, apart - int(np.argmax(envelope)))
        rest = turned[2 * apart:]
        return _db(float(rest.max()) ** 2, float(turned[apart]) ** 2) if rest.size else -120.0

    @cached_property
    def room_db(self) -> float:
        """Energy 5 to 100 ms after the peak over that within 2 ms of it, less the noise, dB: a cable has no room."""
        envelope, rate_hz = self.clear
        power = np.roll(envelope, round(0.05 * rate_hz) - int(np.argmax(envelope))) ** 2
        noise = float(np.median(power[round(1.5 * rate_hz):])) / math.log(2.0)
        first, near, late = (round(at * rate_hz) for at in (0.048, 0.052, 0.055))
        room = float(np.sum(power[late: round(0.15 * rate_hz)] - noise))
        return _db(max(room, 0.0), float(np.sum(power[first:near])))

    def harmonic_db(self, order: int, settings: Settings) -> float:
        """Level of a harmonic of the loudspeaker or the recorder over the fundamental, dB, from 1.5 kHz up.

        -120 where it does not stand out of the noise. Source: A. Farina, AES 108 (2000) 5093: harmonic k comes
        growth * ln k before the direct sound.
        """
        envelope, rate_hz = self.within(1500.0, min(CLEAR_HIGH_HZ, 0.42 * self.rate_hz))
        early = round(settings.growth_s * math.log(order) / self.stretch * rate_hz)
        long = round(0.1 * rate_hz)
        # from 0.15 s before the harmonic, where there is noise alone
        power = np.roll(envelope, early + round(0.15 * rate_hz) - int(np.argmax(envelope))) ** 2
        noise = float(np.mean(power[:long]))
        begins = round(0.13 * rate_hz)
        harmonic = float(np.sum(power[begins: begins + long]))
        if harmonic < noise * (long + _SIGMAS * math.sqrt(long)):
            return -120.0
        direct = np.roll(power, -early)[begins: begins + long]
        return _db(harmonic - noise * long, float(np.sum(direct)))

    def loudest(self, middle_hz: float, about_s: float | None = None) -> tuple[float, float]:
        """Where the loudest sound of an octave band (exact midband, Hz) begins, and how far it stands out.

        In s from the zero, before it turned to the end; its peak over the band's median, dB. about_s: only what is
        within 0.1 s of that.
        """
        envelope, rate_hz = self.within(middle_hz / math.sqrt(2.0), middle_hz * math.sqrt(2.0))
        ahead = round(_AHEAD_S * rate_hz)
        if about_s is None:
            peak = int(np.argmax(envelope))
        else:
            first = round(about_s * rate_hz) - ahead
            peak = first + int(np.argmax(np.roll(envelope, -first)[: 2 * ahead + 1]))
        near = np.roll(envelope, ahead - peak)[: ahead + 1]
        begins = (peak - ahead + int(np.argmax(near > _BEGINS * near[-1]))) % envelope.size
        return begins / rate_hz, _db(float(near[-1]) ** 2, float(np.median(envelope)) ** 2)


def whole_response(samples: np.ndarray, rate_hz: float, settings: Settings,
                   alignment: Alignment | None = None) -> WholeResponse:
    """Divides a recording (one channel, rate in Hz) by the sweep over its whole length.

    With an alignment what the markers take up, and all outside them, is left out and the clock is corrected. Source:
    division with a floor, S. Mueller and P. Massarani, J. Audio Eng. Soc. 49 (2001) 443.
    """
    return whole_of(cross_spectrum(samples, rate_hz, settings, alignment))


def whole_of(crossed: CrossSpectrum) -> WholeResponse:
    """The same from the cross-spectrum of a recording. Source: as of `whole_response`."""
    spectrum = crossed.cross / (crossed.power + _FLOOR * float(crossed.power.max()))
    spectrum[math.floor(crossed.high_hz * crossed.size / crossed.rate_hz):] = 0.0
    return WholeResponse(spectrum, crossed.size, crossed.rate_hz, crossed.begins_s, crossed.stretch, crossed.aligned)


def _db(above: float, below: float) -> float:
    return 10.0 * math.log10((above + _TINY) / (below + _TINY))
