"""The sweep in the Sound view: a recording read from a form, and two measurements over one another."""

from __future__ import annotations

import asyncio
import importlib.util
import sys
from pathlib import Path
from threading import Event

import numpy as np
import pytest
import soundfile

from tracker.domain.sweep.measured import Analysis, analyse
from tracker.domain.sweep.signal import Settings
from tracker.services.desk import Desk
from tracker.services.measurements import read_in
from tracker.services.sweep_analysing import read_recording
from tracker.services.sweeping import ReadingBySteps, Stopped, SweepWords, write_sweep
from tracker.ui import ask

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
        said = " ".join(hands.text.split())
        assert "Stored position 1 of \"bare\"" in said and "bare. One position only; two or more" in said
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


async def test_a_reading_that_takes_long_is_shown_and_stopped_with_escape_and_nothing_is_stored(
        opened, desk: Desk, recordings, tmp_path, monkeypatch: pytest.MonkeyPatch) -> None:
    held, gate, ended = Event(), Event(), Event()
    ended_by: list[BaseException] = []

    def held_up(*args: object) -> Analysis:
        held.set()
        gate.wait(60)
        try:
            return analyse(*args)
        except BaseException as error:
            ended_by.append(error)
            raise
        finally:
            ended.set()

    monkeypatch.setattr("tracker.services.sweep_analysing.analyse", held_up)
    monkeypatch.setattr("tracker.ui.forms.sweep.SHOW_EVERY_S", 0.01)
    write_sweep(desk, str(tmp_path / "sweep.wav"), 3.0, RATE_HZ)
    async with opened(size=(80, 30)) as hands, asyncio.timeout(60):
        try:
            await hands.press("5", "r")
            await hands.type(str(recordings["bare"]))
            await hands.press("tab")
            await hands.type("long")
            await hands.pilot.press("enter")
            assert await asyncio.to_thread(held.wait, 60)
            # The last step told of, for as long as the next is held up.
            while not any(" ~ " in line and "%" in line and "gaps" in line for line in hands.lines):
                await hands.pilot.pause()
            assert "esc stop" in hands.text
            # The store's thread is free, and neither letters nor another Enter change what is read.
            assert "sweep.wav" in (await hands.app.db(ask.last_change) or "")
            await hands.pilot.press("x", "enter", "f8")
            hands.pressed = 0
            await hands.press("escape")
            assert hands.pressed == 1 and "Stopped; nothing is stored." in hands.text
            assert any("▸name" in line and line.endswith("long") for line in hands.lines), "and the cursor is back"
        finally:
            gate.set()
        assert await asyncio.to_thread(ended.wait, 60)
        assert [type(one) for one in ended_by] == [Stopped] and read_in(desk) == ()
        await hands.press("escape")
        assert "Read a recording of the sweep" not in hands.text
        # What was typed is still there, and now it is let through.
        await hands.press("r", "enter")
        assert "Stored position 1 of \"long\"" in hands.text
    assert [one.name for one in read_in(desk)] == ["long"]


def test_a_reading_says_how_far_it_is_and_is_not_kept_once_it_is_stopped(desk: Desk, recordings, tmp_path) -> None:
    said: list[tuple[str, float]] = []
    settings = Settings(seconds=3.0, rate_hz=RATE_HZ, high_hz=0.45 * RATE_HZ)
    other = Settings(seconds=5.0, rate_hz=RATE_HZ, high_hz=0.45 * RATE_HZ)
    read_recording(str(recordings["bare"]), "", (other, settings), lambda step, share: said.append((step, share)))
    steps, shares = zip(*said, strict=True)
    assert list(shares) == sorted(shares) and shares[0] == 0.0 and shares[-1] < 1.0
    assert steps[0] == "reading the file" and "sweep 2 of 2: finding the chirps" in steps
    assert [one for one in steps if one.startswith("band 1 of")] == ["band 1 of 8, 63 Hz"]

    write_sweep(desk, str(tmp_path / "sweep.wav"), 3.0, RATE_HZ)
    stopped, kept = (ReadingBySteps(desk, SweepWords(str(recordings["bare"]), "bare")) for _ in range(2))
    stopped.read()
    assert stopped.stop()
    with pytest.raises(Stopped):
        stopped.keep(desk)
    assert read_in(desk) == ()
    kept.read()
    assert kept.keep(desk).stored
    assert not kept.stop(), "it is stored: only undo takes it back"
