"""Board plans: worked examples, the generated rooms under the independent check, and properties."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from tracker.domain.cutting.boards import plan_boards
from tracker.domain.cutting.plans import BoardStock, Need2, Offcut2


def rectangle(name, width, height, x=0.0, y=0.0):
    ring = ((x, y), (x + width, y), (x + width, y + height), (x, y + height))
    return Need2(name, ((ring, ()),))


BOARD = BoardStock("board", 1.2, 0.6)
SAWN = BoardStock("board", 1.2, 0.6, kerf_m=0.003, waste_below_m=0.08)


def test_wall_of_three_bays_takes_twelve_boards_exactly():
    """trade.md 4h: 3.6 x 2.4 m in three bays of 1.2 m from 1200 x 600: 12 boards, none cut."""
    needs = [rectangle(f"north/{i}", 1.2, 2.4, x=1.2 * i) for i in range(3)]
    plan = plan_boards(needs, SAWN)
    assert (plan.need, plan.lower_bound, plan.proved_least) == (12, 12, True)
    assert len(plan.pieces) == 12 and not any(board.saw or board.offcuts for board in plan.boards)


def test_bays_a_hair_wider_take_more_boards_though_area_rose_one_percent(verify):
    """trade.md 4h: at 1212 mm every bay needs more than its twelve boards."""
    needs = [rectangle(f"north/{i}", 1.212, 2.4, x=1.212 * i) for i in range(3)]
    plan = plan_boards(needs, SAWN)
    assert plan.need > 12 and verify.faults(plan, needs, SAWN) == []
    assert min(min(cut.size_m) for board in plan.boards for cut in board.cuts) >= 0.075 - 1e-9


def test_two_halves_do_not_come_out_of_a_board_once_a_kerf_is_taken():
    """cutting.md pitfalls: with kerf 3, two pieces of 600 do not come out of 1200."""
    needs = [rectangle(f"bay {i}", 0.6, 0.6) for i in range(2)]
    assert plan_boards(needs, SAWN).need == 2
    assert plan_boards(needs, BOARD).need == 1


def test_rooms_pass_the_check(room, verify):
    needs, stock = room
    plan = plan_boards(needs, stock)
    assert verify.faults(plan, needs, stock) == []


def test_rooms_with_kerf_and_offcuts_pass_the_check(room, verify):
    needs, stock = room
    offcuts = tuple(Offcut2(f"o{i}", 0.3 + 0.07 * i, 0.25 + 0.03 * i) for i in range(8))
    sawn = BoardStock(stock.item, stock.length_m, stock.width_m, 0.003, waste_below_m=0.08, offcuts=offcuts)
    plan = plan_boards(needs, sawn)
    assert verify.faults(plan, needs, sawn) == []
    assert any(board.source != "new" for board in plan.boards)
    assert plan.need <= plan_boards(needs, BoardStock(stock.item, stock.length_m, stock.width_m, 0.003)).need


def test_rooms_where_boards_may_be_neither_turned_nor_flipped_pass_the_check(room, verify):
    needs, stock = room
    plain = BoardStock(stock.item, stock.length_m, stock.width_m, turnable=False, flippable=False)
    assert verify.faults(plan_boards(needs, plain), needs, plain) == []


def test_mirrored_triangles_come_from_one_rectangle(verify):
    left = Need2("gable/left", ((((0, 0), (1.2, 0), (1.2, 0.6)), ()),))
    right = Need2("gable/right", ((((1.2, 0), (2.4, 0), (1.2, 0.6)), ()),))
    plan = plan_boards([left, right], BOARD)
    assert plan.need == 1 and verify.faults(plan, [left, right], BOARD) == []
    faced = BoardStock("board", 1.2, 0.6, flippable=False)
    assert not any(cut.flipped for board in plan_boards([left, right], faced).boards for cut in board.cuts)
    assert plan_boards([left, Need2("other", left.infill)], faced).need == 1


def test_an_offcut_that_serves_saves_a_board():
    needs = [rectangle("a", 1.2, 0.6), rectangle("b", 0.5, 0.4)]
    stock = BoardStock("board", 1.2, 0.6, offcuts=(Offcut2("big", 0.9, 0.6), Offcut2("small", 0.4, 0.55)))
    plan = plan_boards(needs, stock)
    assert plan.need == 1 and {board.source for board in plan.boards} == {"new", "small"}


def test_an_offcut_lost_to_the_saw_is_not_kept():
    plan = plan_boards([rectangle("a", 1.199, 0.6)], SAWN)
    (board,) = plan.boards
    assert board.offcuts == () and len(board.saw) == 1


def test_work_already_laid_out_keeps_its_pieces():
    first = plan_boards([rectangle("a", 2.5, 1.3)], BOARD)
    rest = tuple(piece for piece in first.pieces if not piece.name.endswith(" 1"))
    again = plan_boards([Need2("a", (), pieces=rest)], BOARD)
    assert again.pieces == rest and again.need <= first.need


sides = st.integers(min_value=80, max_value=3000).map(lambda mm: mm / 1000)


@settings(max_examples=30, deadline=None)
@given(st.lists(st.tuples(sides, sides), min_size=1, max_size=4), st.booleans(), st.sampled_from([0.0, 0.003]))
def test_any_rectangles_pass_the_check(verify, sizes, turnable, kerf):
    needs = [rectangle(f"bay {i}", *size) for i, size in enumerate(sizes)]
    stock = BoardStock("board", 1.2, 0.6, kerf, turnable)
    assert verify.faults(plan_boards(needs, stock), needs, stock) == []


@settings(max_examples=30, deadline=None)
@given(
    st.lists(st.tuples(sides, sides), min_size=1, max_size=3),
    st.lists(st.tuples(sides, sides), max_size=3),
    st.tuples(sides, sides),
)
def test_adding_stock_never_raises_the_need(sizes, offcuts, more):
    needs = [rectangle(f"bay {i}", *size) for i, size in enumerate(sizes)]
    have = tuple(Offcut2(str(i), min(a, 1.2), min(b, 0.6)) for i, (a, b) in enumerate(offcuts))
    extra = (*have, Offcut2("more", min(more[0], 1.2), min(more[1], 0.6)))
    before = plan_boards(needs, BoardStock("board", 1.2, 0.6, offcuts=have)).need
    assert plan_boards(needs, BoardStock("board", 1.2, 0.6, offcuts=extra)).need <= before


@settings(max_examples=60, deadline=None)
@given(sides, sides, st.floats(min_value=0.3, max_value=1), st.floats(min_value=0.3, max_value=1))
def test_a_smaller_bay_never_needs_more_than_the_larger_it_fits_in(width, height, less_x, less_y):
    large = plan_boards([rectangle("a", width, height)], BOARD).need
    assert plan_boards([rectangle("a", round(width * less_x, 3), round(height * less_y, 3))], BOARD).need <= large


@settings(max_examples=20, deadline=None)
@given(st.lists(st.tuples(sides, sides), min_size=2, max_size=5), st.integers(1, 4))
def test_splitting_a_phase_in_two_never_loses_an_offcut(verify, sizes, at):
    """Without kerf and waste, what was bought is cut, left over, or still in stock, to the last strip."""
    needs = [rectangle(f"bay {i}", *size) for i, size in enumerate(sizes)]
    stock, bought, cut = BOARD, 0.0, 0.0
    for phase in (needs[:at], needs[at:]):
        plan = plan_boards(phase, stock)
        assert verify.faults(plan, phase, stock) == []
        used = {board.source for board in plan.boards}
        made = [one.size_m for board in plan.boards for one in board.offcuts]
        kept = [one for one in stock.offcuts if one.id not in used]
        stock = replace(stock, offcuts=(*kept, *(Offcut2(f"{len(phase)}-{i}", *size) for i, size in enumerate(made))))
        bought += plan.need * 1.2 * 0.6
        cut += plan.net_m2
        left = sum(one.length_m * one.width_m for one in stock.offcuts)
        assert abs(bought - cut - left) < 1e-6 * max(1, len(stock.offcuts))


def test_sliver_and_hairline_are_settable():
    """By hand: 1.23 m of boards 1.2 m long leaves 30 mm: 75 mm at the least by default, 30 mm where that is allowed."""
    need = [rectangle("a", 1.23, 0.6)]
    narrow = [min(min(cut.size_m) for board in plan_boards(need, stock).boards for cut in board.cuts)
              for stock in (BOARD, replace(BOARD, sliver_m=0.02), replace(BOARD, sliver_m=0.02, hairline_m=0.04))]
    assert narrow[0] >= 0.075 - 1e-9 and abs(narrow[1] - 0.03) < 1e-6 and narrow[2] > 0.04 - 1e-9


def test_joints_keep_away_from_the_corners_of_an_opening_where_that_is_free():
    """One opening of 0.5 m in the middle of a bay: its four corners, some of them in one piece each."""
    hole = ((0.6, 0.5), (1.1, 0.5), (1.1, 1.0), (0.6, 1.0))
    need = Need2("a", ((((0, 0), (1.7, 0), (1.7, 1.5), (0, 1.5)), (hole,)),))
    dear = plan_boards([need], replace(BOARD, corner_cost=0.5), seconds=0.2)
    free = plan_boards([need], replace(BOARD, corner_cost=0.0), seconds=0.2)
    assert dear.corner_joints <= free.corner_joints and dear.corner_joints < 4
