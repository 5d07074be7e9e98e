"""A kept plan takes nothing from an earlier phase for nothing and can be taken back; a miscut costs the piece."""

from __future__ import annotations

import importlib.util
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from math import hypot
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tracker.domain.cutting.in_order import weigh_boards, weigh_sticks
from tracker.domain.cutting.plans import (
    BoardCut,
    BoardPlan,
    BoardStock,
    Need2,
    Offcut1,
    Offcut2,
    PieceCut,
    SawCut,
    StickPiece,
    StickStock,
)
from tracker.domain.cutting.sticks import plan_sticks
from tracker.domain.work.cut_list import KeptPlan
from tracker.domain.work.saving import Saving
from tracker.domain.work.together import Together, joined, plan_together
from tracker.services import cut_list
from tracker.services.allotment import allot
from tracker.services.answers import as_json
from tracker.services.cut_answers import BoardView, StickView
from tracker.services.cut_list import Search, miscut, plan_again, tick
from tracker.services.desk import Desk
from tracker.services.diary import log_day
from tracker.services.diary_answers import DayLog
from tracker.services.measuring import measure_again
from tracker.services.plan_words import kept_words
from tracker.services.readiness import check_start
from tracker.services.saw_steps import saw_steps
from tracker.services.setup import new_site
from tracker.services.stock import count_stock
from tracker.services.take_off import take_off
from tracker.services.undo import last_change, undo_last
from tracker.store.kept_plan import put_plan

TESTS = Path(__file__).parents[1]
QUICK = Search(seconds=0.02)
PHASES = ("front", "sides")
BOARD, STRIP = "board", "strip"

BOX = """
[site]
name = "Box room"
unit = "mm"
currency = "EUR"
start = 2026-04-06
[[item]]
name = "board"
form = "board"
size = [1200, 600]
depth = 50
on_hand = {boards}
[[item]]
name = "strip"
form = "stick"
length = 2400
kerf = 3
on_hand = 20
[[build_up]]
name = "lining"
infill = "board"
edge = "strip"
[[room]]
name = "box"
volume = 31
[[phase]]
name = "front"
[[phase]]
name = "sides"
"""
WALL = """
[[room.plane]]
name = "{plane}"
kind = "wall"
surface = "plasterboard on studs"
size = [4000, 2400]
"""
BAY = """
[[room.plane.bay]]
name = "{bay}"
phase = "{phase}"
build_up = "lining"
at = [{at}, 200]
size = [{wide}, {high}]
"""


@pytest.fixture(autouse=True)
def short_search(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cut_list, "SECONDS", 0.05)


def verify():
    place = importlib.util.spec_from_file_location("cutting_verify", TESTS / "cutting" / "cutting_verify.py")
    module = importlib.util.module_from_spec(place)
    place.loader.exec_module(module)
    return module


VERIFY = verify()


def box_room(folder: Path, boards: int, front: tuple[int, int] = (900, 2000), sides: tuple[int, int] = (1200, 1500),
             waste: int = 0) -> Desk:
    text = BOX.format(boards=boards).replace("kerf = 3", f"kerf = 3\nwaste_below = {waste}" if waste else "kerf = 3")
    before, after = text.split("[[phase]]", 1)
    walls = ""
    for plane, phase, (wide, high) in (("front", "front", front), ("left wall", "sides", sides)):
        walls += WALL.format(plane=plane)
        for bay, at in (("one", 50), ("two", 2000)):
            walls += BAY.format(bay=bay, phase=phase, at=at, wide=wide, high=high)
    (folder / "site.toml").write_text(before + walls + "[[phase]]" + after)
    return new_site(folder / "site.db", folder / "site.toml", lambda: date(2026, 4, 8))


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    """The first bay of the first phase half filled: what is here is just enough for the rest of the phase."""
    made = box_room(tmp_path, 6)
    for step, done in (("set-out", 1.0), ("track", 1.0), ("infill", 0.5)):
        log_day(made, DayLog("front/one", step, done=done))
    yield made
    made.close()


@pytest.fixture
def booth(tmp_path: Path) -> Iterator[Desk]:
    made = new_site(tmp_path / "booth.db", TESTS / "data" / "site_booth.toml", lambda: date(2026, 4, 8))
    for item, amount in (("wool board 50", "60"), ("edge track", "60"), ("joint track", "9")):
        count_stock(made, item, amount)
    yield made
    made.close()


def needs(desk: Desk, item: str = BOARD) -> list[float]:
    """What each phase needs of an item."""
    return [share.plan.needs.get(item, 0.0) for share in allot(desk.standing()).phases.values()]


# 1. An earlier phase


def test_a_phase_that_could_be_started_still_can_where_planning_all_together_saves_nothing(desk: Desk) -> None:
    before = needs(desk)
    assert check_start(desk, "front").verdict == "under way"
    plan_again(desk, None)
    assert needs(desk) == before and check_start(desk, "front").verdict == "under way"
    numbers = {board.number: {cut.bay.split("/")[0] for cut in board.cuts} for board in take_off(desk).boards}
    assert sorted(numbers, key=lambda at: ("front" not in numbers[at], at)) == sorted(numbers), "first phase, first cut"


def test_a_kept_plan_that_takes_from_an_earlier_phase_for_nothing_is_replaced(desk: Desk) -> None:
    """A plan of one lot, as they were made before: by it the first phase waits for a board that it could do without."""
    before, now, shared = needs(desk), desk.standing(), allot(desk.standing())
    bays = [replace(bay, phase="front") for bay in now.site.bays.values()]
    old = plan_together(now.site, bays, shared.materials, now.progress, now.pool.offcuts, shared.cut_list, (),
                        seconds=0.05, seed=0).plan
    with desk.store.write() as session:
        put_plan(session, joined(now.site, None, shared.cut_list, old))
        session.sentence = "Kept."
    worse = needs(desk)
    assert sum(worse) == sum(before) and worse[0] > before[0]
    assert check_start(desk, "front").verdict == "short"
    assert "it stands" not in plan_again(desk, None).sentence
    assert needs(desk) == before and check_start(desk, "front").verdict == "under way"


@settings(max_examples=20, deadline=None)
@given(st.lists(st.lists(st.tuples(st.integers(6, 40), st.integers(6, 40)), min_size=1, max_size=3), min_size=1,
                max_size=3), st.booleans(), st.sampled_from([0.0] * 9 + [0.005]))
def test_lots_cut_together_wait_for_no_more_than_one_after_the_other_unless_that_saves(
        sizes: list[list[tuple[int, int]]], offcut: bool, seconds: float) -> None:
    lots, at = [], 0
    for lot in sizes:
        rooms = []
        for wide, high in lot:
            at += 1
            x, w, h = 5.0 * at, wide / 16, high / 16
            rooms.append(Need2(f"b{at}", ((((x, 0.0), (x + w, 0.0), (x + w, h), (x, h)), ()),)))
        lots.append(rooms)
    stock = BoardStock("b", 1.2, 0.6, 0.003, offcuts=(Offcut2("O1", 0.7, 0.5),) if offcut else ())
    found = weigh_boards(lots, stock, seconds=seconds)
    assert found.plan.need == sum(found.needs) <= sum(found.apart)
    if found.plan.need == sum(found.apart):
        assert found.needs == found.apart
    assert VERIFY.faults(found.plan, [need for lot in lots for need in lot], stock) == []
    assert found == weigh_boards(lots, stock, seconds=seconds)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.lists(st.integers(300, 2900), min_size=1, max_size=6), min_size=1, max_size=3), st.booleans())
def test_runs_of_phases_cut_together_take_as_few_sticks_as_can_be_and_the_first_phase_is_told_what_it_costs(
        lengths: list[list[int]], offcut: bool) -> None:
    lots = [[StickPiece(f"b{at} E{run}", f"b{at}", length / 1000) for run, length in enumerate(lot)]
            for at, lot in enumerate(lengths)]
    stock = StickStock("s", 3.0, 0.003, 0.2, (Offcut1("O1", 1.2),) if offcut else ())
    found = weigh_sticks(lots, stock)
    pieces = [piece for lot in lots for piece in lot]
    assert found.plan.need == sum(found.needs) == plan_sticks(pieces, stock, exact=True).need <= sum(found.apart)
    assert found.apart[0] == plan_sticks(lots[0], stock, exact=True).need
    if sum(found.needs) == sum(found.apart):
        assert found.needs == found.apart
    assert VERIFY.stick_faults(found.plan, pieces, stock) == []


def test_what_together_saves_and_who_waits_for_it_is_said_when_the_plan_is_kept(tmp_path: Path) -> None:
    """Two runs of 1.6 m and two of 0.7 m: a stick each and one for both alone, a stick for one of each together."""
    desk = box_room(tmp_path, 50, front=(900, 2000), sides=(1200, 1500))
    before = needs(desk, STRIP)
    said = plan_again(desk, None).sentence
    saved = sum(before) - sum(needs(desk, STRIP))
    assert saved > 0 and said.startswith("Kept a cutting plan: ") and f"Saves {saved:.0f} stick" in said
    more = needs(desk, STRIP)[0] - before[0]
    assert more > 0 and f"; front now needs {more:.0f} stick{'' if more == 1 else 's'} more than alone." in said
    assert last_change(desk) == said
    desk.close()


def test_the_sentence_counts_boards_and_sticks_and_names_each_phase_that_waits(desk: Desk) -> None:
    site = desk.standing().site
    plan = KeptPlan((BoardPlan(BOARD, (), (), 0.0, 1, 1, True),), ())
    found = Together(plan, (Saving(BOARD, 2, (("front", 1),)), Saving(STRIP, 1, (("sides", 2), ("front", 1)))))
    assert kept_words(site, found) == (
        "Kept a cutting plan: 1 new board, 0 new sticks. Saves 2 boards and 1 stick in all; front now needs 1 board "
        "and 1 stick more than alone; sides now needs 2 sticks more than alone.")
    assert kept_words(site, Together(plan)) == "Kept a cutting plan: 1 new board, 0 new sticks."


# 2. Taking a plan back


def test_keeping_a_plan_is_the_change_that_undo_takes_back(desk: Desk) -> None:
    unplanned = take_off(desk)
    plan_again(desk, None)
    assert last_change(desk).startswith("Kept a cutting plan: ")
    kept = take_off(desk)
    assert kept.kept and not unplanned.kept
    assert undo_last(desk).sentence.startswith("Taken back: Kept a cutting plan: ")
    assert take_off(desk) == unplanned and desk.standing().kept is None
    assert "it stands" not in plan_again(desk, None).sentence and take_off(desk) == kept
    assert "it stands" in plan_again(desk, None).sentence
    undo_last(desk)
    assert take_off(desk) == unplanned, "a plan that was not kept is no change"


def test_a_plan_that_replaced_another_gives_that_one_back_and_another_program_sees_it(desk: Desk) -> None:
    take_off(desk, "front", search=QUICK)
    first = take_off(desk, "front")
    other = Desk(desk.path)
    assert take_off(other, "front") == first
    plan_again(desk, None)
    assert desk.standing().kept.bays == other.standing().kept.bays and len(other.standing().kept.bays) == 4
    undo_last(other)
    assert take_off(desk, "front") == take_off(other, "front") == first
    assert desk.standing().kept == other.standing().kept
    other.close()


def test_ticks_go_and_come_with_the_plan_they_were_made_on(booth: Desk) -> None:
    plan = take_off(booth, search=QUICK)
    bay = "north/left"
    names = [piece.piece for piece in plan.pieces if piece.bay == bay][:2]
    tick(booth, names)
    tick(booth, [plan.sticks[0].cuts[0].piece])
    ticks = booth.standing().ticks
    # Measured again the two are no longer cut; a plan made then has pieces of their names, which are not cut either.
    measure(booth, bay, 1400, 2300)
    measured = take_off(booth)
    take_off(booth, search=Search(0.02, asked=True))
    assert not set(names) & booth.standing().ticks
    undo_last(booth)
    assert take_off(booth) == measured and booth.standing().ticks == ticks
    undo_last(booth)
    assert take_off(booth) == tick_of(plan, ticks)
    for _ in range(3):
        undo_last(booth)
    assert booth.standing().kept is None and not booth.standing().ticks


def tick_of(plan, ticks):
    """The list with these pieces ticked off."""
    def ticked(part):
        return replace(part, cut=tuple(cut.piece for cut in part.cuts if cut.piece in ticks))
    return replace(plan, boards=tuple(map(ticked, plan.boards)), sticks=tuple(map(ticked, plan.sticks)))


def measure(desk: Desk, bay: str, wide: int, high: int):
    return measure_again(desk, bay, {"bottom": str(wide), "top": str(wide), "left": str(high), "right": str(high),
                                     "diagonal": str(round(hypot(wide, high), 1))})


# 3. A piece cut wrong


def rack(desk: Desk) -> dict[str, tuple[float, float | None]]:
    return {one.id: (one.length_m, one.width_m) for one in desk.standing().pool.offcuts}


def on_hand(desk: Desk, item: str) -> float:
    return desk.standing().pool.balance(item).on_hand


def size_of(part: BoardView | StickView) -> float:
    return part.size_m[0] * part.size_m[1] if isinstance(part, BoardView) else part.length_m


def measured(one: tuple[float, float | None]) -> float:
    return one[0] if one[1] is None else one[0] * one[1]


def test_a_piece_cut_wrong_costs_the_piece_and_what_its_board_or_stick_leaves_is_kept(booth: Desk) -> None:
    plan = take_off(booth, search=QUICK)
    alone = 0
    for part in (*plan.boards[::2], *plan.sticks[::2]):
        cut = part.cuts[0]
        before, hand = rack(booth), on_hand(booth, part.item)
        said = miscut(booth, cut.piece).sentence
        kept = {name: size for name, size in rack(booth).items() if name not in before}
        wrong = booth.standing().miscuts[-1].size
        pieces = sum(measured((one.length_m, None)) if isinstance(part, StickView) else ring_m2(one.outline_m)
                     for one in part.cuts)
        assert wrong <= pieces + 1e-9
        if len(part.cuts) > 1:
            assert not kept and on_hand(booth, part.item) == hand and "stands." in said
            assert set(before) <= set(rack(booth))
        else:
            alone += 1
            assert on_hand(booth, part.item) == hand - 1
            assert wrong + sum(map(measured, kept.values())) <= size_of(part) + 1e-9
            if isinstance(part, StickView) and kept:
                ((name, (length, _)),) = kept.items()
                # The stick, less the piece and one kerf of 3 mm.
                assert length == pytest.approx(part.length_m - cut.length_m - 0.003, abs=1e-6)
                assert said.startswith(f"{cut.piece} cut wrong: {cut.length_m * 1000:.0f} mm of {part.item} lost; "
                                       f"{length * 1000:.0f} mm kept as {name}. ")
            else:
                assert sorted(kept.values()) == sorted((max(one.size_m), min(one.size_m)) for one in part.offcuts)
                assert all(f"kept as {name}" in said for name in kept)
        undo_last(booth)
        assert rack(booth) == before and on_hand(booth, part.item) == hand
    assert alone > 3 and take_off(booth) == plan


def ring_m2(ring: tuple[tuple[float, float], ...]) -> float:
    return abs(sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(ring, ring[1:] + ring[:1], strict=True))) / 2


def test_all_pieces_of_a_board_cut_wrong_one_by_one_cost_no_more_than_the_board(booth: Desk) -> None:
    plan = take_off(booth, search=QUICK)
    for part in (next(one for one in plan.boards if len(one.cuts) > 1), next(
            one for one in plan.sticks if len(one.cuts) > 1)):
        before, hand = rack(booth), on_hand(booth, part.item)
        for cut in part.cuts[:-1]:
            miscut(booth, cut.piece)
            stands = {one.piece for other in (*take_off(booth).boards, *take_off(booth).sticks)
                      if (other.item, other.number) == (part.item, part.number) for one in other.cuts}
            assert part.cuts[-1].piece in stands, "what was not cut wrong stays on its board"
        miscut(booth, part.cuts[-1].piece)
        kept = [size for name, size in rack(booth).items() if name not in before]
        wrong = sum(one.size for one in booth.standing().miscuts if one.item == part.item)
        assert on_hand(booth, part.item) == hand - 1
        assert wrong + sum(map(measured, kept)) <= size_of(part) + 1e-9
        for _ in part.cuts:
            undo_last(booth)
    assert take_off(booth) == plan


def test_a_ticked_piece_stays_when_another_of_its_board_is_cut_wrong(booth: Desk) -> None:
    plan = take_off(booth, search=QUICK)
    board = next(one for one in plan.boards if len(one.cuts) > 1)
    tick(booth, [board.cuts[0].piece])
    said = miscut(booth, board.cuts[1].piece).sentence
    assert "the rest of its board stands" in said
    (after,) = [one for one in take_off(booth).boards if board.cuts[0].piece in {cut.piece for cut in one.cuts}]
    assert after.cut == (board.cuts[0].piece,) and after.number == board.number and after.here


def test_a_rest_that_is_waste_is_not_kept(tmp_path: Path) -> None:
    desk = box_room(tmp_path, 30, waste=500)
    plan = take_off(desk, search=QUICK)
    stick = next(one for one in plan.sticks if len(one.cuts) == 1 and 0 < one.left_m < 0.5)
    assert "what is left of its stick is waste." in miscut(desk, stick.cuts[0].piece).sentence
    assert not rack(desk)
    desk.close()


# 4. Measured again


def test_pieces_ticked_that_a_new_measurement_makes_useless_are_told_in_a_sentence_of_their_own(booth: Desk) -> None:
    plan = take_off(booth, search=QUICK)
    names = sorted(piece.piece for piece in plan.pieces if piece.bay == "north/left")
    assert len(names) > 3
    tick(booth, names)
    said = measure_again(booth, "north/left", {"bottom": "1400", "top": "1380", "left": "2300", "right": "2300",
                                               "diagonal": "2680", "check": "2702"}).cautions
    assert len(said) > 1 and all(one[0].isupper() and one.endswith(".") for one in said)
    last = said[-1]
    assert last.startswith(f"Ticked as cut, and no longer as the bay needs them: {', '.join(names[:3])} and "
                           f"{len(names) - 3} more. ")
    assert all(name not in last for name in names[3:])


# 5. What is here


def test_a_board_is_here_as_far_as_those_on_hand_go_and_an_offcut_is(desk: Desk) -> None:
    plan = take_off(desk, search=QUICK)
    assert [board.here for board in plan.boards] == [number <= 4 for number in range(1, len(plan.boards) + 1)]
    assert all(stick.here for stick in plan.sticks)
    assert check_start(desk, "front").verdict == "under way"
    # The first phase holds what is here: of the second nothing is, whichever way it is asked for.
    assert not any(board.here for board in take_off(desk, "sides").boards)
    count_stock(desk, BOARD, "5")
    assert sum(board.here for board in take_off(desk, "sides").boards) == 1
    told = as_json(take_off(desk))
    assert told["boards"][0]["here"] is True and told["sticks"][0]["here"] is True and "warnings" in told


def test_a_board_with_a_piece_ticked_off_is_here_before_others(desk: Desk) -> None:
    last = take_off(desk, search=QUICK).boards[-1]
    tick(desk, [last.cuts[0].piece])
    boards = take_off(desk).boards
    assert boards[-1].here and sum(board.here for board in boards) == 4


def test_what_is_on_the_rack_is_here(booth: Desk) -> None:
    plan = take_off(booth, search=QUICK)
    count_stock(booth, "wool board 50", "1")
    alone = next(board for board in plan.boards if len(board.cuts) == 1 and board.offcuts)
    miscut(booth, alone.cuts[0].piece)
    boards = take_off(booth, search=Search(0.02, asked=True)).boards
    assert [board.here for board in boards] == [board.from_ != "new" for board in boards]


def test_the_list_has_the_notices_of_its_bays(booth: Desk) -> None:
    take_off(booth, search=QUICK)
    measure_again(booth, "north/left", {"bottom": "1500", "top": "1480", "left": "2300", "right": "2300",
                                        "diagonal": "2745"})
    for target in (None, "back and front", "north/left"):
        plan = take_off(booth, target)
        bays = {cut.bay for part in (*plan.boards, *plan.sticks) for cut in part.cuts}
        told = {(one.bay, one.code, one.text) for one in plan.warnings}
        assert told == {(bay, one.code, one.text) for bay in bays for one in check_start(booth, bay).warnings}
        assert told


# 6. A taper finer than a tape shows


def slanted(start: tuple[float, float], end: tuple[float, float]) -> BoardCut:
    ring = ((0.0, 0.0), (0.9, 0.0), (0.9, 0.3), (0.0, 0.3))
    line = SawCut("line", 0.0, "piece", (0.0, 0.0), (0.9, 0.3), start, end)
    cuts = (SawCut("rip", 0.3, "lower", (0.0, 0.0), (1.2, 0.6), (0.0, 0.3), (1.2, 0.3)),
            SawCut("cross", 0.9, "left", (0.0, 0.0), (1.2, 0.3), (0.9, 0.0), (0.9, 0.3)), line)
    return BoardCut("b", "new", (1.2, 0.6), (PieceCut("a 1", "a", (0.0, 0.0), (0.9, 0.3), False, ring),), (), cuts)


@pytest.mark.parametrize(("unit", "fine", "coarse"), [("mm", 0.0006, 0.0012), ("in", 0.0015, 0.0017)])
def test_a_taper_that_no_tape_shows_is_cut_straight(unit: str, fine: float, coarse: float) -> None:
    """A tape is marked to 1 mm, or to 1/16 in = 25.4 / 16 = 1.5875 mm (exact by definition of the inch)."""
    straight = list(saw_steps(slanted((0.0, 0.3), (fine, 0.0)), unit))
    assert [step.kind for step in straight] == ["rip", "cross"] and straight[-1].frees == ("a 1",)
    tapered = list(saw_steps(slanted((0.0, 0.3), (coarse, 0.0)), unit))
    assert [step.kind for step in tapered] == ["rip", "cross", "line"] and tapered[-1].frees == ("a 1",)


def test_ends_of_a_slanted_cut_nearer_than_the_mark_to_a_corner_start_there() -> None:
    (*_, step) = saw_steps(slanted((0.0006, 0.0), (0.9, 0.0032)), "mm")
    assert step.text == "cut from 0 mm / 0 mm to 900 mm / 3.2 mm, keep the piece"
    (*_, step) = saw_steps(slanted((0.4, 0.0), (0.4008, 0.3)), "mm")
    assert step.text == "cut from 400 mm / 0 mm to 400 mm / 300 mm, keep the piece"
