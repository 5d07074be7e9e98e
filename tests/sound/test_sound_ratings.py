"""Ratings against ISO 11654 annex A and printed boards."""

from decimal import Decimal

import pytest

from tracker.domain.errors import Refused
from tracker.domain.sound.ratings import noise_reduction_coefficient, practical, rating


def test_iso11654_A1(check):
    """ISO 11654:1997 annex A.1: 0.60, no letter, class C."""
    row = check("iso11654-A1")
    found = rating(row["inputs"]["alpha_p"])
    assert [float(found.weighted), found.shape, found.sound_class] == row["expected"]


def test_iso11654_A2():
    """ISO 11654:1997 annex A.2: 0.60(M)."""
    assert str(rating([0.35, 1.00, 0.65, 0.60, 0.55])) == "0.60(M)"


def test_iso11654_thirds(check):
    """Thirds to practical coefficients to 0.60(M)."""
    row = check("iso11654-thirds")
    thirds = row["inputs"]["alpha_s"]
    octaves = [practical(thirds[at : at + 3]) for at in range(0, 15, 3)]
    found = rating(octaves)
    assert [[float(a) for a in octaves], float(found.weighted), found.shape] == row["expected"]


def test_iso11654_round(check):
    """ISO 11654, 4.1: 0.92 goes to 0.90, over 1.00 to 1.00."""
    row = check("iso11654-round")
    assert [float(practical([mean] * 3)) for mean in row["inputs"]["means"]] == row["expected"]


def test_iso_12999_2_example_weighted_only():
    """ISO 12999-2 example: 0.70; the MH it prints does not follow from its own coefficients by the 0.25 rule."""
    found = rating([0.50, 0.65, 0.70, 0.85, 0.80])
    assert (found.weighted, found.shape) == (Decimal("0.70"), "")


@pytest.mark.parametrize(
    ("weighted", "sound_class"),
    [
        (1.0, "A"),
        (0.9, "A"),
        (0.85, "B"),
        (0.8, "B"),
        (0.75, "C"),
        (0.6, "C"),
        (0.55, "D"),
        (0.3, "D"),
        (0.25, "E"),
        (0.15, "E"),
        (0.1, "not classified"),
        (0.0, "not classified"),
    ],
)
def test_classes(weighted, sound_class):
    """ISO 11654:1997 annex B: a curve of the reference's shape, so that the weighted coefficient is its height."""
    curve = [max(0.0, round(weighted - drop, 2)) for drop in (0.2, 0.0, 0.0, 0.0, 0.1)]
    found = rating(curve)
    assert (float(found.weighted), found.sound_class) == (weighted, sound_class)


def test_all_letters():
    """By the rule: 0.25 over the shifted curve at 250 Hz, 500 Hz and 4 kHz, while 1 and 2 kHz hold it down."""
    assert rating([0.90, 1.00, 0.30, 0.30, 1.00]).shape == "LMH"


def test_a_letter_at_exactly_25_hundredths_over():
    """By the rule, 0.25 or more: 0.85 against the curve's 0.60 at 500 Hz, where binary fractions fall short."""
    assert str(rating([0.40, 0.85, 0.60, 0.60, 0.50])) == "0.60(M)"
    assert str(rating([0.40, 0.80, 0.60, 0.60, 0.50])) == "0.60"


def test_unfavourable_deviations_of_exactly_a_tenth():
    """By the rule, 0.10 at most: 0.10 under the curve holds it at 0.60, 0.15 lets it down."""
    assert str(rating([0.30, 0.60, 0.60, 0.60, 0.50])) == "0.60"
    assert str(rating([0.25, 0.60, 0.60, 0.60, 0.50])) == "0.55"


@pytest.mark.parametrize("name", ["nrc-1", "nrc-long50"])
def test_nrc(check, name):
    """ASTM C423: mean of four octaves to the nearest 0.05 (acoustic-toolbox leaves it unrounded); may exceed 1."""
    row = check(name)
    assert float(noise_reduction_coefficient(row["inputs"]["alpha"])) == row["expected"][1]


def test_nrc_halves_go_up():
    """A mean of 0.975 gives 1.00, where binary fractions and halves to even would give 0.95 or 1.00 by chance."""
    assert noise_reduction_coefficient([0.95, 0.95, 1.00, 1.00]) == Decimal("1.00")
    assert noise_reduction_coefficient([0.10, 0.10, 0.15, 0.15]) == Decimal("0.15")


@pytest.mark.parametrize("rate", [practical, rating, noise_reduction_coefficient])
def test_the_wrong_number_of_bands_is_refused(rate):
    with pytest.raises(Refused, match="give"):
        rate([0.5, 0.5])
