"""Modes of a box against a printed table and an independent count."""

import pytest

from tracker.domain.errors import Refused
from tracker.domain.sound.modes import box_modes, mode_count

FOOT_M = 0.3048


def test_printed_axial_modes_of_a_16_by_12_by_8_ft_room():
    """Handbook for Sound Engineers, chapter 6, table 6-4, at 1130 ft/s: axial modes to two decimals."""
    modes = box_modes(16 * FOOT_M, 12 * FOOT_M, 8 * FOOT_M, 1130 * FOOT_M, 150.0)
    axial = [(mode.order, round(mode.frequency_hz, 2)) for mode in modes if mode.kind == "axial"]
    printed = {
        (1, 0, 0): 35.31, (0, 1, 0): 47.08, (0, 0, 1): 70.63, (2, 0, 0): 70.63, (0, 2, 0): 94.17, (3, 0, 0): 105.94,
        (0, 0, 2): 141.25, (0, 3, 0): 141.25, (4, 0, 0): 141.25,
    }  # fmt: skip
    assert dict(axial).keys() == printed.keys()
    for order, hz in axial:
        assert hz == pytest.approx(printed[order], abs=0.011)


def test_lowest_modes_of_the_reference_room():
    """An independent calculation, 5.0 x 3.6 x 2.5 m, c = 343.2 m/s."""
    modes = box_modes(5.0, 3.6, 2.5, 343.2, 80.0)
    assert [mode.frequency_hz for mode in modes] == pytest.approx([34.3, 47.7, 58.7, 68.6, 68.6, 76.7], abs=0.07)
    assert [mode.kind for mode in modes] == ["axial", "axial", "tangential", "axial", "axial", "tangential"]


@pytest.mark.parametrize(
    ("low", "high", "count"), [(44.668, 89.125, 7), (89.125, 177.828, 37), (177.828, 354.813, 235)]
)
def test_modes_in_the_octaves_of_the_reference_room(low, high, count):
    """The same calculation: 7, 37 and 235 modes in the octaves of 63, 125 and 250 Hz."""
    modes = box_modes(5.0, 3.6, 2.5, 343.2, high)
    assert sum(low <= mode.frequency_hz for mode in modes) == count


def test_oblique_modes_run_along_all_three_sides():
    oblique = [mode for mode in box_modes(5.0, 3.6, 2.5, 343.2, 100.0) if mode.kind == "oblique"]
    assert oblique[0].order == (1, 1, 1)
    assert oblique[0].frequency_hz == pytest.approx((34.32**2 + 47.667**2 + 68.64**2) ** 0.5, abs=0.01)


def test_the_smoothed_count_follows_the_modes():
    """The formula counts within 3 % of the list at 500 Hz."""
    listed = len(box_modes(5.0, 3.6, 2.5, 343.2, 500.0))
    assert mode_count(5.0, 3.6, 2.5, 343.2, 500.0) == pytest.approx(listed, rel=0.03)


@pytest.mark.parametrize(("sides", "to_hz"), [((0.0, 3.0, 2.5), 100.0), ((5.0, 3.0, 2.5), 5000.0)])
def test_a_flat_room_or_too_high_a_frequency_is_refused(sides, to_hz):
    with pytest.raises(Refused, match="modes"):
        box_modes(*sides, 343.0, to_hz)
