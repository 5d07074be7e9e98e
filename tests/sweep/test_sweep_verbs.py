"""The verbs of the sweep: the contract's JSON, one line for bad input, quick imports, and the demo's own recordings."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
import soundfile

from tracker.cli.main import main
from tracker.domain.sweep.signal import Settings
from tracker.services.sweep_files import signal_settings

BOOTH = Path(__file__).resolve().parent.parent / "data" / "geometry_booth.toml"
RATE_HZ = 32000
PER_BAND = ("edt_s", "t20_s", "t30_s", "valid", "noise_db", "c80_db", "d50", "curvature_pct")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory, corpus) -> Path:
    """A store, a sweep written from it by the command, and two recordings of it."""
    made = tmp_path_factory.mktemp("verbs")
    assert main(["--store", str(made / "site.db"), "new", str(BOOTH)]) == 0
    assert main(["--store", str(made / "site.db"), "sweep", "write", str(made / "sweep.wav"), "--seconds", "3",
                 "--rate", str(RATE_HZ), "--level", "-18"]) == 0
    for name, decay_s, seed in (("bare", 0.6, 3), ("after", 0.3, 4)):
        rng = np.random.default_rng(seed)
        room = corpus.make_room(rng, RATE_HZ, decay_s=(decay_s,) * 8, drr_db=-6)
        heard = corpus.record(rng, room, signal_settings(made / "sweep.wav"), snr_db=50, delay_s=0.4, bits=16)
        soundfile.write(made / f"{name}.wav", heard.samples, RATE_HZ, "PCM_24")
    return made


@pytest.fixture
def run(folder: Path, capsys: pytest.CaptureFixture[str]):
    def said(*words: str, store: Path | None = None) -> tuple[int, str, str]:
        status = main(["--store", str(store or folder / "site.db"), *words])
        out = capsys.readouterr()
        return status, out.out, out.err

    return said


def test_reading_in_a_program_of_its_own_names_the_keys_and_loads_no_scipy(folder: Path) -> None:
    asked = ("import sys; from tracker.cli.main import main; status = main(sys.argv[1:]); "
             "print([name for name in ('scipy', 'sqlmodel', 'textual', 'matplotlib') if name in sys.modules]); "
             "sys.exit(status)")
    done = subprocess.run(
        [sys.executable, "-c", asked, "--store", str(folder / "site.db"), "sweep", "read", str(folder / "bare.wav"),
         "--json"], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    answer, loaded = done.stdout.splitlines()
    assert loaded == "[]"
    found = json.loads(answer)
    assert found["bands_hz"] == [125, 250, 500, 1000, 2000, 4000]
    for key in PER_BAND:
        assert len(found[key]) == 6, key
    assert all(isinstance(reasons, list) for reasons in found["valid"])
    assert len(found["response"]["hz"]) == len(found["response"]["db"]) > 20
    assert isinstance(found["flatness_db"], float) and found["problems"] == []
    assert found["outer"]["hz"] == [63, 8000] and len(found["outer"]["t20_s"]) == 2
    assert max(found["noise_db"]) < -35
    assert found["stored"] is None


def test_a_spoiled_recording_is_one_line_and_status_2(folder: Path, tmp_path: Path) -> None:
    samples, rate = soundfile.read(folder / "bare.wav")
    soundfile.write(tmp_path / "short.wav", samples[: int(4.0 * rate)], rate, "PCM_24")
    done = subprocess.run(
        [sys.executable, "-m", "tracker", "--store", str(folder / "site.db"), "sweep", "read",
         str(tmp_path / "short.wav"), "--as", "bare"], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.count("\n") == 1 and "short.wav" in done.stderr and "record until" in done.stderr


def test_the_signal_says_its_settings_and_what_comes_next(folder: Path, run, tmp_path: Path) -> None:
    settings = signal_settings(folder / "sweep.wav")
    assert (settings.rate_hz, settings.level_db, settings.seconds) == (RATE_HZ, -18.0, 3.0)
    assert soundfile.info(folder / "sweep.wav").frames == pytest.approx(settings.total_s * RATE_HZ, abs=1)
    status, out, err = run("sweep", "write", str(folder / "sweep.wav"))
    assert status == 2 and "--force" in err and err.count("\n") == 1
    status, out, err = run("sweep", "write", str(tmp_path / "other.wav"), "--seconds", "2", store=tmp_path / "none.db")
    assert status == 0 and "no store" in out and "Caution" in out and "ears" in out
    assert f"{Settings(seconds=2.0).total_s:.1f} s in all" in out
    status, out, err = run("sweep", "write", str(tmp_path / "other.wav"), "--seconds", "2", "--level", "-20", "--force",
                           store=tmp_path / "none.db")
    assert status == 0 and signal_settings(tmp_path / "other.wav").level_db == -20.0


def test_two_states_are_kept_listed_and_compared(folder: Path, run) -> None:
    air = ("--temperature", "20", "--humidity", "45")
    status, out, err = run("sweep", "read", str(folder / "bare.wav"), "--as", "bare", "--phase", "bare", *air)
    assert status == 0 and "Stored position 1 of \"bare\"" in out and "T30" in out, err
    status, out, err = run("sweep", "read", str(folder / "after.wav"), "--as", "after", "--phase", "back and front",
                           *air, "--json")
    assert status == 0 and "after" in json.loads(out)["stored"]
    status, out, _ = run("sweep", "list", "--json")
    listed = json.loads(out)
    assert [one["name"] for one in listed["measurements"]] == ["bare", "after"]
    assert listed["measurements"][0]["positions"][0]["path"] == str((folder / "bare.wav").resolve())
    assert len(listed["signals"]) == 1
    status, out, _ = run("sweep", "compare", "bare", "after", "--json")
    found = json.loads(out)
    assert found["bands_hz"] == [125, 250, 500, 1000, 2000, 4000]
    for key in ("gain_m2", "uncertainty_m2", "predicted_m2", "verdicts"):
        assert len(found[key]) == 6
    assert [one["hz"] for one in found["changes"]] == [63, 125, 250, 500, 1000, 2000, 4000, 8000]
    assert all(one["metric"] in ("T20", "T30") for one in found["changes"][1:7])
    words = run("sweep", "compare", "bare", "after")[1]
    assert "predicted" in words and found["sentence"] in words
    assert run("sweep", "list")[1].count("position 1") == 2
    status, _, err = run("sweep", "compare", "bare", "afte")
    assert status == 2 and "did you mean after" in err and err.count("\n") == 1
    assert run("sweep", "compare", "bare", "bare")[0] == 2
    assert run("sound", "--drop", "after")[0] == 0
    status, _, err = run("sweep", "read", str(folder / "after.wav"), "--as", "earlier", "--phase", "back and front",
                         "--date", "3 days ago")
    assert status == 0, err
    turned = json.loads(run("sweep", "compare", "bare", "earlier", "--json")[1])
    assert (turned["before"]["name"], turned["after"]["name"]) == ("earlier", "bare")
    assert "Put in order of date: earlier was measured before bare." in turned["notes"]
    for _ in range(4):
        assert run("undo")[0] == 0
    assert json.loads(run("sweep", "list", "--json")[1])["measurements"] == []


def test_the_demo_simulates_recordings_that_can_be_read(run, demo_recordings) -> None:
    made_in, said = demo_recordings
    made = [Path(line) for line in said.splitlines()[:-1]]
    assert len(made) >= 4 and all(one.is_file() for one in made)
    status, out, err = run("sweep", "read", str(made[0]), "--signal", str(made_in / "sweep.wav"))
    assert status == 0 and "Problem" not in out, err
