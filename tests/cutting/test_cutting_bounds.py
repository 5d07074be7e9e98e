"""The bound on boards: never above what trying everything finds, met by most plans, told where it is not."""

from __future__ import annotations

import importlib.util
import random
from pathlib import Path

import pytest

from tracker.domain.cutting.boards import pack_boards
from tracker.domain.cutting.plans import BoardStock, Offcut2, Piece

spec = importlib.util.spec_from_file_location("exhaustive", Path(__file__).with_name("cutting_exhaustive.py"))
exhaustive = importlib.util.module_from_spec(spec)
spec.loader.exec_module(exhaustive)


def rectangles(sides):
    return [Piece(f"p {at}", "p", ((0, 0), (w / 1000, 0), (w / 1000, h / 1000), (0, h / 1000)))
            for at, (w, h) in enumerate(sides)]  # fmt: skip


@pytest.mark.parametrize("turnable", [False, True], ids=["fixed", "turned"])
@pytest.mark.parametrize("offcuts", [(), ((700, 300), (500, 450))], ids=["new", "offcuts"])
def test_the_bound_never_passes_the_least_that_trying_everything_finds(turnable, offcuts):
    """Independent exhaustive search over all ways to saw up to seven pieces."""
    met, drawn = 0, 12
    for seed in range(drawn):
        chance = random.Random(seed)
        kerf = chance.choice([0, 3, 4])
        sides = [(chance.randint(90, 1200), chance.randint(90, 600)) for _ in range(chance.randint(4, 7))]
        if seed % 3 == 0:
            sides = [chance.choice(sides[:3]) for _ in sides]
        have = tuple(Offcut2(str(at), a / 1000, b / 1000) for at, (a, b) in enumerate(offcuts))
        stock = BoardStock("board", 1.2, 0.6, kerf / 1000, turnable, offcuts=have)
        least = exhaustive.least_new_boards(tuple(sides), (1200, 600), kerf, turnable, offcuts)
        plan = pack_boards(rectangles(sides), stock, mends=60, prove=60)
        assert plan.lower_bound <= least <= plan.need, (seed, sides)
        met += plan.lower_bound == least
    assert met >= 0.75 * drawn


def test_three_halves_and_a_bit_need_three_boards():
    """Two of 610 x 400 never share a board of 1200 x 600 either way: by hand."""
    plan = pack_boards(rectangles([(610, 400)] * 3), BoardStock("board", 1.2, 0.6), prove=60)
    assert (plan.area_bound, plan.lower_bound, plan.need) == (2, 3, 3)


def test_a_mirrored_pair_is_bounded_by_its_rectangle_only_where_boards_may_be_flipped():
    """Two mirror triangles of half a board each: one board where one may lie face down, two where not (by hand)."""
    left, right = ((0, 0), (1.2, 0), (1.2, 0.6)), ((0, 0), (1.2, 0), (0, 0.6))
    pieces = [Piece("l", "g", left), Piece("r", "g", right)]
    plan = pack_boards(pieces, BoardStock("board", 1.2, 0.6), prove=60)
    assert (plan.need, plan.lower_bound) == (1, 1)
    faced = pack_boards(pieces, BoardStock("board", 1.2, 0.6, flippable=False), prove=60)
    assert faced.need == faced.lower_bound == 2
