"""Bays too far apart to share a joint are left out beforehand: the shapes are the same as when all are asked."""

from __future__ import annotations

import pytest

from tracker.domain.geometry import bays
from tracker.domain.site import Bay, Plane, TapeSet


def grid(gap_m: float, columns: int = 4, rows: int = 3) -> Plane:
    """Bays in a grid, `gap_m` apart; every third one taped."""
    tape = TapeSet(1.0, 1.0, 0.8, 0.8, 1.2806)
    made = []
    for number in range(columns * rows):
        x, y = (number % columns) * (1.0 + gap_m), (number // columns) * (0.8 + gap_m)
        outline = ((x, y), (x + 1.0, y), (x + 1.0, y + 0.8), (x, y + 0.8))
        made.append(Bay("r", "p", f"b{number}", "ph", "bu", outline, tape=None if number % 3 else tape))
    return Plane("r", "p", "wall", ((0, 0), (9, 0), (9, 9), (0, 9)), "s", bays=tuple(made))


@pytest.mark.parametrize("gap_m", [0.0, 0.0015, 0.0021, 0.02, 0.0249, 0.026, 0.06, 0.5])
def test_leaving_out_far_bays_changes_no_shape(monkeypatch, gap_m):
    plane = grid(gap_m)
    faces = {bay.name: bays.BayFaces(0.012, 0.014) for bay in plane.bays}
    found = bays.bay_shapes(plane, faces)
    monkeypatch.setattr(bays, "_near", lambda one, other: True)
    assert found == bays.bay_shapes(plane, faces)
    assert any(edge.kind == "joint" for shape in found.values() for edge in shape.edges) == (gap_m < 0.025)


def test_area_alone_is_the_area_of_the_shape():
    plane = grid(0.0)
    faces = {bay.name: bays.BayFaces(0.012, 0.014) for bay in plane.bays}
    for bay in plane.bays:
        assert bays.bay_area_m2(bay.outline, plane.openings) == bays.bay_shapes(plane, faces)[bay.name].area_m2
