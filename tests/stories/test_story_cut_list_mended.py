"""What is cut, cut wrong or ticked is never forgotten, whatever is planned, measured again or taken back after it."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from tracker.domain.cutting.boards import pack_boards
from tracker.domain.cutting.plans import BoardStock, Piece, SawCut
from tracker.services.cut_answers import BoardView, CutView, TakeOff
from tracker.services.cut_list import Search, miscut, planned, tick
from tracker.services.desk import Desk
from tracker.services.diary import log_day
from tracker.services.diary_answers import DayLog
from tracker.services.measuring import measure_again
from tracker.services.saw_steps import saw_steps
from tracker.services.setup import new_site
from tracker.services.stock import count_stock
from tracker.services.take_off import take_off
from tracker.services.undo import undo_last

DATA = Path(__file__).parents[1] / "data"
QUICK = Search(seconds=0.02)
AGAIN = Search(seconds=0.02, asked=True)
BOARD, EDGE = "wool board 50", "edge track"
ONE, TWO = "back and front", "sides and lid"


@pytest.fixture
def booth(tmp_path: Path) -> Desk:
    made = new_site(tmp_path / "site.db", DATA / "site_booth.toml", lambda: date(2026, 4, 8))
    for item, amount in ((BOARD, "60"), (EDGE, "60"), ("joint track", "9")):
        count_stock(made, item, amount)
    return made


def need(plan: TakeOff, item: str = BOARD) -> float:
    return next(line.need for line in plan.items if line.item == item)


def spots(plan: TakeOff) -> dict[str, tuple[object, ...]]:
    """Piece to the board it is cut from and its place there."""
    return {cut.piece: (board.from_, board.number, cut.at_m) for board in plan.boards for cut in board.cuts}


def shared_boards(plan: TakeOff) -> list[BoardView]:
    return [board for board in plan.boards if len(board.cuts) > 1]


def largest(board: BoardView) -> str:
    return max(board.cuts, key=lambda cut: cut.size_m[0] * cut.size_m[1]).piece


def spoil_some(desk: Desk, target: str | None = None) -> float:
    """Cuts pieces of shared boards wrong until the list needs more; what it needs then."""
    plan = take_off(desk, target, search=QUICK)
    before = need(plan)
    for board in shared_boards(plan):
        miscut(desk, largest(board))
        if need(take_off(desk, target)) > before:
            break
    after = need(take_off(desk, target))
    assert after > before
    return after


def measure(desk: Desk, bay: str, width: int, height: int, fitted: bool = True) -> None:
    measure_again(desk, bay, {"bottom": str(width), "top": str(width), "left": str(height), "right": str(height),
                              "diagonal": str(round((width ** 2 + height ** 2) ** 0.5))}, fitted)


def test_what_was_cut_wrong_is_not_whole_again_in_a_new_plan(booth: Desk) -> None:
    after = spoil_some(booth)
    for seed in range(3):
        assert need(take_off(booth, search=Search(0.02, seed=seed, asked=True))) >= after


def test_planning_another_phase_does_not_forget_what_was_cut_wrong(booth: Desk) -> None:
    after = spoil_some(booth, ONE)
    before = spots(take_off(booth, ONE))
    take_off(booth, TWO, search=QUICK)
    assert need(take_off(booth, ONE)) == after
    assert spots(take_off(booth, ONE)) == before


def test_a_board_that_two_plans_share_stays_one_board(booth: Desk) -> None:
    site = booth.standing().site
    bays = [site.short(key) for key in site.bays]
    for bay in bays:
        take_off(booth, bay, search=QUICK)
    moved, others = shared_after_a_miscut(booth)
    tick(booth, [moved.piece])
    before = take_off(booth)
    mate = next(bay for bay in bays if bay != moved.bay and bay not in others)
    planned(booth, tuple(bay for key, bay in site.bays.items() if site.short(key) in (moved.bay, mate)), QUICK)
    after = take_off(booth)
    names = [cut.piece for plan in booth.standing().kept.boards for one in plan.boards for cut in one.cuts]
    assert len(names) == len(set(names))
    assert spots(after)[moved.piece] == spots(before)[moved.piece]


def shared_after_a_miscut(desk: Desk) -> tuple[CutView, set[str]]:
    """A piece cut wrong that goes onto the board of another bay, and the bays it shares that with."""
    for board in shared_boards(take_off(desk)):
        for cut in board.cuts:
            miscut(desk, cut.piece)
            onto = next(one for one in take_off(desk).boards if cut.piece in {other.piece for other in one.cuts})
            if others := {one.bay for one in onto.cuts} - {cut.bay}:
                return cut, others
    raise AssertionError("no board of another bay takes it")


def test_plans_made_apart_do_not_take_the_same_offcut(booth: Desk) -> None:
    site = booth.standing().site
    bays = [site.short(key) for key in site.bays]
    take_off(booth, bays[0], search=QUICK)
    for step in ("track", "infill"):
        log_day(booth, DayLog(bays[0], step))
    for bay in bays[1:]:
        take_off(booth, bay, search=QUICK)
    plan = take_off(booth)
    sources = [part.from_ for part in (*plan.boards, *plan.sticks) if part.from_ != "new"]
    assert sources and len(sources) == len(set(sources))


def test_a_tick_comes_back_when_a_miscut_is_taken_back(booth: Desk) -> None:
    piece = largest(shared_boards(take_off(booth, search=QUICK))[0])
    tick(booth, [piece])
    miscut(booth, piece)
    assert piece not in {name for board in take_off(booth).boards for name in board.cut}
    undo_last(booth)
    assert piece in {name for board in take_off(booth).boards for name in board.cut}


def test_a_piece_laid_anew_keeps_its_place_once_it_is_ticked(booth: Desk) -> None:
    take_off(booth, search=QUICK)
    measure(booth, "south/beside door", 1350, 1650)
    plan = take_off(booth)
    laid = [cut.piece for board in plan.boards for cut in board.cuts if cut.bay == "south/beside door"]
    tick(booth, laid)
    before = spots(take_off(booth))
    for board in shared_boards(plan)[:4]:
        wrong = next((cut.piece for cut in board.cuts if cut.piece not in laid), None)
        if wrong:
            miscut(booth, wrong)
            after = spots(take_off(booth))
            assert {piece: after[piece] for piece in laid} == {piece: before[piece] for piece in laid}


def test_a_miscut_of_a_piece_laid_anew_moves_nothing_else_and_is_taken_back_whole(booth: Desk) -> None:
    take_off(booth, search=QUICK)
    measure(booth, "south/beside door", 1350, 1650)
    before = take_off(booth)
    board = next(board for board in shared_boards(before) if any(cut.bay == "south/beside door" for cut in board.cuts))
    piece = next(cut.piece for cut in board.cuts if cut.bay == "south/beside door")
    miscut(booth, piece)
    after = spots(take_off(booth))
    assert {name: spot for name, spot in after.items() if name != piece} == {
        name: spot for name, spot in spots(before).items() if name != piece}
    assert after[piece] != spots(before)[piece]
    undo_last(booth)
    assert take_off(booth) == before
    assert booth.store.last_operation().startswith("Measured")


def test_a_piece_cut_anew_is_not_ticked_by_an_old_tick_of_its_name(booth: Desk) -> None:
    plan = take_off(booth, search=QUICK)
    old = [piece.piece for piece in plan.pieces if piece.bay == "south/beside door"]
    runs = [cut.piece for stick in plan.sticks for cut in stick.cuts if cut.bay == "south/beside door"]
    tick(booth, [*old, *runs])
    measure(booth, "south/beside door", 1350, 1650, fitted=False)
    for search in (QUICK, AGAIN):
        after = take_off(booth, search=search)
        assert not [name for board in after.boards for name in board.cut]
        assert not [name for stick in after.sticks for name in stick.cut if name in runs]


def test_a_ticked_part_of_a_spliced_run_keeps_its_stick(tmp_path: Path) -> None:
    text = (DATA / "site_booth.toml").read_text().replace("length = 3000", "length = 2000")
    (tmp_path / "site.toml").write_text(text)
    desk = new_site(tmp_path / "site.db", tmp_path / "site.toml", lambda: date(2026, 4, 8))
    site = desk.standing().site
    for key in site.bays:
        take_off(desk, site.short(key), search=QUICK)
    stick, part = next((stick, cut) for stick in take_off(desk).sticks for cut in stick.cuts
                       if cut.piece.endswith(".2") and stick.number > 3)
    tick(desk, [part.piece])
    planned(desk, tuple(site.bays.values()), QUICK)
    after = next(one for one in take_off(desk).sticks if part.piece in {cut.piece for cut in one.cuts})
    assert (after.item, after.number, after.cut) == (stick.item, stick.number, (part.piece,))
    assert [cut.piece for cut in after.cuts] == [cut.piece for cut in stick.cuts]


@pytest.mark.parametrize("change", [lambda other, board: tick(other, [cut.piece for cut in board.cuts]),
                                    lambda other, board: miscut(other, board.cuts[0].piece)])
def test_what_happens_while_a_plan_is_made_is_in_it(booth: Desk, change: Callable) -> None:
    take_off(booth, ONE, search=QUICK)
    board = shared_boards(take_off(booth, ONE))[0]
    other, told = Desk(booth.path), []

    def busy(_done: float, _boards: int) -> None:
        if not told:
            told.append(True)
            change(other, board)

    planned(booth, tuple(booth.standing().site.bays.values()), Search(0.05, told=busy))
    assert told and booth.standing().kept.bays == set(spots_by_bay(take_off(booth)))
    held = [one for one in take_off(booth).boards if board.cuts[-1].piece in {cut.piece for cut in one.cuts}]
    assert [one.number for one in held] == [board.number]
    other.close()


def spots_by_bay(plan: TakeOff) -> set[str]:
    return {piece.bay for piece in plan.pieces}


def test_parts_of_a_list_and_what_is_not_on_it_carry_numbers_of_their_own(booth: Desk) -> None:
    take_off(booth, ONE, search=QUICK)
    for step in ("track", "infill"):
        log_day(booth, DayLog("north/left", step))
    plan = take_off(booth)
    parts = [(part.item, part.number, part.from_) for part in (*plan.boards, *plan.sticks)]
    assert len(parts) == len(set(parts)) and not plan.kept
    new = [(item, number) for item, number, source in parts if source == "new"]
    assert len(new) == len(set(new))


def test_a_plan_that_could_not_be_kept_is_not_told_as_kept(booth: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    take_off(booth, ONE, search=QUICK)
    monkeypatch.setattr("tracker.store.engine.BUSY_MS", 1)
    reader = Desk(booth.path)
    blocker = sqlite3.connect(booth.path, isolation_level=None)
    blocker.execute("BEGIN IMMEDIATE")
    plan = take_off(reader, TWO, search=QUICK)
    blocker.execute("ROLLBACK")
    blocker.close()
    assert plan.boards and not plan.kept
    assert take_off(booth, TWO, search=QUICK).kept
    reader.close()


def rectangle(name: str, width: float, height: float) -> Piece:
    return Piece(name, "a", ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height)))


def test_a_piece_that_a_cut_leaves_over_comes_free_with_it() -> None:
    plan = pack_boards([rectangle("a 1", 0.8, 0.6), rectangle("a 2", 0.397, 0.6)], BoardStock("b", 1.2, 0.6, 0.003))
    (board,) = plan.boards
    assert [(step.text, set(step.frees)) for step in saw_steps(board, "mm")] == [
        ("cross at 800 mm, keep left", {"a 1", "a 2"})]


def test_a_cut_of_a_part_laid_aside_names_it_and_slanted_ones_are_told_from_its_corner(booth: Desk) -> None:
    pieces = [rectangle("a 1", 0.7, 0.4), rectangle("a 2", 0.3, 0.3), rectangle("a 3", 0.3, 0.15),
              Piece("a 4", "a", ((0.0, 0.0), (0.4, 0.0), (0.4, 0.1), (0.0, 0.14)))]
    (board,) = pack_boards(pieces, BoardStock("b", 1.2, 0.6, 0.003)).boards
    in_hand = ((0.0, 0.0), board.size_m)
    for saw, step in zip(board.saw, saw_steps(board, "mm"), strict=True):
        panel = saw.panel_at_m, saw.panel_size_m
        same = all(abs(one - other) < 1e-6 for pair in zip(panel, in_hand, strict=True) for one, other in
                   zip(*pair, strict=True))
        size = " x ".join(f"{round(1000 * side)} mm" for side in saw.panel_size_m)
        assert step.text.startswith(f"rest {size}: ") == (not same)
        if saw.kind == "line":
            figures = [float(word) for word in step.text.replace(",", " ").split() if word.isdigit()]
            assert max(figures) <= 1000 * max(saw.panel_size_m) + 0.5
        width, height = saw.panel_size_m
        in_hand = (saw.panel_at_m, {"rip": (width, saw.at_m), "cross": (saw.at_m, height)}.get(saw.kind, panel[1]))
    assert {piece for step in saw_steps(board, "mm") for piece in step.frees} == {piece.name for piece in pieces}


def test_a_slant_finer_than_the_tape_shows_is_no_cut() -> None:
    leaning = Piece("a 1", "a", ((0.0, 0.0), (0.6, 0.0), (0.6, 0.16), (0.0, 0.16002)))
    (board,) = pack_boards([leaning], BoardStock("b", 1.2, 0.6, 0.003)).boards
    assert any(isinstance(saw, SawCut) and saw.kind == "line" for saw in board.saw)
    steps = list(saw_steps(board, "mm"))
    assert [step.kind for step in steps if step.kind == "line"] == []
    assert [piece for step in steps for piece in step.frees] == ["a 1"]


def test_a_run_as_long_as_a_stick_is_planned_on_a_site_in_inches(tmp_path: Path) -> None:
    desk = new_site(tmp_path / "site.db", DATA / "site_loft.toml", lambda: date(2026, 4, 8))
    plan = take_off(desk, search=QUICK)
    whole = [stick for stick in plan.sticks if stick.cuts[0].length_m == pytest.approx(stick.length_m)]
    assert whole and all(len(stick.cuts) == 1 for stick in whole)
    assert plan.kept
    desk.close()


def test_what_was_ticked_and_is_laid_out_otherwise_after_a_new_measurement_is_said(booth: Desk) -> None:
    plan = take_off(booth, search=QUICK)
    bay = "north/left"
    ticked = [name for name in spots(plan) if name.startswith(f"{bay} ")][:1]
    assert ticked
    tick(booth, ticked)
    outcome = measure_again(booth, bay, {"bottom": "1400", "top": "1400", "left": "2300", "right": "2300",
                                         "diagonal": "2692.6"})
    (said,) = [one for one in outcome.cautions if "icked as cut" in one]
    assert ticked[0] in said and "spoil" in said
    undo_last(booth)
    assert ticked[0] in {name for board in take_off(booth).boards for name in board.cut}
