"""Boards, sticks and cloth whose need is known by hand."""

import pytest

from tracker.domain.buying.demand import Demand, Lot


@pytest.fixture
def lone() -> Demand:
    """Twenty pieces of which no two come out of one board, and whose rest holds no other."""
    return Demand("board", 20, (Lot(((0.9, 0.5),) * 20, ((0.3, 0.6),) * 20),), (1.2, 0.6), kerf_m=0.003, turnable=True)


@pytest.fixture
def mixed() -> Demand:
    """Two phases: small pieces that offcuts can serve, and a few loose ones."""
    first = Lot(((1.2, 0.6),) * 6 + ((0.55, 0.6), (0.4, 0.3), (0.4, 0.3)), ((0.64, 0.6), (0.7, 0.3)))
    second = Lot(((0.9, 0.6),) * 5, ((0.29, 0.6),) * 5)
    return Demand("board", 18, (first, second), (1.2, 0.6), kerf_m=0.003, turnable=True, loose=4)
