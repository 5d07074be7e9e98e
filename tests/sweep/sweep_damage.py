"""What goes wrong with a recording, each as a class of bad files drawn from a seed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
from sweep_corpus import (
    Heard,
    Settings,
    at_the_microphone,
    coloured,
    convolve,
    good,
    quantised,
    record,
    rms,
    sweep_span,
)

from tracker.domain.sweep.signal import sweep_signal

Damage = Callable[[np.random.Generator, Heard], Heard]


def to(heard: Heard, samples: np.ndarray, bits: int = 24) -> Heard:
    return replace(heard, samples=quantised(samples, bits))


def span(heard: Heard) -> slice:
    return sweep_span(heard.settings, heard.delay_s, heard.rate_hz)


def clipped(over_db: tuple[float, float], then: tuple[float, float] = (1.0, 1.0), digital: bool = True) -> Damage:
    """The sweep driven over full scale by some dB, then scaled; not `digital`: bent before the converter."""
    def damage(rng: np.random.Generator, heard: Heard) -> Heard:
        samples = heard.samples / np.max(np.abs(heard.samples[span(heard)])) * 10 ** (rng.uniform(*over_db) / 20)
        samples = np.clip(samples, -1, 1 - 2**-15)
        if not digital:
            samples = samples + 0.001 * coloured(rng, len(samples), heard.rate_hz, 2)
        return to(heard, samples * rng.uniform(*then), int(rng.choice((16, 24))))
    return damage


def _where(rng: np.random.Generator, heard: Heard, length: int) -> int:
    """A place in the sweep where it is above 60 Hz, so that there is something to lose."""
    inside = span(heard)
    skip = int(heard.settings.reaches_s(60) * heard.rate_hz)
    return int(rng.integers(inside.start + skip, inside.stop - length))


def silenced(times: int, length: int) -> Damage:
    """Buffers lost, with silence in their place."""
    def damage(rng: np.random.Generator, heard: Heard) -> Heard:
        samples = heard.samples.copy()
        for _ in range(times):
            at = _where(rng, heard, length)
            samples[at:at + length] = 0
        return to(heard, samples)
    return damage


def skipped(times: int, length: int) -> Damage:
    """Buffers lost, with nothing in their place."""
    def damage(rng: np.random.Generator, heard: Heard) -> Heard:
        samples = heard.samples
        for at in sorted((_where(rng, heard, length) for _ in range(times)), reverse=True):
            samples = np.delete(samples, slice(at, at + length))
        return to(heard, samples)
    return damage


def held(times: int, length: int) -> Damage:
    """Buffers lost, with the last value held in their place."""
    def damage(rng: np.random.Generator, heard: Heard) -> Heard:
        samples = heard.samples.copy()
        for _ in range(times):
            at = _where(rng, heard, length)
            samples[at:at + length] = samples[at - 1]
        return to(heard, samples)
    return damage


def automatic_gain(attack_s: tuple[float, ...], release_s: tuple[float, ...], aim_db: float = -20.0,
                   most_db: float = 24.0) -> Damage:
    """A recorder that works its own gain: the louder it hears, the lower it turns."""
    def damage(rng: np.random.Generator, heard: Heard) -> Heard:
        pick = int(rng.integers(len(attack_s)))
        block = heard.rate_hz // 200
        count = -(-len(heard.samples) // block)
        padded = np.pad(heard.samples, (0, count * block - len(heard.samples)))
        level = np.sqrt(np.mean(padded.reshape(count, block) ** 2, axis=1)) + 1e-6
        gain, gains = 0.0, np.empty(count)
        for i, wanted in enumerate(np.clip(aim_db - 20 * np.log10(level), -most_db, most_db)):
            slow = attack_s[pick] if wanted < gain else release_s[pick]
            gain += (wanted - gain) * (1 - np.exp(-0.005 / slow))
            gains[i] = gain
        each = np.interp(np.arange(len(heard.samples)) / block, np.arange(count) + 0.5, gains)
        samples = heard.samples * 10 ** (each / 20)
        return to(heard, samples / max(1.0, 1.01 * np.max(np.abs(samples))))
    return damage


def burst(rng: np.random.Generator, rate_hz: int) -> np.ndarray:
    """A cough, a door or a knock of unit rms over its 80 ms: pink, low or in the middle."""
    length = int(0.08 * rate_hz)
    kind = rng.integers(3)
    noise = coloured(rng, length, rate_hz, (3, 9, 2)[kind])
    noise *= np.sin(np.pi * np.arange(length) / length) ** (2 if kind == 0 else 1)
    return noise / rms(noise)


def disturbed(level_db: float, where: str = "sweep") -> Damage:
    """A burst in the sweep or in the silence after it, its level against the sweep's; heard in the same room."""
    def damage(rng: np.random.Generator, heard: Heard) -> Heard:
        inside = span(heard)
        loud = rms(heard.samples[inside])
        noise = convolve(burst(rng, heard.rate_hz), heard.room.response, 2 * heard.rate_hz)
        noise *= loud * 10 ** (level_db / 20) / rms(noise[:int(0.08 * heard.rate_hz)])
        at = _where(rng, heard, 0)
        if where == "tail":
            at = inside.stop + int(rng.uniform(0.1, heard.settings.tail_s - 0.3) * heard.rate_hz)
        samples = heard.samples.copy()
        end = min(len(samples), at + len(noise))
        samples[at:end] += noise[:end - at]
        return to(heard, samples / max(1.0, np.max(np.abs(samples)) * 1.01))
    return damage


def ended(after_s: tuple[float, float]) -> Damage:
    """The recording stopped this long after the end of the sweep (less than nothing: before it)."""
    def damage(rng: np.random.Generator, heard: Heard) -> Heard:
        stop = span(heard).stop + int(rng.uniform(*after_s) * heard.rate_hz)
        return replace(heard, samples=heard.samples[:stop])
    return damage


def begun_late(rng: np.random.Generator, heard: Heard) -> Heard:
    """The recording was started in the middle of the sweep."""
    start = span(heard).start + int(rng.uniform(0.5, 4.0) * heard.rate_hz)
    return replace(heard, samples=heard.samples[start:])


def wrong_rate(rng: np.random.Generator, heard: Heard) -> Heard:
    """The header names another rate than the converter ran at."""
    others = [rate for rate in (44_100, 48_000, 88_200, 96_000) if rate != heard.rate_hz]
    return replace(heard, rate_hz=int(rng.choice(others)))


def other_sweep(rng: np.random.Generator, heard: Heard) -> Heard:
    """A sweep with another length or other ends was played."""
    seconds = float(rng.choice((4.0, 6.0, 8.0, 12.0, 15.0, 20.0)))
    low, high = rng.uniform(10, 40), rng.uniform(14_000, 20_000)
    played = Settings(seconds=seconds, low_hz=low, high_hz=high)
    return replace(record(rng, heard.room, played, snr_db=rng.uniform(20, 60)), settings=heard.settings)


def linear_sweep(rng: np.random.Generator, heard: Heard) -> Heard:
    """A sweep that rises evenly was played."""
    t = np.arange(int(heard.settings.sweep_s * heard.rate_hz)) / heard.rate_hz
    rise = (20_000 - 20) / heard.settings.sweep_s
    return _instead(rng, heard, np.sin(2 * np.pi * t * (20 + rise / 2 * t)))


def noise_only(rng: np.random.Generator, heard: Heard) -> Heard:
    return to(heard, 0.1 * coloured(rng, len(heard.samples), heard.rate_hz, rng.uniform(0, 6)))


def music(rng: np.random.Generator, heard: Heard) -> Heard:
    """Chords of harmonic notes with a beat."""
    rate = heard.rate_hz
    out = np.zeros(int(heard.settings.sweep_s * rate))
    beat = rng.uniform(0.25, 0.6)
    for start in np.arange(0, heard.settings.sweep_s - 1, beat):
        t = np.arange(int(rng.uniform(0.3, 1.2) * rate)) / rate
        at = int(start * rate)
        for _ in range(int(rng.integers(1, 5))):
            pitch = 55 * 2 ** (rng.integers(0, 48) / 12)
            note = sum(np.sin(2 * np.pi * k * pitch * t + rng.uniform(0, 6)) / k
                       for k in range(1, 9) if k * pitch < 15e3)
            note = note * np.exp(-t / rng.uniform(0.1, 0.6))
            out[at:at + len(t)] += note[:len(out) - at]
        knock = coloured(rng, rate // 20, rate, 2) * np.exp(-np.arange(rate // 20) / rate / 0.01)
        out[at:at + len(knock)] += 2 * knock[:len(out) - at]
    return _instead(rng, heard, out)


def speech(rng: np.random.Generator, heard: Heard) -> Heard:
    """Syllables: pulse trains through drifting resonances, with hisses and pauses."""
    rate = heard.rate_hz
    out = np.zeros(int(heard.settings.sweep_s * rate))
    at = 0
    while at < len(out) - rate // 2:
        length = int(rng.uniform(0.08, 0.3) * rate)
        if rng.random() < 0.3:
            voiced = coloured(rng, length, rate, -2)
        else:
            t = np.arange(length) / rate
            pitch = rng.uniform(90, 220)
            formants = rng.uniform((300, 900, 2200), (800, 2000, 3200))
            voiced = sum(np.sin(2 * np.pi * k * pitch * t) * np.sum(np.exp(-((k * pitch - formants) / 150) ** 2))
                         for k in range(1, 30))
        out[at:at + length] += voiced / (rms(voiced) + 1e-9) * np.sin(np.pi * np.arange(length) / length)
        at += length + int(rng.exponential(0.06) * rate)
    return _instead(rng, heard, out)


def handed_in(rng: np.random.Generator, heard: Heard) -> Heard:
    """The sweep's own file, or a cable from output to input, in place of a recording."""
    signal = sweep_signal(heard.settings) * rng.uniform(0.3, 2.0)
    kind = rng.integers(3)
    if kind == 0:
        return replace(heard, samples=quantised(sweep_signal(heard.settings), 24), rate_hz=heard.settings.rate_hz)
    if kind == 1:
        return replace(heard, samples=quantised(np.pad(signal, (int(rng.integers(1, 48_000)), 0)), 16),
                       rate_hz=heard.settings.rate_hz)
    cable = replace(heard.room, response=np.array([1.0]))
    looped = 0.3 * at_the_microphone(cable, heard.settings, heard.delay_s, rng.uniform(-150, 150))
    looped += 0.3 * 10 ** (-rng.uniform(60, 90) / 20) * coloured(rng, len(looped), heard.rate_hz, 1)
    return to(heard, looped)


def few_steps(rng: np.random.Generator, heard: Heard) -> Heard:
    """Kept in 8 bits, in a quiet room: what is fainter than half a step is gone."""
    return record(rng, heard.room, heard.settings, snr_db=rng.uniform(45, 60), bits=8, peak_db=rng.uniform(-12, -1))


def gated(rng: np.random.Generator, heard: Heard) -> Heard:
    """A recorder that takes what is faint for noise, and silences it."""
    block = heard.rate_hz // 100
    count = -(-len(heard.samples) // block)
    padded = np.pad(heard.samples, (0, count * block - len(heard.samples))).reshape(count, block)
    level = np.sqrt(np.mean(padded**2, axis=1))
    opened = level > rms(heard.samples[span(heard)]) * 10 ** (-rng.uniform(15, 24) / 20)
    return to(heard, (padded * opened[:, None]).ravel()[:len(heard.samples)])


def faint(rng: np.random.Generator, heard: Heard) -> Heard:
    """The sweep is far under the noise."""
    return record(rng, heard.room, heard.settings, snr_db=rng.uniform(-20, -5))


def _instead(rng: np.random.Generator, heard: Heard, signal: np.ndarray) -> Heard:
    """Another signal played in the sweep's place, without markers."""
    before, after = (np.zeros(int(s * heard.rate_hz)) for s in (1.5, heard.settings.tail_s + 1.5))
    out = convolve(np.concatenate([before, signal, after]), heard.room.response, len(before) + len(signal) + len(after))
    out *= 0.3 / np.max(np.abs(out))
    out += rms(out) * 10 ** (-rng.uniform(20, 60) / 20) * coloured(rng, len(out), heard.rate_hz, 2)
    return to(heard, out)


BAD: dict[str, tuple[tuple[str, ...], Damage]] = {
    "clipped heavily": (("clipped",), clipped((6, 15))),
    "clipped lightly": (("clipped",), clipped((1.5, 2.5))),
    "clipped then scaled": (("clipped",), clipped((2, 8), (0.2, 0.9))),
    "64 samples silent": (("dropouts",), silenced(1, 64)),
    "3 x 512 samples silent": (("dropouts",), silenced(3, 512)),
    "3 x 512 samples held": (("dropouts",), held(3, 512)),
    "3 x 512 samples skipped": (("dropouts", "wrong-rate"), skipped(3, 512)),
    "slow automatic gain": (("automatic-gain",), automatic_gain((0.3, 1.0), (0.6, 2.0))),
    "burst in the sweep +10 dB": (("transient",), disturbed(10)),
    "burst in the sweep +20 dB": (("transient",), disturbed(20)),
    "tail cut": (("cut-short",), ended((0.0, 0.3))),
    "end of the sweep missing": (("cut-short",), ended((-4.0, -0.5))),
    "start of the sweep missing": (("cut-short",), begun_late),
    "wrong rate": (("wrong-rate",), wrong_rate),
    "other sweep": (("not-this-sweep", "wrong-rate"), other_sweep),
    "linear sweep": (("not-this-sweep",), linear_sweep),
    "noise": (("not-this-sweep", "too-noisy"), noise_only),
    "music": (("not-this-sweep",), music),
    "speech": (("not-this-sweep",), speech),
    "stimulus handed in": (("stimulus",), handed_in),
    "faint": (("too-noisy", "not-this-sweep"), faint),
    "8 bits in a quiet room": (("coarse",), few_steps),
    "noise gate": (("coarse",), gated),
}
"""Class of bad files to the codes that name it rightly, and how it is made from a good one."""

MOVED: dict[str, Damage] = {
    "burst in the sweep 0 dB": disturbed(0),
    "burst in the tail 0 dB": disturbed(0, "tail"),
    "burst in the tail +10 dB": disturbed(10, "tail"),
    "burst in the tail +20 dB": disturbed(20, "tail"),
    "64 samples skipped": skipped(1, 64),
    "64 samples held": held(1, 64),
    "clipped before the converter": clipped((2, 12), (0.2, 0.7), digital=False),
    "fast automatic gain": automatic_gain((0.05, 0.01), (0.5, 0.2)),
}
"""Damage that may leave the figures as they are; caught where it moves a valid one by more than 5 %."""


def bad(name: str, seed: int, rate_hz: int | None = None, settings: Settings | None = None) -> Heard:
    """One bad file of a class (of BAD or of MOVED), from the good one of the same seed."""
    heard = good(seed, (25.0, 60.0), rate_hz, settings)
    damage = BAD[name][1] if name in BAD else MOVED[name]
    return damage(np.random.default_rng(seed + 1_000_000), heard)


