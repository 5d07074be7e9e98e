"""Track runs: one for each straight length, its ends and its long points; fixings by spacing.

References: lengths worked by hand in each test; staples at 2 in are 19.7 to the metre (trade notes, take-off).
"""

from math import radians, sqrt, tan

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tracker.domain.geometry.bays import BayFaces, bay_shapes
from tracker.domain.geometry.outline import place, rectangle
from tracker.domain.site import Bay, Opening, Plane
from tracker.domain.takeoff.fixings import fixing_count
from tracker.domain.takeoff.runs import track_runs

FACES = BayFaces(edge_m=0.012, joint_m=0.014)


def box(left, bottom, width, height):
    return place(rectangle(width, height), (left, bottom))


def runs_of(*outlines, openings=(), order=None, faces=FACES):
    bays = tuple(Bay("room", "wall", f"b{n + 1}", "one", "wall", outline) for n, outline in enumerate(outlines))
    holes = tuple(Opening(f"o{n + 1}", outline, "glass") for n, outline in enumerate(openings))
    plane = Plane("room", "wall", "wall", rectangle(9, 9), "plaster", holes, bays)
    names = [bay.name for bay in bays]
    return track_runs(bay_shapes(plane, dict.fromkeys(names, faces)), order or names)


def test_two_bays_share_one_joint():
    """24-inch bays side by side: seven runs, not eight; the joint once, to the bay that comes first."""
    inch = 0.0254
    runs = runs_of(box(0, 0, 24 * inch, 96 * inch), box(24 * inch, 0, 24 * inch, 96 * inch))
    joints = [run for run in runs if run.kind == "joint"]
    assert [(run.bay, run.mark, run.shared_with) for run in joints] == [("b1", "J1", "b2")]
    assert joints[0].ends == ("double mitre", "double mitre")
    assert joints[0].length_m == joints[0].net_m == pytest.approx(96 * inch)
    edges = [run for run in runs if run.kind == "edge"]
    assert len(edges) == 6 and {run.ends for run in edges} == {("mitre", "mitre")}
    assert sum(run.net_m for run in edges) == pytest.approx((4 * 24 + 2 * 96) * inch)


def test_order_of_work_owns_the_joint():
    (joint,) = [run for run in runs_of(box(0, 0, 1, 2), box(1, 0, 1, 2), order=["b2", "b1"]) if run.kind == "joint"]
    assert (joint.bay, joint.shared_with, joint.mark) == ("b2", "b1", "J1")


def test_marks_are_unique_in_a_bay():
    runs = runs_of(box(0, 0, 1, 2), box(1, 0, 1, 2), openings=[box(0.3, 0.5, 0.4, 0.5)])
    assert len({(run.bay, run.mark) for run in runs}) == len(runs) == 7 + 4


def test_track_round_an_opening_is_longer_than_the_opening():
    """Its mitres point away from the hole: each long point is a face beyond the corner."""
    runs = [run for run in runs_of(box(0, 0, 2, 2), openings=[box(0.5, 0.5, 0.8, 1.0)])
            if run.mark in ("E5", "E6", "E7", "E8")]
    assert sorted(round(run.net_m, 9) for run in runs) == [0.8, 0.8, 1.0, 1.0]
    assert all(run.length_m == pytest.approx(run.net_m + 2 * 0.012) for run in runs)


def test_long_point_at_one_inward_and_one_outward_corner():
    """An L: the short side from the foot's top to the inner corner is long by one face, at the inner corner."""
    runs = runs_of(((0, 0), (2, 0), (2, 1), (1, 1), (1, 2), (0, 2)))
    lengths = {round(run.net_m, 6): round(run.length_m, 6) for run in runs if round(run.net_m, 6) == 1.0}
    inner = [run for run in runs if run.length_m > run.net_m + 0.001]
    assert len(inner) == 2 and all(run.length_m == pytest.approx(1.012) for run in inner)
    assert lengths and {run.ends for run in runs} == {("mitre", "mitre")}


def test_long_point_at_a_blunt_inward_corner():
    """Corner of 225 degrees inside: the inner line runs on by face x tan(45 / 2)."""
    runs = runs_of(((0, 0), (2, 1), (4, 0), (4, 2), (0, 2)))
    half = (180 + 2 * 26.565051177 - 180) / 2
    slanted = [run for run in runs if run.net_m == pytest.approx(sqrt(5))]
    assert len(slanted) == 2
    assert all(run.length_m == pytest.approx(sqrt(5) + 0.012 * tan(radians(half)), abs=1e-6) for run in slanted)


def test_corners_on_a_straight_side_make_no_extra_run():
    assert len(runs_of(((0, 0), (0.7, 0), (1, 0), (1, 1), (0.4, 1), (0, 1)))) == 4


def test_side_with_neighbours_partway():
    """b1 beside b2 and the higher b3: the edge that goes on in line with a joint is butted square to it."""
    runs = {(run.bay, run.mark): run for run in runs_of(box(0, 0, 1, 2), box(1, 0, 1, 0.8), box(1, 0.8, 1, 0.7))}
    j1, j2, j3 = runs["b1", "J1"], runs["b1", "J2"], runs["b2", "J1"]
    assert (j1.shared_with, j1.ends) == ("b2", ("double mitre", "square"))
    assert (j2.shared_with, j2.ends) == ("b3", ("square", "square"))
    assert (j3.shared_with, j3.ends) == ("b3", ("double mitre", "double mitre"))
    upper = next(run for run in runs.values() if run.bay == "b1" and run.net_m == pytest.approx(0.5))
    assert upper.ends == ("square", "mitre")
    top = next(run for run in runs.values() if run.bay == "b3" and run.kind == "edge" and run.net_m == pytest.approx(1))
    assert top.ends == ("mitre", "mitre")


def test_four_bays_around_a_point():
    runs = runs_of(box(0, 0, 1, 1), box(1, 0, 1, 1), box(0, 1, 1, 1), box(1, 1, 1, 1))
    joints = [run for run in runs if run.kind == "joint"]
    assert len(joints) == 4 and {run.ends for run in joints} == {("double mitre", "double mitre")}
    assert sum(run.net_m for run in joints) == pytest.approx(4)
    assert sum(run.net_m for run in runs if run.kind == "edge") == pytest.approx(8)


def test_joint_that_turns_a_corner_has_plain_mitres_there():
    """b2 sits in the inner corner of an L: one joint, two runs, mitred to each other."""
    runs = runs_of(((0, 0), (2, 0), (2, 1), (1, 1), (1, 2), (0, 2)), box(1, 1, 1, 1))
    joints = [run for run in runs if run.kind == "joint"]
    assert [run.ends for run in joints] == [("double mitre", "mitre"), ("mitre", "double mitre")]
    assert all(run.length_m == pytest.approx(1 + 0.007) and run.net_m == pytest.approx(1) for run in joints)


@given(st.floats(0.4, 2.0), st.floats(0.4, 2.0), st.floats(0.5, 2.4), st.booleans())
@settings(max_examples=40, deadline=None)
def test_runs_are_the_track_of_the_shapes(first, second, height, window):
    holes = [box(first / 4, height / 4, first / 3, height / 3)] if window else []
    runs = runs_of(box(0, 0, first, height), box(first, 0, second, height), openings=holes)
    edges = sum(run.net_m for run in runs if run.kind == "edge")
    assert edges == pytest.approx(2 * (first + second + height) + (2 * (first + height) / 3 if window else 0))
    assert sum(run.net_m for run in runs if run.kind == "joint") == pytest.approx(height)
    assert all(run.length_m >= run.net_m - 1e-9 for run in runs)


@pytest.mark.parametrize(("track_m", "spacing_m", "count"), [
    (16.8, 0.0508, 331),  # trade notes: 16.8 m at 2 in are about 331 staples
    (6.0, 0.15, 40), (0.1 + 0.2, 0.1, 3), (6.001, 0.15, 41), (0.0, 0.15, 0), (0.01, 0.15, 1)])
def test_fixings_by_spacing(track_m, spacing_m, count):
    assert fixing_count(track_m, spacing_m) == count
