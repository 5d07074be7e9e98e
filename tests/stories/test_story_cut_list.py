"""The cut list is planned together, kept, worked off in any order, and mended when a piece is cut wrong."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import date
from math import hypot
from pathlib import Path

import pytest

from tracker.domain.errors import Refused
from tracker.services.answers import as_json
from tracker.services.cut_answers import TakeOff
from tracker.services.cut_list import Search, miscut, tick
from tracker.services.desk import Desk
from tracker.services.diary import log_day
from tracker.services.diary_answers import DayLog
from tracker.services.measuring import measure_again
from tracker.services.readiness import check_start
from tracker.services.setup import new_site
from tracker.services.stock import count_stock, stock
from tracker.services.take_off import take_off
from tracker.services.undo import undo_last

ROOM = Path(__file__).parents[1] / "data" / "cutting_rooms" / "A001_box.toml"
QUICK = Search(seconds=0.05)
BOARDS = 200


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    made = new_site(tmp_path / "site.db", ROOM, lambda: date(2026, 3, 4))
    for item, amount in (("board", str(BOARDS)), ("edge", "90"), ("joint", "90"), ("cloth", "200 m")):
        count_stock(made, item, amount)
    yield made
    made.close()


def bays_of(desk: Desk) -> list[str]:
    site = desk.standing().site
    return [site.short(key) for key in site.bays]


def boards_needed(plan: TakeOff, item: str = "board") -> float:
    return next((line.need for line in plan.items if line.item == item), 0.0)


def on_hand(desk: Desk, item: str = "board") -> float:
    return next(line.on_hand for line in stock(desk).items if line.item == item)


def build(desk: Desk, bay: str) -> None:
    for step in ("track", "infill", "fabric", "make-good"):
        log_day(desk, DayLog(bay, step))


def test_the_plan_is_kept_and_every_part_of_it_is_told_the_same(desk: Desk) -> None:
    whole = take_off(desk, search=QUICK)
    assert whole.kept
    again = take_off(desk, search=QUICK)
    assert again == whole
    told = {cut.piece: board.number for board in whole.boards for cut in board.cuts}
    for bay in bays_of(desk):
        part = take_off(desk, bay)
        assert {piece.piece for piece in part.pieces if piece.bay == bay} == {
            piece.piece for piece in whole.pieces if piece.bay == bay}
        assert all(cut.piece in told for board in part.boards for cut in board.cuts)


@pytest.mark.parametrize("backwards", [False, True])
def test_worked_off_in_any_order_the_list_takes_what_it_said(desk: Desk, backwards: bool) -> None:
    whole = take_off(desk, search=QUICK)
    said = {item: boards_needed(whole, item) for item in ("board", "edge", "joint")}
    bays = bays_of(desk)
    for bay in reversed(bays) if backwards else bays:
        left = boards_needed(take_off(desk, search=QUICK))
        assert BOARDS - on_hand(desk) + left == said["board"]
        build(desk, bay)
    assert BOARDS - on_hand(desk) == said["board"]
    assert (90 - on_hand(desk, "edge"), 90 - on_hand(desk, "joint")) == (said["edge"], said["joint"])
    assert not [one for one in desk.standing().pool.offcuts if one.piece]
    assert not take_off(desk, search=QUICK).boards


def test_pieces_of_other_bays_wait_on_the_rack_under_their_names(desk: Desk) -> None:
    whole = take_off(desk, search=QUICK)
    bays = {cut.piece: cut.bay for board in whole.boards for cut in board.cuts}
    shared = next(board for board in whole.boards if len({bays[cut.piece] for cut in board.cuts}) > 1)
    first, other = next((cut, more) for cut in shared.cuts for more in shared.cuts if cut.bay != more.bay)
    log_day(desk, DayLog(first.bay, "infill"))
    waiting = {one.piece: one for one in desk.standing().pool.offcuts if one.piece}
    assert sorted((waiting[other.piece].length_m, waiting[other.piece].width_m)) == pytest.approx(
        sorted(other.size_m))
    source = next(board.from_ for board in take_off(desk, other.bay).boards
                  if any(cut.piece == other.piece for cut in board.cuts))
    assert source == waiting[other.piece].id
    undo_last(desk)
    assert take_off(desk, search=QUICK) == whole


def test_a_miscut_is_planned_again_and_nothing_else_moves(desk: Desk) -> None:
    whole = take_off(desk, search=QUICK)
    piece = max((cut for board in whole.boards if len(board.cuts) > 1 for cut in board.cuts),
                key=lambda cut: cut.size_m[0] * cut.size_m[1]).piece
    said = miscut(desk, piece, "cut on the wrong side of the line")
    assert piece in said.sentence and "again" in said.sentence
    after = take_off(desk, search=QUICK)
    assert sorted(one.piece for one in after.pieces) == sorted(one.piece for one in whole.pieces)
    assert boards_needed(whole) <= boards_needed(after) <= boards_needed(whole) + 1
    stands = {cut.piece: (cut.at_m, cut.size_m) for board in after.boards for cut in board.cuts}
    for board in whole.boards:
        for cut in board.cuts:
            if cut.piece != piece:
                assert stands[cut.piece] == (cut.at_m, cut.size_m)
    once = take_off(desk)
    miscut(desk, piece)
    assert boards_needed(take_off(desk)) >= boards_needed(once)
    undo_last(desk)
    undo_last(desk)
    assert take_off(desk, search=QUICK) == whole


def test_a_board_with_one_piece_is_spoiled_by_its_miscut(desk: Desk) -> None:
    whole = take_off(desk, search=QUICK)
    alone = next(board for board in whole.boards if len(board.cuts) == 1 and board.from_ == "new")
    before = on_hand(desk)
    miscut(desk, alone.cuts[0].piece)
    assert on_hand(desk) == before - 1
    assert boards_needed(take_off(desk)) <= boards_needed(whole)
    undo_last(desk)
    assert on_hand(desk) == before and take_off(desk) == whole


def test_a_bay_measured_again_is_laid_anew_and_the_rest_stands(desk: Desk) -> None:
    whole = take_off(desk, search=QUICK)
    bays = desk.standing().site.bays
    bay = next(name for name in bays_of(desk) if len(bays[f"room/{name}"].outline) == 4)
    wide, high = (max(corner[axis] for corner in bays[f"room/{bay}"].outline)
                  - min(corner[axis] for corner in bays[f"room/{bay}"].outline) for axis in (0, 1))
    width, height = round(wide * 1000) - 58, round(high * 1000) - 58
    measure_again(desk, bay, {"bottom": str(width), "top": str(width), "left": str(height), "right": str(height),
                              "diagonal": str(round(hypot(width, height)))}, True)
    after = take_off(desk, search=QUICK)
    old = {piece.piece: piece for piece in whole.pieces}
    for piece in after.pieces:
        if piece.bay != bay:
            assert old[piece.piece] == piece
        else:
            assert piece.piece not in old
    assert boards_needed(after) <= boards_needed(whole) + 1


def test_ticked_pieces_keep_their_place_in_a_new_plan(desk: Desk) -> None:
    whole = take_off(desk, search=QUICK)
    board = next(board for board in whole.boards if len(board.cuts) > 1)
    names = [cut.piece for cut in board.cuts]
    tick(desk, names)
    after = take_off(desk, search=Search(seconds=0.1, seed=3, asked=True))
    same = next(one for one in after.boards if names[0] in [cut.piece for cut in one.cuts])
    assert [cut.piece for cut in same.cuts] == names and same.cut == tuple(names)
    assert sum(boards_needed(one) for one in (after,)) <= boards_needed(whole)
    assert undo_last(desk).sentence.startswith("Taken back: Kept a cutting plan")
    assert undo_last(desk).sentence.endswith(": cut.")
    assert not desk.standing().ticks
    with pytest.raises(Refused, match="not on the cut list"):
        tick(desk, ["nowhere 7"])


def test_what_a_check_needs_is_what_the_list_says(desk: Desk) -> None:
    take_off(desk, search=QUICK)
    bay = bays_of(desk)[0]
    need = next(one for one in check_start(desk, bay).items if one.item == "board")
    assert need.need == boards_needed(take_off(desk, bay))
    log_day(desk, DayLog(bay, "infill"))
    assert BOARDS - on_hand(desk) == need.need


def test_the_list_is_told_as_json_with_each_cut(desk: Desk) -> None:
    plan = as_json(take_off(desk, search=QUICK))
    board = next(board for board in json.loads(json.dumps(plan))["boards"] if board["saw"])
    assert {"kind", "at_m", "keep", "text", "frees"} <= set(board["saw"][0])
    freed = [piece for step in board["saw"] for piece in step["frees"]]
    assert len(freed) == len(set(freed)) and set(freed) <= {cut["piece"] for cut in board["cuts"]}
