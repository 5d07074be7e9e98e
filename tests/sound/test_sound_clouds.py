"""Clouds: two faces, the opening that feeds the upper one, and the load on each hanger."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tracker.domain.errors import Refused
from tracker.domain.sound.clouds import ASSUMPTION, cloud_sound, cloud_weight
from tracker.domain.sound.rooms import bay_gain
from tracker.domain.sound.surfaces import BaySound

BOARD = (0.22, 0.82, 1.21, 1.10, 1.02, 1.05)


def test_counted_as_the_plan_counts_it():
    """The plan's own rule: both faces, nothing covered, coefficients over 1 as 1."""
    found = cloud_sound(2.88, 7.2, 0.2, BOARD)
    assert found.counted_m2 == pytest.approx(bay_gain(BaySound("c", "p", 2.88, BOARD, BOARD, 2)))


def test_the_upper_face_takes_no_more_than_the_opening_round_the_edge():
    """By definition an opening absorbs at most its own area: 1.2 x 2.4 m at 100 mm, 7.2 m of edge, 0.72 m2."""
    found = cloud_sound(2.88, 7.2, 0.1, BOARD)
    assert found.opening_m2 == pytest.approx(0.72) and found.full_gap_m == pytest.approx(0.4)
    assert found.limited_m2 == pytest.approx([2 * 2.88 * 0.22, 2.88 * 0.82 + 0.72, *[2.88 + 0.72] * 4])
    assert any("100 mm to the ceiling" in note and "400 mm" in note for note in found.notes)
    assert found.notes[0] == ASSUMPTION and "common practice, no source" in ASSUMPTION


def test_far_from_the_ceiling_both_faces_count_in_full():
    found = cloud_sound(2.88, 7.2, 0.4, BOARD)
    assert found.limited_m2 == pytest.approx(found.counted_m2)
    assert not any("the opening is" in note for note in found.notes)


def test_a_gap_that_the_coefficients_already_hold_is_named():
    assert any("one face is the safe figure" in note for note in cloud_sound(2.88, 7.2, 0.2, BOARD).notes)
    assert not any("one face" in note for note in cloud_sound(2.88, 7.2, 0.0, BOARD).notes)


@settings(max_examples=50, deadline=None)
@given(st.floats(0.5, 6), st.floats(2, 12), st.floats(0, 1), st.floats(0, 1), st.tuples(*[st.floats(0, 1.2)] * 6))
def test_between_one_face_and_two_and_more_with_a_wider_gap(area, edge, gap, wider, alpha):
    near, far = cloud_sound(area, edge, gap, alpha), cloud_sound(area, edge, gap + wider, alpha)
    for one, some, more, two in zip(near.one_face_m2, near.limited_m2, far.limited_m2, near.counted_m2, strict=True):
        assert one <= some <= more + 1e-12 <= two + 2e-12


def test_weight_from_its_layers():
    """By definition: 2.88 m2 of 50 mm at 48 kg/m3 is 6.912 kg; 0.25 kg/m2 of fabric over 3.4 m2; 7.2 m of 0.3 kg/m."""
    found = cloud_weight(2.88, 0.05, 48.0, 4, 0.25, 3.4, 0.3, 7.2)
    assert (found.board_kg, found.fabric_kg, found.track_kg) == pytest.approx((6.912, 0.85, 2.16))
    assert found.total_kg == pytest.approx(9.922) and found.per_hanger_kg == pytest.approx(2.4805)
    assert found.one_fails_kg == pytest.approx(9.922 / 3)
    assert found.unknown == () and "structure" in found.caution and "local codes" in found.caution


def test_layers_without_a_weight_are_named():
    found = cloud_weight(2.0, 0.05, None, 1, fabric_kg_m2=0.3)
    assert found.unknown == ("board", "track") and found.total_kg == pytest.approx(0.6)
    assert found.one_fails_kg is None


@pytest.mark.parametrize("call", [
    lambda: cloud_weight(2.0, 0.05, 48.0, 0), lambda: cloud_weight(0.0, 0.05, 48.0, 4),
    lambda: cloud_sound(2.0, 6.0, -0.1, BOARD), lambda: cloud_sound(2.0, 0.0, 0.1, BOARD),
])  # fmt: skip
def test_a_cloud_that_cannot_be_is_refused(call):
    with pytest.raises(Refused, match="cloud"):
        call()
