"""The clock on the command line: started, read, taken by an entry."""

import json
from pathlib import Path

import pytest

from tracker.cli.main import main

BOOTH = Path(__file__).resolve().parent.parent / "data" / "geometry_booth.toml"


def test_the_clock_is_started_read_and_taken_by_an_entry(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    def run(*words: str) -> str:
        status = main(["--store", str(tmp_path / "site.db"), *words])
        said = capsys.readouterr()
        return said.out + said.err if status == 0 else f"{status} {said.err}"

    run("new", str(BOOTH))
    assert "stands at 0:00:00" in run("clock")
    assert run("log", "north/left", "--step", "set-out", "--hours", "clock").startswith("2 ")
    assert "for north/left, set-out" in run("clock", "start", "north/left", "--step", "set-out")
    assert "did you mean" in run("clock", "reset") + run("clock", "start", "nort/left")
    run("clock", "start")
    found = json.loads(run("clock", "--json"))
    assert found["running"] and set(found) == {"running", "started", "elapsed_s", "hours_h", "target", "step"}
    run("clock", "stop")
    with_clock = run("clock")
    if json.loads(run("clock", "--json"))["elapsed_s"]:
        assert "An entry takes it as 0:05" in with_clock
    assert "set back" in run("clock", "reset")
    assert run("clock", "wind").startswith("2 ")
