"""Modes of a box against a printed table and an independent count."""

import pytest

from tracker.domain.errors import Refused
from tracker.domain.sound.modes import box_modes, mode_count, sides_m

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


def test_printed_modes_of_a_4_7_by_4_1_by_3_1_m_room():
    """Kuttruff, Room Acoustics, table 3.1, from memory: 340 m/s, lowest modes of every kind to two decimals."""
    printed = [
        ((1, 0, 0), 36.17), ((0, 1, 0), 41.46), ((0, 0, 1), 54.84), ((1, 1, 0), 55.02), ((1, 0, 1), 65.69),
        ((0, 1, 1), 68.75), ((2, 0, 0), 72.34), ((1, 1, 1), 77.68), ((0, 2, 0), 82.93), ((2, 1, 0), 83.38),
    ]  # fmt: skip
    found = box_modes(4.7, 4.1, 3.1, 340.0, 84.0)
    assert [mode.order for mode in found] == [order for order, _ in printed]
    assert [mode.frequency_hz for mode in found] == pytest.approx([hz for _, hz in printed], abs=0.006)


@pytest.mark.parametrize("sides", [(5.0, 3.6, 2.5), (6.1, 6.1, 2.7), (3.2, 2.4, 2.2)])
def test_against_pyrato(sides):
    """pyrato 1.1.0 analytic.eigenfrequencies_rectangular_room_rigid, to 300 Hz; its first is the static 0 Hz."""
    import numpy as np
    from pyrato.analytic import eigenfrequencies_rectangular_room_rigid

    theirs = np.sort(eigenfrequencies_rectangular_room_rigid(np.array(sides), 300.0, 343.0)[0])
    ours = [mode.frequency_hz for mode in box_modes(*sides, 343.0, 300.0)]
    assert ours == pytest.approx([hz for hz in theirs if 0.0 < hz <= 300.0], rel=1e-9)


def test_sides_of_a_box_come_from_its_surfaces():
    """By definition: pairs of 2wh, 2lh and 2lw."""
    assert sides_m(2 * 3.6 * 2.5, 2 * 5.0 * 2.5, 2 * 5.0 * 3.6) == pytest.approx((5.0, 3.6, 2.5))


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
