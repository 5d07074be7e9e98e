"""The catalogue: printed rows as printed, misprints left out, a source for each."""

import pytest

from tracker.domain.sound.catalogue import absorber_rows, bare_surfaces, boards, surface_kinds, surface_notes


@pytest.mark.parametrize(
    ("name", "alpha"),
    [
        ("plasterboard on studs", (0.29, 0.10, 0.05, 0.04, 0.07, 0.09)),
        ("plasterboard on battens, filled", (0.30, 0.12, 0.08, 0.06, 0.06, 0.05)),
        ("double plasterboard on steel studs", (0.15, 0.10, 0.06, 0.04, 0.04, 0.05)),
        ("painted brick", (0.01, 0.01, 0.02, 0.02, 0.02, 0.03)),
        ("boards on joists", (0.15, 0.20, 0.10, 0.10, 0.10, 0.10)),
        ("concrete floor", (0.01, 0.01, 0.015, 0.02, 0.02, 0.02)),
        ("solid wooden door", (0.14, 0.10, 0.06, 0.08, 0.10, 0.10)),
        ("heavy carpet on felt", (0.08, 0.24, 0.57, 0.69, 0.71, 0.73)),
        ("medium curtain in folds", (0.07, 0.31, 0.49, 0.75, 0.70, 0.60)),
    ],
)
def test_rows_as_printed(name, alpha):
    """Cox and D'Antonio 2017, appendix A; Vorlander 2008, annex."""
    assert bare_surfaces()[name].alpha == alpha


@pytest.mark.parametrize(
    ("name", "band", "right"),
    [
        ("plaster on lath", 0, 0.14),
        ("painted concrete block", 0, 0.10),
        ("window glass", 0, 0.35),
        ("heavy carpet on concrete", 3, 0.37),
        ("coarse concrete block", 2, 0.31),
        ("concrete floor", 2, 0.015),
    ],
)
def test_misprints_are_not_taken(name, band, right):
    """Printed 0.014, 0.01, 0.55, 0.57, 0.51 and 0.05 in one book each, against several others."""
    assert bare_surfaces()[name].alpha[band] == right


def test_glass_wool_100_mm_is_not_a_tenth():
    """Arau 1999 prints 0.1 at 500 Hz for 1.0."""
    row = next(row for row in boards() if row.name.startswith("glass wool 100 mm, 22"))
    assert row.alpha[2] == 1.0


def test_every_surface_has_six_fractions_a_kind_and_a_source():
    assert set(surface_kinds()) == set(bare_surfaces()) >= set(surface_notes())
    for surface in bare_surfaces().values():
        assert len(surface.alpha) == 6 and all(0 <= a <= 1 for a in surface.alpha)
        assert any(book in surface.source for book in ("Cox", "Vorlander", "from memory")), surface.name


def test_rows_from_memory_say_so():
    remembered = [s.name for s in bare_surfaces().values() if "from memory" in s.source]
    assert remembered == ["light curtain against the wall"]


def test_every_board_has_thickness_and_source():
    assert len({row.name for row in boards()}) == len(boards()) > 40
    for row in boards():
        assert len(row.alpha) == 6 and all(0 < a < 1.3 for a in row.alpha)
        assert 0.02 <= row.thickness_m <= 0.1 and row.air_gap_m >= 0 and row.source


def test_persons():
    """Bies, Hansen and Howard, table 6.2."""
    seated = absorber_rows()[0]
    assert seated.absorber.area_m2 == (0.23, 0.37, 0.44, 0.45, 0.45, 0.45)
    assert "table 6.2" in seated.source


def test_spread_of_50_mm_on_a_wall():
    """The published spread of twelve rows of 16 to 100 kg/m3: means .214 .655 .917 .937 .938 .940."""
    rows = [
        row.alpha
        for row in boards()
        if row.thickness_m == 0.05 and row.air_gap_m == 0 and row.density_kg_m3 != (22.0, 22.0)
    ]
    assert len(rows) == 12
    means = [sum(column) / 12 for column in zip(*rows, strict=True)]
    assert means == pytest.approx([0.214, 0.655, 0.917, 0.937, 0.938, 0.940], abs=0.0006)
