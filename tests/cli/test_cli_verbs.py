"""The command as a subprocess: answers, exit statuses, one line for bad input, nothing left of a failed `new`."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from tracker.cli.main import main

DATA = Path(__file__).resolve().parent.parent / "data"
BOOTH, LOFT = DATA / "geometry_booth.toml", DATA / "geometry_loft.toml"


def run(store: Path, *words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, "-m", "tracker", "--store", str(store), *words], capture_output=True,
                          text=True, check=False)


class Said:
    """What the command said when it ran in this process, as a finished subprocess has it."""

    def __init__(self, capsys: pytest.CaptureFixture[str], store: Path, *words: str) -> None:
        capsys.readouterr()
        self.returncode = main(["--store", str(store), *words])
        self.stdout, self.stderr = capsys.readouterr()


@pytest.fixture(scope="module")
def booth(tmp_path_factory: pytest.TempPathFactory) -> Path:
    store = tmp_path_factory.mktemp("booth") / "site.db"
    assert main(["--store", str(store), "new", str(BOOTH)]) == 0
    return store


def test_status_names_its_keys(booth: Path, capsys) -> None:
    found = json.loads(Said(capsys, booth, "status", "--json").stdout)
    phase = found["phases"][0]
    assert set(phase) >= {"name", "state", "gain", "blocked_by", "waits_on", "hours"}
    assert set(phase["gain"]) == {f"{part}{kind}_m2" for part in ("planned", "installed", "covered", "short")
                                  for kind in ("", "_by_band")}
    assert set(found["next"][0]) >= {"target", "step", "verdict", "reason"}


def test_check_ends_with_1_where_the_answer_is_no(booth: Path, capsys) -> None:
    assert run(booth, "check", "east/middle", "--step", "infill").returncode == 1
    found = Said(capsys, booth, "check", "north/left", "--json")
    answer = json.loads(found.stdout)
    assert found.returncode == (0 if answer["verdict"] == "ready" else 1)
    assert {"item", "unit", "need", "on_hand", "offcuts_used", "held", "short", "on_order", "due"} <= set(
        answer["items"][0])


@pytest.mark.parametrize("verb", ["status", "need", "buy", "stock", "diary", "sound"])
def test_every_reading_verb_answers_in_words_and_in_json(booth: Path, capsys, verb: str) -> None:
    more = ("--seconds", "0.05") if verb == "need" else ()
    words = Said(capsys, booth, verb, *more)
    # A process of its own for two of them; the rest in this one.
    figures = run(booth, verb, "--json", *more) if verb in ("need", "sound") else Said(capsys, booth, verb, "--json")
    assert (words.returncode, figures.returncode) == (0, 0), words.stderr + figures.stderr
    assert words.stdout.strip()
    assert json.loads(figures.stdout)["site"] == "Barn booth"


def test_buying_for_a_risk_names_its_chance_and_the_last_day_to_order(booth: Path, capsys) -> None:
    found = json.loads(Said(capsys, booth, "buy", "--risk", "0.05", "--json").stdout)
    assert found["risk"] == 0.05 and found["items"]
    for line in found["items"]:
        assert {"item", "need", "packs", "cost", "lead_days", "floor_area_packs", "order_by", "spoil_rate"} <= set(line)
        assert line["risk"] <= 0.05
    words = Said(capsys, booth, "buy", "--risk", "0.05", "--error", "2 mm").stdout
    assert "runs short" in words and "2 mm (one standard deviation)" in words


@pytest.mark.parametrize(("words", "says"), [
    (("check", "nort/left"), "did you mean"),
    (("receive", "wool bord 50", "2"), "did you mean wool board 50"),
    (("receive", "wool board 50", "2.5"), "wool board 50"),
    (("count", "cloth moss", "twelve"), "cloth moss"),
    (("log", "north/left", "--step", "sanding"), "sanding"),
    (("log", "north/left"), "--step"),
    (("log", "north/left", "--step", "track", "--hours", "abc"), "abc"),
    (("spoil", "wool board 50", "100"), "count the wool board 50 first"),
    (("tape", "north/left", "bottom=1500"), "not given"),
    (("order", "wool board 50", "1 pack", "--due", "2020-01-01"), "past"),
    (("buy", "--risk", "2"), "0.05"),
    (("buy", "--error", "20 mm"), "measured again"),
    (("frobnicate",), "frobnicate"),
])
def test_bad_input_is_one_line_and_status_2(booth: Path, capsys, words: tuple[str, ...], says: str) -> None:
    # A process of its own for the first of its kind and for what the parser refuses; the rest in this one.
    found = run(booth, *words) if words[0] in ("check", "frobnicate") else Said(capsys, booth, *words)
    assert found.returncode == 2, found
    assert found.stderr.count("\n") == 1
    assert says in found.stderr
    assert found.stdout == ""


def test_a_new_store_has_nothing_to_take_back(tmp_path: Path, capsys) -> None:
    store = tmp_path / "site.db"
    assert main(["--store", str(store), "new", str(BOOTH)]) == 0
    said = Said(capsys, store, "undo")
    assert said.returncode == 2 and "nothing to take back" in said.stderr


def test_a_store_that_is_not_there_is_status_3(tmp_path: Path) -> None:
    found = run(tmp_path / "none.db", "status")
    assert found.returncode == 3
    assert found.stderr.count("\n") == 1
    assert "sabinry new" in found.stderr


def test_a_failed_new_leaves_no_file(tmp_path: Path) -> None:
    broken = tmp_path / "broken.toml"
    broken.write_text(BOOTH.read_text().replace('phase = "sides and lid"', 'phase = "sides"', 1))
    found = run(tmp_path / "deep" / "site.db", "new", str(broken))
    assert found.returncode == 2
    assert "broken.toml" in found.stderr and "phase" in found.stderr and found.stderr.count("\n") == 1
    assert not (tmp_path / "deep").exists() or list((tmp_path / "deep").iterdir()) == []


def test_new_never_overwrites(booth: Path, capsys) -> None:
    before = booth.read_bytes()
    found = Said(capsys, booth, "new", str(BOOTH))
    assert found.returncode == 2
    assert booth.read_bytes() == before


@pytest.mark.parametrize("case", ["booth", "loft"])
def test_sound_agrees_with_an_independent_calculation(tmp_path: Path, capsys, case: str) -> None:
    # Expected figures: the case's own independent calculation, kept beside it; within 0.5 %.
    expected = json.loads((DATA / f"geometry_{case}.expected.json").read_text())["rooms"]
    store = tmp_path / "site.db"
    assert Said(capsys, store, "new", str(DATA / f"geometry_{case}.toml")).returncode == 0
    for room in json.loads(Said(capsys, store, "sound", "--json").stdout)["rooms"]:
        wanted = expected[room["name"]]
        assert room["surface_m2"] == pytest.approx(wanted["surface_m2"], rel=0.005)
        for state in ("bare", "planned"):
            for key in ("area_m2", "sabine_s", "eyring_s"):
                assert room[state][key] == pytest.approx(wanted[f"{state}_{key}"], rel=0.005)
        for phase in room["phases"]:
            assert phase["gain_planned_m2"] == pytest.approx(wanted["gain_m2"][phase["name"]], rel=0.005)
