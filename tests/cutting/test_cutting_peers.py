"""Board packing beside rectpack on the literature's classes of instances, drawn by recipe, in one run."""

from __future__ import annotations

import pytest

from tracker.domain.cutting.boards import pack_boards
from tracker.domain.cutting.plans import BoardStock, Piece


@pytest.mark.parametrize("turnable", [False, True], ids=["fixed", "turned"])
def test_never_more_boards_than_the_peer_and_fewer_in_all(classes, verify, turnable):
    ours = theirs = 0
    for kind in range(1, 11):
        for count in (20, 60):
            sides, side = classes.instance(kind, count, 0)
            pieces, stock = classes.as_pieces(sides, side, turnable)
            plan = pack_boards(pieces, stock, mends=1000)
            peer = classes.peer_boards(sides, side, side, turnable)
            assert plan.lower_bound <= plan.need <= peer, (kind, count)
            assert verify.faults(plan, (), stock) == []
            ours, theirs = ours + plan.need, theirs + peer
    assert ours < theirs


@pytest.mark.parametrize("seed", range(6))
def test_boards_sawn_up_at_random_go_back_into_nearly_as_many(classes, verify, seed):
    """The least is known: the boards the pieces were sawn from, which their area fills wholly."""
    sides = classes.sawn_up(5, 30, seed)
    pieces, _ = classes.as_pieces(sides, 60, True)
    stock = BoardStock("board", 1.2, 0.6)
    plan = pack_boards(pieces, stock, mends=1500)
    assert plan.lower_bound == 5 <= plan.need <= 6
    assert plan.proved_least == (plan.need == 5)
    assert verify.faults(plan, (), stock) == []


def test_bound_of_half_boards_is_by_number_not_area():
    """Seven pieces wider than half a board each way take seven boards, though their area fills three (counting)."""
    piece = ((0, 0), (0.65, 0), (0.65, 0.35), (0, 0.35))
    plan = pack_boards([Piece(f"a {at}", "a", piece) for at in range(7)], BoardStock("board", 1.2, 0.6))
    assert (plan.area_bound, plan.lower_bound, plan.need, plan.proved_least) == (3, 7, 7, True)
