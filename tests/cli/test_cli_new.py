"""`sabinry new`: every fault of a site file in one run, nothing stored then; `--check` stores nothing at all."""

from __future__ import annotations

from pathlib import Path

import pytest

from tracker.cli.main import main

DATA = Path(__file__).resolve().parent.parent / "data"
BOOTH = DATA / "site_booth.toml"


def said(capsys: pytest.CaptureFixture[str], store: Path, *words: str) -> tuple[int, list[str], list[str]]:
    capsys.readouterr()
    status = main(["--store", str(store), "new", *words])
    out, err = capsys.readouterr()
    return status, out.splitlines(), err.splitlines()


@pytest.fixture
def broken(tmp_path: Path) -> Path:
    file = tmp_path / "hut.toml"
    text = BOOTH.read_text(encoding="utf-8").replace('phase = "sides and lid"', 'phase = "sides"')
    file.write_text(text.replace("at = [1500, 0]", "at = [1550, 0]").replace("density = 40", "densty = 40"),
                    encoding="utf-8")
    return file


@pytest.mark.parametrize("check", [(), ("--check",)])
def test_every_fault_is_a_line_and_nothing_is_stored(tmp_path: Path, capsys, broken: Path, check) -> None:
    store = tmp_path / "deep" / "site.db"
    status, out, err = said(capsys, store, str(broken), *check)
    assert (status, out) == (2, [])
    assert err == [
        'sabinry: hut.toml: [[item]] "wool board 50": unknown key densty; did you mean density?',
        'sabinry: hut.toml: [[room.plane]] "north": bay right reaches outside its plane, 50 mm past the right side: '
        'move it or make it smaller',
        'sabinry: hut.toml: [[room.plane.bay]] "east/middle": phase = "sides" matches nothing; did you mean sides and '
        'lid? (and at 2 more places)']
    assert not (tmp_path / "deep").exists()


def test_a_check_says_what_new_would_and_stores_nothing(tmp_path: Path, capsys) -> None:
    file, store = tmp_path / "hut.toml", tmp_path / "deep" / "site.db"
    file.write_text(BOOTH.read_text(encoding="utf-8").replace("kerf = 3\n", "").replace("tuck = 60\n", ""),
                    encoding="utf-8")
    checked = said(capsys, store, str(file), "--check")
    assert checked[0] == 0 and not (tmp_path / "deep").exists()
    made = said(capsys, store, str(file))
    assert made[0] == 0 and store.exists()
    assert checked[1][0] == "Barn booth: 1 room, 6 planes, 6 bays, 5 items, 2 phases; nothing is stored"
    assert made[1][0] == f"Barn booth: 1 room, 6 planes, 6 bays, 5 items, 2 phases; stored in {store}"
    assert checked[1][1:] == made[1][1:] and len(checked[1]) == 4  # two tracks without kerf, a cloth without tuck
    assert checked[2] == made[2] == []


def test_a_check_leaves_a_store_alone(tmp_path: Path, capsys) -> None:
    store = tmp_path / "site.db"
    assert said(capsys, store, str(BOOTH))[0] == 0
    before = store.read_bytes()
    assert said(capsys, store, str(BOOTH), "--check")[0] == 0
    assert said(capsys, store, str(BOOTH))[0] == 2
    assert store.read_bytes() == before


def test_the_help_has_a_line_for_it(capsys) -> None:
    assert main(["new", "--help"]) == 0
    assert "--check" in capsys.readouterr().out
