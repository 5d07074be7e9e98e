"""The short list of units against pint's own, unit by unit."""

from fractions import Fraction

import pytest

from tracker.measures import factor


@pytest.fixture(scope="module")
def peer():
    import pint

    return pint.UnitRegistry(non_int_type=Fraction)


@pytest.mark.parametrize(("unit", "to"), [
    ("inch", "metre"), ("foot", "metre"), ("yard", "metre"), ("foot**2", "metre**2"), ("foot**3", "metre**3"),
    ("lb/ft**3", "kg/m**3"), ("cm", "m"), ("mm", "m"), ("inch", "mm"),
])
def test_each_factor_is_pints_own(peer, unit: str, to: str) -> None:
    assert factor(unit, to) == Fraction(peer.Quantity(Fraction(1), unit).to(to).magnitude)
