"""Board packing beside rectpack on the literature's classes of instances, drawn by recipe, in one run."""

from __future__ import annotations

import pytest

from tracker.domain.cutting.boards import pack_boards
from tracker.domain.cutting.plans import BoardStock, Piece, StickPiece, StickStock
from tracker.domain.cutting.sticks import plan_sticks


@pytest.mark.parametrize("turnable", [False, True], ids=["fixed", "turned"])
def test_never_more_boards_than_the_peer_and_fewer_in_all(classes, verify, turnable):
    ours = theirs = 0
    # The other half of the classes each way; all of them both ways stand in the bench.
    for kind in range(2 if turnable else 1, 11, 2):
        for count in (20, 60):
            sides, side = classes.instance(kind, count, 0)
            pieces, stock = classes.as_pieces(sides, side, turnable)
            plan = pack_boards(pieces, stock, mends=1000)
            peer = classes.peer_boards(sides, side, side, turnable)
            assert plan.lower_bound <= plan.need <= peer, (kind, count)
            assert verify.faults(plan, (), stock) == []
            ours, theirs = ours + plan.need, theirs + peer
    assert ours < theirs


@pytest.mark.parametrize("recipe", ["uniform", "triplets"])
def test_never_more_sticks_than_the_other_peer(classes, cpsat, verify, recipe):
    lengths = getattr(classes, recipe)(30, 1)
    room = 1.0 if recipe == "triplets" else 0.15
    wanted, stock = [StickPiece(f"e {at}", "e", one) for at, one in enumerate(lengths)], StickStock("edge", room)
    plan = plan_sticks(wanted, stock, exact=True)
    peer, _ = cpsat.peer_sticks([round(one * 1000) for one in lengths], round(room * 1000), 0.7)
    assert plan.proved_least and (peer is None or plan.need <= peer)
    assert verify.stick_faults(plan, wanted, stock) == []


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
