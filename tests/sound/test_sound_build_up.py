"""Which figure a build-up is given: the person's, a handbook's, or the layers'."""

import pytest

from tracker.domain.errors import Refused
from tracker.domain.sound.build_up import build_up_alpha
from tracker.domain.sound.layers import Layers, random_alpha


def test_the_persons_test_figures_come_first():
    given = (0.15, 0.60, 0.95, 1.00, 1.00, 0.95)
    found = build_up_alpha(0.05, 48, 14_000, 0.0, given)
    assert found.alpha == given
    assert found.source == "the site's own test figures"
    assert found.low[0] == 0.15 and found.high[2] == 1.21  # beside them, what handbooks print for 50 mm


def test_one_row_nearest_in_density():
    """Vorlander 2008, annex: stone wool of 80 kg/m3, nearest to 75."""
    found = build_up_alpha(0.05, 75, None, 0.0)
    assert found.alpha == (0.22, 0.60, 0.92, 0.90, 0.88, 0.88)
    assert "80 kg/m3" in found.source and "Vorlander" in found.source


def test_rows_as_near_are_averaged():
    """50 mm of 48 kg/m3: Cox .17 .55 .80 .90 .85 .80, Bies .30 .80 1 1 1 1, Long .22 .82 1.21 1.10 1.02 1.05."""
    found = build_up_alpha(0.05, 48, None, 0.0)
    assert found.alpha == pytest.approx((0.230, 0.723, 1.003, 1.000, 0.957, 0.950), abs=0.0006)
    assert found.source == "mean of 3 handbook rows of 50 mm: Cox and D'Antonio; Bies; Long"


def test_a_row_printed_for_a_range_is_as_near_as_one_for_the_very_density():
    """40 kg/m3: Cox 24 to 48 .17 .55, Vorlander 40 .23 .59 and glued 40 .15 .70."""
    found = build_up_alpha(0.05, 40, None, 0.0)
    assert found.alpha[:2] == pytest.approx((0.183, 0.613), abs=0.0006)
    assert found.source == "mean of 3 handbook rows of 50 mm: Cox and D'Antonio; Vorlander"


def test_two_inches_are_50_mm():
    assert build_up_alpha(2 * 0.0254, 48, None, 0.0).alpha == build_up_alpha(0.05, 48, None, 0.0).alpha


def test_the_spread_is_that_of_the_thickness():
    """Twelve printed rows of 50 mm on a wall, 16 to 100 kg/m3, and a lighter one: .15 to .30 at 125 Hz, to 1.21."""
    found = build_up_alpha(0.05, None, None, 0.0)
    assert (found.low[0], found.high[0]) == (0.15, 0.30)
    assert (found.low[2], found.high[2]) == (0.60, 1.21)
    assert "mean of 13" in found.source


def test_no_row_has_a_50_mm_gap_so_the_layers_are_worked_out():
    """Miki, 10 000 Pa s/m2, 50 mm and 50 mm air, acoustipy 0.1.0."""
    found = build_up_alpha(0.05, 48, 10_000, 0.05)
    assert found.alpha == pytest.approx((0.189, 0.462, 0.783, 0.923, 0.925, 0.968), abs=0.005)
    assert "Miki" in found.source and "as given" in found.source


def test_a_resistivity_from_density_has_a_spread_of_twice_and_half():
    found = build_up_alpha(0.05, 48, None, 0.05)
    half = random_alpha(Layers(0.05, found_value(48) / 2, 0.05)).alpha
    assert found.low[0] < found.alpha[0] < found.high[0]
    assert found.low[0] == pytest.approx(min(half[0], found.alpha[0]))
    assert "factor 2" in found.source and "beyond the model's range at 125 Hz" in found.source


def found_value(density):
    """Hopkins, Sound Insulation, 2007, equation 1.165."""
    return 780 * density**1.59 / 4.75**2


def test_a_density_far_from_every_row_goes_to_the_layers():
    """30 mm is printed for 22 and 100 kg/m3 only: 45 is over twice the one and under half the other."""
    assert "layers" in build_up_alpha(0.030, 45, None, 0.0).source
    assert "22 kg/m3" in build_up_alpha(0.030, 40, None, 0.0).source
    assert "100 kg/m3" in build_up_alpha(0.030, 60, None, 0.0).source


def test_a_row_with_a_gap_serves_the_same_gap_only():
    """Cox and D'Antonio: 25 mm before 25 mm of air."""
    assert build_up_alpha(0.025, 32, None, 0.025).alpha == (0.15, 0.55, 0.80, 0.90, 0.85, 0.80)
    assert "layers" in build_up_alpha(0.025, 32, None, 0.05).source


def test_a_board_without_figures_is_refused_with_the_remedy():
    with pytest.raises(Refused, match="150 mm with 0 mm air.*density, flow_resistivity or alpha"):
        build_up_alpha(0.15, None, None, 0.0)
