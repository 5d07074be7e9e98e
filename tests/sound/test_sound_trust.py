"""Why a span is wide, and how many digits a figure deserves."""

import pytest

from tracker.domain.sound.calibration import calibrate, calibrated
from tracker.domain.sound.measured import Measured
from tracker.domain.sound.surfaces import BaySound, Patch, PlaneSound, RoomSurfaces
from tracker.domain.sound.trust import area_digits, decay_digits, digits, trust

PLASTER = (0.15, 0.10, 0.06, 0.04, 0.04, 0.05)
EVEN = (0.3,) * 6


def box(sides=(5.0, 3.6, 2.5), walls=PLASTER, floor=PLASTER, ceiling=PLASTER, bays=(), axis="x"):
    x, y, z = sides
    planes = (
        PlaneSound("west", "wall", axis, (Patch(y * z, walls),)),
        PlaneSound("east", "wall", axis, (Patch(y * z, walls),)),
        PlaneSound("north", "wall", "y", (Patch(x * z, walls),), tuple(bays)),
        PlaneSound("south", "wall", "y", (Patch(x * z, walls),)),
        PlaneSound("lid", "ceiling", None, (Patch(x * y, ceiling),)),
        PlaneSound("ground", "floor", None, (Patch(x * y, floor),)),
    )
    return RoomSurfaces("box", x * y * z, 20.0, 50.0, planes)


def test_an_even_room_agrees():
    """By definition the models differ only by Sabine over Eyring: 0.3 / -ln(0.7) = 0.84."""
    found = trust(box(walls=EVEN, floor=EVEN, ceiling=EVEN), None)
    assert found.ratio[0] == pytest.approx(1 / 0.841, rel=0.01)
    assert found.sentence.startswith("The formulas agree within 19 %")
    assert not any("EN 12354-6" in reason for reason in found.reasons)


def test_an_absorbent_ceiling_over_a_bare_floor():
    """EN 12354-6:2003, 4.6: opposite coefficients differ by less than 3; 0.6 over 0.1 is 6 times."""
    found = trust(box(ceiling=(0.6,) * 6, floor=(0.1,) * 6, walls=(0.1,) * 6), None)
    assert "the ceiling absorbs 6 times as much per m2 as the floor on the same axis" in " ".join(found.reasons)
    assert "EN 12354-6, 4.6" in found.sentence + " ".join(found.reasons)
    assert found.sentence.startswith("The span is wide, ") and found.sentence.count(".") >= 1


def test_a_wall_treated_on_one_side_only():
    """10 of 12.5 m2 of one wall at 0.85 against 0.04 opposite: (10 x 0.85 + 2.5 x 0.04) / 12.5 = 0.69, 17 times."""
    lining = BaySound("north/one", "walls", 10.0, (0.85,) * 6, (0.04,) * 6)
    bare = (0.04,) * 6
    den = box(walls=bare, floor=bare, ceiling=bare, bays=[lining])
    assert any("north absorbs 17 times as much per m2 as south" in reason for reason in trust(den, ("walls",)).reasons)
    assert not any("same axis" in reason for reason in trust(den, ()).reasons)


def test_a_small_plane_does_not_weigh():
    """A door's return of 1 m2 beside walls of 9 m2 says nothing about the room."""
    den = box()
    sill = PlaneSound("sill", "wall", "x", (Patch(1.0, (0.9,) * 6),))
    with_sill = RoomSurfaces("box", 45.0, 20.0, 50.0, (*den.planes, sill))
    assert not any("sill" in reason for reason in trust(with_sill, None).reasons)


def test_a_measured_room_says_so():
    """Nothing is looked up for its bare surfaces, and the models meet at the measurement."""
    den = box(floor=(0.02, 0.04, 0.08, 0.20, 0.35, 0.40))
    visit = Measured("visit", (0.6, 0.8, 1.0, 0.9, 0.7, 0.6), 20.0, 50.0, 6)
    found = trust(calibrated(den, calibrate(den, visit)), None)
    assert found.sentence.startswith("The formulas are tied to a measurement and agree within 0 %")
    assert not any("handbooks" in reason for reason in found.reasons)
    assert any("handbooks" in reason for reason in trust(den, None).reasons)


def test_a_corridor_breaks_the_proportions():
    """EN 12354-6:2003, 4.6: no dimension over 5 times another; the sides follow from the areas, 14 to 2 m."""
    found = trust(box(sides=(14.0, 2.0, 2.5)), None)
    assert any("7.0 times as long" in reason for reason in found.reasons)
    assert not any("narrow" in reason for reason in trust(box(), None).reasons)


def test_bands_below_the_crossover_are_named():
    """Schroeder: 2000 (1.4/45)^(1/2) is about 350 Hz with bare plaster all round."""
    found = trust(box(), None)
    assert any("125, 250 Hz" in reason and "single modes" in reason for reason in found.reasons)


def test_coefficients_over_1_few_boards_and_missing_axes():
    board = BaySound("north/one", "walls", 2.0, (0.2, 0.8, 1.2, 1.1, 1.0, 1.0), PLASTER)
    den = box(bays=[board])
    done = " ".join(trust(den, ("walls",)).reasons)
    assert "counted as 1" in done and "boards on only 3 % of the surface" in done
    assert "counted as published" in " ".join(trust(den, ("walls",), cap=False).reasons)
    assert "no boards are up" in " ".join(trust(den, ()).reasons)
    assert "axis" in " ".join(trust(box(axis=None), ()).reasons)


@pytest.mark.parametrize(
    ("uncertainty", "places"),
    [(0.119, 2), (0.367, 1), (0.027, 3), (2.0, 1), (0.96, 1), (0.0, 3), (1e-9, 3), (35.0, 0), (0.354, 2), (0.356, 1)],
)
def test_digits(uncertainty, places):
    """Review of Particle Physics, from memory: 0.827 +- 0.119 is 0.83, +- 0.367 is 0.8; JCGM 100:2008, 7.2.6: 10.057 62
    ohm with 27 milliohm is 10.058."""
    assert digits(uncertainty) == places


def test_digits_of_decay_times_and_areas():
    """By the same rule half a span of 0.41 s gives one place and 0.04 s two; never finer than 0.01 s and 0.1 m2."""
    assert decay_digits(0.38, 1.20) == 1
    assert decay_digits(0.64, 0.72) == decay_digits(0.400, 0.401) == 2
    assert area_digits(25.7, 35.4) == 0 and area_digits(27.7, 30.4) == 1 and area_digits(9.2, 9.3) == 1
