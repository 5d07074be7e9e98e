"""What the command says on a narrow terminal, without UTF-8, of the days people write, and when it refuses."""

import io
import json
import re
import shutil
import sys
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from rich.cells import cell_len

from tracker.cli.main import main
from tracker.measures import show_day
from tracker.services.demo import build_demo


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    store = tmp_path_factory.mktemp("demo") / "site.db"
    build_demo(store).close()
    return store


@pytest.fixture
def copied(demo: Path, tmp_path: Path) -> Path:
    for part in demo.parent.glob("site.db*"):
        shutil.copy(part, tmp_path / part.name)
    return tmp_path / "site.db"


@pytest.fixture
def said(copied: Path, capsys: pytest.CaptureFixture[str]):
    def run(*words: str, ends: int = 0) -> str:
        capsys.readouterr()
        status = main(["--store", str(copied), *words])
        out, err = capsys.readouterr()
        assert status == ends, (words, status, err)
        assert status != 2 or (err.count("\n") == 1 and not out)
        return out + err

    return run


@pytest.mark.parametrize("words", [
    ("status",), ("stock",), ("check", "slope"), ("check", "slope/mid"), ("worth",), ("sound",), ("buy",),
    ("worth", "--what-if", "slope: depth=50"), ("sound", "--build-up", "wall 50"), ("sound", "--explain", "500")])
def test_tables_fit_80_columns_whole(said, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...]) -> None:
    no = words[0] == "check"
    wide = said(*words, ends=int(no))
    monkeypatch.setenv("COLUMNS", "80")
    narrow = said(*words, ends=int(no))
    assert max(map(cell_len, narrow.splitlines())) <= 80
    # Nothing is dropped or cut: every word and figure of the wide table is there, none broken in two.
    assert set(wide.split()) <= set(narrow.split())


def test_names_stay_when_the_columns_go_on_below(said, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "50")
    lines = said("check", "slope", ends=1).splitlines()
    assert sum(line.startswith("item ") for line in lines) > 1
    assert sum(line.startswith("track screw") for line in lines) == sum(line.startswith("item ") for line in lines)


def test_without_utf8_signs_stand_in_for_those_there_are_not(copied: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    out = io.TextIOWrapper(io.BytesIO(), encoding="ascii")
    monkeypatch.setattr(sys, "stdout", out)
    assert main(["--store", str(copied), "sound"]) == 0
    out.flush()
    assert "+/-0.05 s" in out.buffer.getvalue().decode("ascii")


@pytest.mark.parametrize(("words", "says"), [
    (("buy", "--risk", "often"), "5% or 0.05"),
    (("serve", "--port", "80x"), "--port: write a whole number"),
    (("serve", "--port", "99999"), "--port: write a number up to 65535"),
    (("sound", "--hangers", "0"), "--hangers: write a number from 1 up"),
    (("need", "--seconds", "x"), "--seconds: write a number"),
    (("log", "slope/mid", "--step", "sanding"), "there is no sanding; write one of set-out, track, infill, fabric"),
    (("log", "--correct", "999"), "no diary entry of that number"),
    (("log", "--correct", "1"), "say what to correct"),
    (("log", "slope/mid"), "next is --step set-out"),
    (("check", "hang"), "did you mean hang the cloud?"),
    (("worth", "--what-if", "nort/left: depth=50"), "no build-up, bay, plane"),
    (("sound", "--measured", "125=0.6", "--name", "Now"), "name Now: that already stands for something else"),
    (("sound", "--measured", "125=0.6", "--temperature", "68 F"), "write a number of degC, such as 18"),
    (("order", "eye bolt", "1 pack", "--due", "someday"), "tomorrow, fri or in 3 days"),
    (("diary", "--since", "someday"), "yesterday, mon or 3 days ago"),
])
def test_a_refusal_is_in_our_words_with_the_remedy(said, words: tuple[str, ...], says: str) -> None:
    found = said(*words, ends=2)
    assert says in found
    assert "Input should" not in found and "Value error" not in found


def test_a_chance_is_read_as_per_cent_or_share(said) -> None:
    assert json.loads(said("buy", "--risk", "5%", "--json"))["risk"] == 0.05
    assert json.loads(said("buy", "--risk", "5 %", "--json")) == json.loads(said("buy", "--risk", "0.05", "--json"))


def test_an_order_is_due_on_the_day_of_the_week_to_come(said) -> None:
    today = datetime.now().astimezone().date()
    tomorrow = today + timedelta(days=1)
    assert show_day(tomorrow, today) in said("order", "eye bolt", "1 pack", "--due", f"{tomorrow:%A}".lower())
    assert show_day(today + timedelta(days=3), today) in said("order", "eye bolt", "1 pack", "--due", "in 3 days")


def test_status_gives_hours_as_the_screens_do_and_of_an_order_only_what_is_short(said) -> None:
    found = said("status")
    blocked = json.loads(said("status", "--json"))["phases"]
    one, other = (next(line for line in found.splitlines() if line.startswith(f"{phase} ") and "wool board 100" in line)
                  for phase in ("slope", "door end"))
    short = sum(item["short"] for phase in blocked for item in phase["blocked_by"] if item["item"] == "wool board 100")
    assert short == sum(int(re.findall(r"(\d+) board", line)[-1]) for line in (one, other))
    hours = blocked[1]["hours"]["left_h"]
    assert f"{int(hours)}:{round(hours % 1 * 60):02d}" in found
    assert "need not add up" in found


def test_a_room_has_its_tasks_and_no_step_of_its_own(said) -> None:
    found = json.loads(said("check", "mixing room", "--json", ends=1))
    assert "eye bolt" in {item["item"] for item in found["items"]}
    assert said("check", "mixing room", ends=1).splitlines()[0].endswith("mixing room")
    assert "slope/mid, set-out" in said("check", "slope/mid", ends=1)
    assert 'check "slope"' in said("check", "slope/mid", ends=1)


def test_buying_says_whether_a_cutting_plan_is_kept(said) -> None:
    told = "No cutting plan is kept"
    assert told in said("buy") and told in said("status")
    said("need", "--seconds", "0.05")
    assert told not in said("buy") and told not in said("status")


def test_the_saw_has_a_heading_for_each_item_and_sound_says_what_after_counts(said) -> None:
    lines = said("saw").splitlines()
    assert {"wool board 50", "wool board 100", "edge track 100"} <= set(lines)
    assert "with what is up now of later ones (window wall)" in " ".join(said("sound").split())


def test_a_missing_photo_is_mended_as_said(said, tmp_path: Path) -> None:
    caution = said("log", "slope/mid", "--step", "set-out", "--photo", "gone.jpg")
    number = re.search(r"--correct (\d+) --photo PATH", caution)
    assert number is not None
    photo = tmp_path / "here.jpg"
    photo.touch()
    assert "no such photo" not in said("log", "--correct", number[1], "--photo", str(photo))
