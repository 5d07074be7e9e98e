"""The outside checks: published worked examples, standards and reference libraries, by id."""

import json
from pathlib import Path

import pytest

_ROWS = json.loads((Path(__file__).parents[1] / "data" / "sound_checks.json").read_text(encoding="utf-8"))
_CHECKS = {row["id"]: row for row in _ROWS}


@pytest.fixture
def check():
    return _CHECKS.__getitem__
