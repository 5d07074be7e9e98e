"""How boards are laid, as the site file says: narrowest piece, closed gap, and whether a board may lie face down."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from tracker.domain.errors import Refused
from tracker.report.saw_text import board_lines
from tracker.services.cut_answers import TakeOff
from tracker.services.setup import new_site
from tracker.services.site_file import read_site
from tracker.services.take_off import take_off

SITE = """
[site]
name = "Attic"
unit = "mm"
currency = "EUR"
start = 2026-03-02
hours = {{ sat = 6 }}

[[item]]
name = "board"
form = "board"
size = [1200, 600]
depth = 50
density = 48
{rules}

[[surface]]
name = "plaster"
alpha = [0.1, 0.1, 0.1, 0.1, 0.1, 0.1]
source = "a figure for the test"

[[build_up]]
name = "lining"
infill = "board"

[[room]]
name = "den"
volume = 40

[[room.plane]]
name = "gable"
kind = "wall"
surface = "plaster"
outline = {outline}

[[room.plane.bay]]
name = "left"
phase = "one"
build_up = "lining"
outline = {left}

{right}
[[phase]]
name = "one"
"""
RIGHT = """
[[room.plane.bay]]
name = "right"
phase = "one"
build_up = "lining"
outline = [[510, 0], [1010, 0], [510, 500]]
"""
GABLE = {"outline": "[[0, 0], [1010, 0], [505, 505]]", "left": "[[0, 0], [500, 0], [500, 500]]", "right": RIGHT}
WIDE = {"outline": "[[0, 0], [1230, 0], [1230, 500], [0, 500]]", "left": "[[0, 0], [1230, 0], [1230, 500], [0, 500]]",
        "right": ""}


def planned(tmp_path: Path, shape: dict[str, str], rules: str = "") -> TakeOff:
    file = tmp_path / "site.toml"
    file.write_text(SITE.format(rules=rules, **shape), encoding="utf-8")
    desk = new_site(tmp_path / "site.db", file, lambda: date(2026, 3, 2))
    try:
        return take_off(desk)
    finally:
        desk.close()


def sides_mm(plan: TakeOff) -> list[int]:
    return sorted(round(1000 * (max(x for x, _ in ring) - min(x for x, _ in ring)))
                  for ring in (piece.outline_m for piece in plan.pieces))


def test_mirrored_triangles_share_a_square_face_down_and_the_saw_is_told(tmp_path: Path) -> None:
    """Two right triangles of 500 mm make one square of 500 mm, the second a mirror image: by geometry."""
    (board,) = planned(tmp_path, GABLE).boards
    assert [cut.flipped for cut in board.cuts].count(True) == 1
    lines = " / ".join(board_lines(board, "mm"))
    assert lines.count("face down") == 1


def test_a_faced_board_is_never_cut_face_down(tmp_path: Path) -> None:
    plan = planned(tmp_path, GABLE, "face_down = false")
    assert not any(cut.flipped for board in plan.boards for cut in board.cuts)


@pytest.mark.parametrize(("rules", "narrowest"), [("", 75), ("sliver = 25", 30), ("sliver = 200", 200)])
def test_no_piece_narrower_than_the_sliver_of_the_item(tmp_path: Path, rules: str, narrowest: int) -> None:
    """A bay of 1230 mm and boards of 1200 mm: 30 mm are left unless a neighbour is trimmed for them."""
    assert sides_mm(planned(tmp_path, WIDE, rules))[0] == narrowest


def test_a_wider_hairline_is_closed_by_trimming(tmp_path: Path) -> None:
    assert sides_mm(planned(tmp_path, WIDE, "sliver = 0\nhairline = 40"))[0] >= 40


@pytest.mark.parametrize(("rules", "says"), [
    ("sliver = 400", "sliver is over half the board's shorter side"),
    ("hairline = -1", "hairline"),
    ("face_down = 3", "face_down"),
])
def test_rules_that_cannot_be_kept_are_refused(tmp_path: Path, rules: str, says: str) -> None:
    file = tmp_path / "site.toml"
    file.write_text(SITE.format(rules=rules, **WIDE), encoding="utf-8")
    with pytest.raises(Refused, match=says):
        read_site(file)


def test_the_rules_belong_to_boards(tmp_path: Path) -> None:
    file = tmp_path / "site.toml"
    text = SITE.format(rules="", **WIDE)
    file.write_text(text.replace("[[build_up]]", '[[item]]\nname = "screw"\nform = "each"\nsliver = 5\n\n[[build_up]]'),
                    encoding="utf-8")
    with pytest.raises(Refused, match="sliver is about how boards are laid"):
        read_site(file)
