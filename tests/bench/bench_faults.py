"""The check of recordings over the whole seeded corpus: `python bench_faults.py [PER_CLASS] [FIRST_SEED]`.

For each class of bad files how many were caught, and how many of them the first fault names rightly; false alarms among
as many good ones, three times over, by rate and bits; and of what may move a decay time, what did so uncaught.
"""

from __future__ import annotations

import os
import sys
from collections import Counter
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "sweep"))

import numpy as np
import sweep_corpus as corpus
import sweep_damage as damage

from tracker.domain.errors import Refused
from tracker.domain.sweep.faults import find_faults
from tracker.domain.sweep.measured import Analysis, analyse
from tracker.domain.sweep.signal import Settings

SLOW = 32_000
SETTINGS = {SLOW: Settings(seconds=8.0, high_hz=14_400.0, tail_s=2.0, end_s=0.5), 44_100: Settings(),
            48_000: Settings()}
JND = 0.05
"""The least difference of a decay time that can be heard. Source: ISO 3382-1:2009, table A.1."""


def good_one(seed: int, rate_hz: int, bits: int) -> corpus.Heard:
    """A good recording; with 8 bits of a room loud enough that its noise is not lost in them."""
    rng = np.random.default_rng(seed)
    room = corpus.make_room(rng, rate_hz, drr_db=rng.uniform(-10, 6))
    peak_db = rng.uniform(-6, -0.5) if bits == 8 else rng.uniform(-20, -0.5)
    snr_db = rng.uniform(10, 22) if bits == 8 else rng.uniform(10, 60)
    return corpus.record(rng, room, SETTINGS[rate_hz], snr_db=snr_db, bits=bits, peak_db=peak_db,
                         hum_db=rng.uniform(-70, -45), second=rng.uniform(0, 0.03), cubic=rng.uniform(0, 0.2))


def faults_of(heard: corpus.Heard) -> tuple[str, ...]:
    return tuple(one.code for one in find_faults(heard.samples, heard.rate_hz, heard.settings))


def analysis_of(heard: corpus.Heard) -> Analysis | None:
    try:
        return analyse(heard.samples, heard.rate_hz, heard.settings)
    except Refused:
        return None


def moved(was: Analysis | None, now: Analysis | None) -> float:
    """The most that a decay time that counts has moved, from 125 Hz up."""
    if was is None or now is None:
        return 0.0
    pairs = [(before.figure(name), after.figure(name)) for before, after in zip(was.bands, now.bands, strict=True)
             for name in ("T20", "T30") if before.nominal_hz >= 125]
    return max((abs(after.value_s / before.value_s - 1.0) for before, after in pairs if before.valid and after.valid),
               default=0.0)


def say_good(count: int, first: int) -> None:
    for rate_hz in SETTINGS:
        for bits in (8, 16, 24):
            found = [faults_of(good_one(seed, rate_hz, bits)) for seed in range(first, first + -(-count // 3))]
            print(f"good, {rate_hz} Hz, {bits:2d} bits: {sum(map(bool, found))} false alarms of {len(found)} "
                  f"{dict(Counter(filter(None, found)))}", flush=True)


def say_bad(count: int, first: int) -> None:
    for name, (codes, _) in damage.BAD.items():
        found = [faults_of(damage.bad(name, seed, SLOW, SETTINGS[SLOW])) for seed in range(first, first + count)]
        named = sum(one[:1] != () and one[0] in codes for one in found)
        others = Counter(one for one in found if not one or one[0] not in codes)
        print(f"{name}: caught {sum(map(bool, found))} of {count}, named {named} {dict(others) or ''}", flush=True)


def say_moved(count: int, first: int) -> None:
    for name in damage.MOVED:
        caught = shifted = missed = 0
        for seed in range(first, first + count):
            bad = damage.bad(name, seed, SLOW, SETTINGS[SLOW])
            found = faults_of(bad)
            was = analysis_of(corpus.good(seed, (25.0, 60.0), SLOW, SETTINGS[SLOW]))
            shifts = moved(was, analysis_of(bad)) > JND
            caught, shifted, missed = caught + bool(found), shifted + shifts, missed + (shifts and not found)
        print(f"{name}: caught {caught} of {count}; {shifted} move a decay time by over 5 %, {missed} of them uncaught",
              flush=True)


def main() -> None:
    count, first = (int(one) for one in (*sys.argv[1:], *("100", "500000")[len(sys.argv) - 1:]))
    say_good(count, first)
    say_bad(count, first + 100_000)
    say_moved(max(1, count // 2), first + 200_000)


if __name__ == "__main__":
    main()
