"""The sweep in the Sound view: a recording read from a form, and two measurements over one another."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path

import numpy as np
import pytest
import soundfile

from tracker.domain.sweep.signal import Settings
from tracker.services.desk import Desk
from tracker.services.measurements import read_in
from tracker.services.sweeping import write_sweep

SWEEP = Path(__file__).resolve().parent.parent / "sweep"
RATE_HZ = 32000


@pytest.fixture(scope="module")
def recordings(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """A short sweep recorded in a lively room and in a dull one, and one that was cut short."""
    if "sweep_corpus" not in sys.modules:
        spec = importlib.util.spec_from_file_location("sweep_corpus", SWEEP / "sweep_corpus.py")
        sys.modules["sweep_corpus"] = module = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(module)
    corpus, folder = sys.modules["sweep_corpus"], tmp_path_factory.mktemp("recordings")
    settings = Settings(seconds=3.0, rate_hz=RATE_HZ, high_hz=0.45 * RATE_HZ)
    found = {}
    for name, decay_s, seed in (("bare", 0.7, 3), ("after", 0.35, 4)):
        rng = np.random.default_rng(seed)
        room = corpus.make_room(rng, RATE_HZ, decay_s=(decay_s,) * 8, drr_db=-6)
        heard = corpus.record(rng, room, settings, snr_db=50, delay_s=0.4, bits=16)
        found[name] = folder / f"{name}.flac"
        soundfile.write(found[name], heard.samples, RATE_HZ, "PCM_16")
    found["cut"] = folder / "cut.flac"
    soundfile.write(found["cut"], heard.samples[: 4 * RATE_HZ], RATE_HZ, "PCM_16")
    return found


async def test_recordings_are_read_in_a_form_and_compared(opened, desk: Desk, recordings, tmp_path) -> None:
    write_sweep(desk, str(tmp_path / "sweep.wav"), 3.0, RATE_HZ)
    async with opened(size=(80, 30)) as hands:
        await hands.press("5", "v")
        assert "Two measurements of this room" in hands.text
        await hands.press("escape", "r")
        await hands.type(str(recordings["cut"]))
        await hands.press("tab")
        await hands.type("bare")
        await hands.press("tab")
        await hands.type("bare")
        await hands.press("enter")
        assert "the recording ends" in hands.text and read_in(desk) == ()
        await hands.press("shift+tab", "shift+tab")
        await hands.type(str(recordings["bare"]))
        await hands.press("enter")
        assert "Stored position 1 of \"bare\"" in hands.text
        (kept,) = read_in(desk)
        assert (kept.name, kept.phase, kept.source) == ("bare", "bare", "sweep")
        await hands.press("r")
        await hands.type(str(recordings["after"]))
        await hands.press("tab")
        await hands.type("after")
        await hands.press("tab")
        await hands.type("desk end")
        await hands.press("enter", "v")
        shown = hands.text
        for word in ("Before and after", "bare", "after phase desk end", "predicted", "verdict", "4k"):
            assert word in shown, shown
        # Half the decay time is twice the absorption area: no band can miss that.
        assert "cannot be told apart" not in "".join(line for line in hands.lines if line.strip().startswith("1k"))
        await hands.press("escape", "u", "enter")
        assert [one.name for one in read_in(desk)] == ["bare"]
