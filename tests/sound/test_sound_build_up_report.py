"""What is known of a build-up: which source is counted with, and how far the sources lie apart."""

import pytest

from tracker.domain.bands import BANDS_HZ
from tracker.domain.errors import Refused
from tracker.domain.sound.build_up_report import LABORATORIES, BuildUpLayers, build_up_report, change_note, changed

TESTED = (0.15, 0.60, 0.95, 1.00, 1.00, 0.95)


@pytest.mark.parametrize(
    ("layers", "basis"),
    [
        (BuildUpLayers(0.05, 48.0, given=TESTED), "test figures"),
        (BuildUpLayers(0.05, 48.0), "handbook"),
        (BuildUpLayers(0.05, 48.0, gap_m=0.05), "layers"),
    ],
)
def test_test_figures_come_before_handbooks_before_layers(layers, basis):
    found = build_up_report(layers)
    assert found.used.basis == basis and found.notes[0] == f"Counted: {found.used.source}."


def test_both_models_side_by_side(check):
    """acoustipy 0.1.0: 50 mm of 10 000 Pa s/m2 before 50 mm of air and on a wall, Miki and Delany-Bazley."""
    for gap in (0, 50):
        found = build_up_report(BuildUpLayers(0.05, None, 10_000.0, gap / 1000))
        for model, name in ((found.miki, "MIKI"), (found.delany_bazley, "DB")):
            expected = check(f"porous-{name}-10000-50-{gap}-diffuse")["expected"]
            assert model.alpha == pytest.approx(expected, abs=0.005)


def test_spread_of_50_mm_between_the_sources():
    """Twelve printed rows of 50 mm: 0.60 to 1.21 at 500 Hz; with both models, 0.07 to 0.30 at 125 Hz."""
    found = build_up_report(BuildUpLayers(0.05, 48.0))
    assert (found.low[2], found.high[2]) == (0.60, 1.21) and found.spread[2] == pytest.approx(0.61)
    assert found.high[0] == 0.30 and found.low[0] == pytest.approx(min(found.delany_bazley.alpha[0], 0.15))
    assert any("differ most at 500 Hz: 0.60 to 1.21" in note for note in found.notes)


def test_a_guessed_flow_resistivity_widens_the_spread():
    guessed = build_up_report(BuildUpLayers(0.05, 48.0, gap_m=0.05))
    known = build_up_report(BuildUpLayers(0.05, 48.0, guessed.resistivity.value, gap_m=0.05))
    assert guessed.used.alpha == pytest.approx(known.used.alpha)
    assert all(wide >= narrow for wide, narrow in zip(guessed.spread, known.spread, strict=True))
    assert guessed.spread[1] > known.spread[1] + 0.05
    assert any("factor 2" in note for note in guessed.notes) and not any("factor 2" in n for n in known.notes)


def test_ratings_of_a_printed_board(check):
    """ISO 11654 annex A.1, 0.60 and class C; ASTM C423 on Long's 50 mm board, 1.05."""
    row = check("iso11654-A1")
    found = build_up_report(BuildUpLayers(0.05, 48.0, given=(0.1, *row["inputs"]["alpha_p"])))
    assert (float(found.rating.weighted), found.rating.shape, found.rating.sound_class) == tuple(row["expected"])
    long50 = check("nrc-long50")
    report = build_up_report(BuildUpLayers(0.05, 48.0, given=(0.22, *long50["inputs"]["alpha"], 1.05)))
    assert float(report.nrc) == long50["expected"][1]


def test_iso12999_2_U(check):
    """ISO 12999-2:2020, table 4: one board in several laboratories."""
    row = check("iso12999-2-U")
    printed = dict(zip(row["inputs"]["freq"], row["expected"], strict=True))
    assert tuple(printed[hz] for hz in BANDS_HZ) == LABORATORIES
    assert any("0.08 to 0.17" in note for note in build_up_report(BuildUpLayers(0.05, 48.0)).notes)
    assert not any("laborator" in note for note in build_up_report(BuildUpLayers(0.05, 48.0, gap_m=0.05)).notes)


def test_a_model_beyond_its_range_is_named():
    """Miki 1990 holds for 0.01 < f/sigma: 125 Hz over 20 000 is below."""
    found = build_up_report(BuildUpLayers(0.05, 48.0, 20_000.0))
    assert any("Miki was not fitted" in note and "125 Hz" in note for note in found.notes)


def test_a_density_without_flow_resistivity_still_has_its_handbook_row():
    found = build_up_report(BuildUpLayers(0.05, 16.0))
    assert found.used.basis == "handbook" and found.miki is None and found.resistivity is None


def test_a_tight_fabric_before_a_printed_board_is_warned_of():
    """Worked out: 400 Pa s/m takes 0.03 to 0.05 off at 2 and 4 kHz, 100 Pa s/m nothing."""
    tight, open_weave = (build_up_report(BuildUpLayers(0.05, 48.0, fabric_pa_s_m=r)) for r in (400.0, 100.0))
    assert any("without the fabric" in note for note in tight.notes)
    assert not any("fabric" in note for note in open_weave.notes)
    layers = build_up_report(BuildUpLayers(0.05, None, 20_000.0, 0.12, 400.0))
    assert layers.used.alpha != build_up_report(BuildUpLayers(0.05, None, 20_000.0, 0.12)).used.alpha


def test_test_figures_hold_only_for_what_was_tested():
    layers = BuildUpLayers(0.05, 48.0, given=TESTED)
    assert changed(layers).given == changed(layers, 0.05, 0.0).given == TESTED
    thicker, off_the_wall = changed(layers, thickness_m=0.1), changed(layers, gap_m=0.05)
    assert thicker.given is None and thicker.thickness_m == 0.1 and off_the_wall.given is None
    before, after = build_up_report(layers).used, build_up_report(off_the_wall).used
    assert "Part of the difference" in change_note(before, after)
    assert change_note(after, after) is None


@pytest.mark.parametrize(("thickness", "gap"), [(0.0, None), (None, -0.01)])
def test_a_change_that_makes_no_sense_is_refused(thickness, gap):
    with pytest.raises(Refused, match="thickness must be above 0"):
        changed(BuildUpLayers(0.05, 48.0), thickness, gap)
