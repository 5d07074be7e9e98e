"""The sum behind a figure: rows add up to the state's area, and the decay follows from them."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tracker.domain.bands import BANDS_HZ
from tracker.domain.errors import Refused
from tracker.domain.site import Absorber
from tracker.domain.sound.explain import explain
from tracker.domain.sound.rooms import room_sound
from tracker.domain.sound.surfaces import BaySound, Patch, PlaneSound, RoomSurfaces

PHASES = ("one", "two")
bands = st.tuples(*[st.floats(0.01, 1.3)] * 6)


def annex_e():
    """EN 12354-6:2003 annex E, case 3: a long wall of which nine tenths are to be lined."""

    def flat(alpha):
        return (alpha,) * 6

    lining = BaySound("long/lining", "one", 9.81, flat(0.85), flat(0.04), source="annex E")
    planes = (
        PlaneSound("floor", "floor", None, (Patch(12.39, flat(0.05), "linoleum", "annex E"),)),
        PlaneSound("ceiling", "ceiling", None, (Patch(12.39, flat(0.02), "concrete", "annex E"),)),
        PlaneSound("long", "wall", "y", (Patch(10.90, flat(0.04), "plaster", "annex E"),), (lining,)),
        PlaneSound("rest", "wall", "y", (Patch(24.0, flat(0.04), "plaster", "annex E"),)),
    )
    return RoomSurfaces("annex E", 29.75, 24.333, 50.0, planes)


def test_en12354_6_row_by_row(check):
    """EN 12354-6:2003 annex E: 12.39 m2 at 0.05 and 0.02, 34.9 m2 at 0.04; the lining 9.81 at 0.85, 10.21 m2."""
    found = explain(annex_e(), 1000, PHASES)
    products = [(row.kind, round(row.area_m2, 2), row.coefficient, round(row.product_m2, 4)) for row in found.rows]
    assert products == [
        ("surface", 12.39, 0.05, 0.6195),
        ("surface", 12.39, 0.02, 0.2478),
        ("surface", 10.90, 0.04, 0.436),
        ("surface", 24.0, 0.04, 0.96),
        ("covered", -9.81, 0.04, -0.3924),
        ("bay", 9.81, 0.85, 8.3385),
    ]
    assert found.total_m2 == pytest.approx(check("en12354-6-case3")["expected"][0], abs=0.005)
    assert round(found.sabine_s, 1) == check("en12354-6-case3")["expected"][1]
    assert found.constant_s_per_m == pytest.approx(check("k-345.6")["expected"], abs=1e-5)
    assert explain(annex_e(), 1000, None).total_m2 == pytest.approx(check("en12354-6-case1")["expected"][0], abs=0.005)


def test_the_sentence_shows_the_sum():
    sentence = explain(annex_e(), 1000, PHASES).sentence
    assert "0.1599 x 29.8 / (10.21 + 0.1" in sentence and "0.46 s" in sentence


def test_rows_name_surface_and_source():
    rows = explain(annex_e(), 500, PHASES).rows
    assert rows[0].name == "floor: linoleum" and rows[0].source == "annex E"
    assert rows[4].name == "long/lining" and "replaces what it covers" in rows[4].source


def test_a_capped_coefficient_shows_what_was_published():
    loud = BaySound("w/b", "one", 2.0, (1.2,) * 6, (0.1,) * 6)
    den = RoomSurfaces("den", 45.0, 20.0, 50.0, (PlaneSound("w", "wall", "x", (Patch(60.0, (0.1,) * 6),), (loud,)),))
    capped, free = (explain(den, 500, ("one",), cap).rows[-1] for cap in (True, False))
    assert (capped.coefficient, capped.published) == (1.0, 1.2)
    assert (free.coefficient, free.product_m2) == (1.2, pytest.approx(2.4))


@settings(max_examples=30, deadline=None)
@given(
    st.lists(st.tuples(bands, st.floats(0.1, 9), st.floats(0, 1), st.sampled_from(PHASES)), max_size=6),
    bands,
    st.sampled_from(BANDS_HZ),
    st.booleans(),
)
def test_the_rows_add_up_to_the_states_area(bays, seat, hz, cap):
    """By definition of the sum, for bare, now, planned and each phase, with a cloud and free absorbers."""
    wall = (0.1, 0.2, 0.3, 0.4, 0.5, 1.1)
    made = [BaySound(f"w/{n}", phase, m2, new, wall, 1, up) for n, (new, m2, up, phase) in enumerate(bays)]
    hung = [BaySound("c/1", "two", 1.5, seat, seat, 2, 0.4)]
    planes = (
        PlaneSound("w", "wall", "x", (Patch(80.0, wall),), tuple(made)),
        PlaneSound("c", "cloud", None, (Patch(1.5, seat),), tuple(hung)),
    )
    den = RoomSurfaces("den", 60.0, 20.0, 50.0, planes, (Absorber("chair", seat, 3),))
    sound, band = room_sound(den, PHASES, cap), BANDS_HZ.index(hz)
    for done, state in ((None, sound.bare), ((), sound.now), (PHASES, sound.planned)):
        found = explain(den, hz, done, cap)
        assert found.total_m2 == state.area_m2[band]
        assert math.fsum(row.product_m2 for row in found.rows) == pytest.approx(found.total_m2, rel=1e-12, abs=1e-9)
        assert found.sabine_s == state.sabine_s[band]
        by_hand = found.constant_s_per_m * 60.0 / (found.total_m2 + found.air_m2)
        assert found.sabine_s == pytest.approx(by_hand, rel=1e-12)


def test_another_band_is_refused():
    with pytest.raises(Refused, match="63 Hz.*125, 250, 500"):
        explain(annex_e(), 63)
