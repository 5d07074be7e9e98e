"""Decay models against printed examples, EN 12354-6 annex E, and two libraries."""

import json
import math
from pathlib import Path

import pytest

from tracker.domain.sound.decay import (
    arau_puchades_s,
    area_for_m2,
    crossover_hz,
    eyring_s,
    fitzroy_s,
    mean_free_path_m,
    sabine_constant,
    sabine_s,
)

FOOT_M = 0.3048
BOX_M = (8.0, 5.0, 3.0)
BOXES = json.loads((Path(__file__).parents[1] / "data" / "sound_axes.json").read_text())["boxes"]


def speed_for(constant: float) -> float:
    """The speed of sound at which 24 ln(10)/c is the rounded constant a book uses."""
    return 24 * math.log(10) / constant


def axes_of(sides, alphas):
    """Pairs of opposite surfaces of a box, x being the pair along its length."""
    length, width, height = sides
    facing = (2 * width * height, 2 * length * height, 2 * length * width)
    return [(area, area * alpha) for area, alpha in zip(facing, alphas, strict=True)]


@pytest.mark.parametrize(("name", "speed"), [("k-343", 343.0), ("k-343.2", 343.2), ("k-345.6", 345.6)])
def test_sabine_constant(check, name, speed):
    """24 ln(10)/c; EN 12354-6 takes 345.6 m/s for its 0.16."""
    assert sabine_constant(speed) == pytest.approx(check(name)["expected"], abs=1e-12)


def test_k_imperial(check):
    """Handbooks print 0.049 for feet."""
    assert sabine_constant(343.0) * FOOT_M == pytest.approx(check("k-imperial")["expected"], abs=1e-6)


@pytest.mark.parametrize(("decay_s", "air_per_m"), [(0.25, 0.0006), (0.8, 0.0058), (3.0, 0.0)])
def test_area_for_a_decay_time(decay_s, air_per_m):
    """EN 12354-6:2003, equation 5, by hand: 55.26 V/(c T) - 4mV; and Sabine's time of that area is the one given."""
    area = area_for_m2(40.0, decay_s, air_per_m, 343.0)
    assert area == pytest.approx(55.26 * 40.0 / (343.0 * decay_s) - 160.0 * air_per_m, rel=1e-4)
    assert sabine_s(40.0, area, air_per_m, 343.0) == pytest.approx(decay_s)


def everest_bare(check):
    surfaces = check("everest-ex1")["inputs"]["surfaces"]
    return [sum(s["S_ft2"] * s["alpha"][band] for s in surfaces) for band in range(6)]


def everest_times(sabins_ft2):
    volume_m3, speed = 3728 * FOOT_M**3, speed_for(0.049 / FOOT_M)
    return [sabine_s(volume_m3, sabins * FOOT_M**2, 0.0, speed) for sabins in sabins_ft2]


def test_everest_ex1(check):
    """Everest, Master Handbook of Acoustics, example 1, printed to two decimals."""
    assert everest_times(everest_bare(check)) == pytest.approx(check("everest-ex1")["expected"], abs=0.006)


def test_everest_ex2_as_printed(check):
    """Everest, example 2: the book adds the tile and forgets the gypsum under it."""
    row = check("everest-ex2")
    tile = row["inputs"]["add"]
    areas = [a + tile["S_ft2"] * b for a, b in zip(everest_bare(check), tile["alpha"], strict=True)]
    assert areas == pytest.approx(row["inputs"]["printed_total_sabins"], abs=0.1)
    assert everest_times(areas) == pytest.approx(row["expected"], abs=0.006)


def test_en12354_6_case1(check):
    """EN 12354-6:2003 annex E, case 1, 1 kHz, without and with air (m = 0.001, 2.0 s printed)."""
    row = check("en12354-6-case1")
    area = sum(m2 * alpha for m2, alpha in row["inputs"]["surfaces"])
    assert area == pytest.approx(row["expected"][0], abs=0.005)
    assert round(sabine_s(29.75, area, 0.0, 345.6), 1) == row["expected"][1]
    assert round(sabine_s(29.75, area, 1.0e-3, 345.6), 1) == 2.0


def test_en12354_6_case2(check):
    """EN 12354-6:2003 annex E, case 2, in a public transcription: six hard objects of V^(2/3) each.

    2.77 m2 of objects, a fraction of 0.072 of the volume, 5.03 m2 in all and 0.9 s.
    """
    objects_m3 = (0.15, 0.60, 0.05, 0.05, 0.65, 0.65)
    objects_m2 = sum(m3 ** (2 / 3) for m3 in objects_m3)
    fraction = sum(objects_m3) / 29.75
    assert objects_m2 == pytest.approx(2.77, abs=0.005) and fraction == pytest.approx(0.072, abs=0.0005)
    bare = sum(m2 * alpha for m2, alpha in check("en12354-6-case1")["inputs"]["surfaces"])
    assert bare + objects_m2 == pytest.approx(5.03, abs=0.005)
    assert round(sabine_s(29.75 * (1 - fraction), bare + objects_m2, 0.0, 345.6), 1) == 0.9


def test_en12354_6_case3(check):
    """EN 12354-6:2003 annex E, case 3: a wall lined to nine tenths, the covered part taken off; 10.21 m2, 0.5 s."""
    surfaces = check("en12354-6-case1")["inputs"]["surfaces"]
    wall = check("en12354-6-case3")["inputs"]["wall"]
    walls = [*surfaces[:2], surfaces[3], *surfaces[4:], *wall]
    area = sum(m2 * alpha for m2, alpha in walls)
    printed_m2, printed_s = check("en12354-6-case3")["expected"]
    assert area == pytest.approx(printed_m2, abs=0.005)
    assert round(sabine_s(29.75, area, 0.0, 345.6), 1) == printed_s


def test_lecture_40x30x20ft(check):
    """Lecture problem: 0.05 V/A in feet, mean coefficient 0.15."""
    found = sabine_s(24000 * FOOT_M**3, 0.15 * 5200 * FOOT_M**2, 0.0, speed_for(0.05 / FOOT_M))
    assert found == pytest.approx(check("lecture-40x30x20ft")["expected"], abs=0.005)


def test_lecture_15x8x3m(check):
    """Lecture problem: constant 0.162, mean coefficient 0.3."""
    found = [sabine_s(360, 0.3 * 378, 0, speed_for(0.162)), eyring_s(360, 378, 0.3 * 378, 0, speed_for(0.162))]
    assert found == pytest.approx(check("lecture-15x8x3m")["expected"], abs=0.005)


def test_rt_8x5x3(check):
    """Closed form; pyroomacoustics 0.10.1 rt60_sabine and rt60_eyring give the same."""
    found = [sabine_s(120, 0.2 * 158, 0, 343), eyring_s(120, 158, 0.2 * 158, 0, 343)]
    assert found == pytest.approx(check("rt-8x5x3")["expected"], abs=1e-9)


def test_sabine_air(check):
    """Sabine with air, pyroomacoustics 0.10.1 rt60_sabine."""
    assert sabine_s(120, 31.6, 1e-3, 343) == pytest.approx(check("sabine-air")["expected"], abs=1e-9)


def test_eyring_air_sign(check):
    """Eyring with air by definition: air shortens; a reference library with the wrong sign gives 0.5559."""
    assert eyring_s(120, 158, 31.6, 1e-3, 343) == pytest.approx(check("eyring-air-sign")["expected"], abs=1e-9)


def test_rt_alpha_gt1(check):
    """Sabine takes coefficients over 1; Eyring has no value there."""
    found = [sabine_s(120, alpha * 158, 0, 343) for alpha in (1.0, 1.15)]
    assert found == pytest.approx(check("rt-alpha-gt1")["expected"], abs=1e-6)
    assert eyring_s(120, 158, 158, 1e-3, 343) is None
    assert eyring_s(120, 158, 170, 1e-3, 343) is None


def test_rt_arau_8x5x3(check):
    """Arau-Puchades, coefficients 0.5, 0.1, 0.1 along x, y, z; Fitzroy 0.9743944340 in the same public tests."""
    axes = axes_of(BOX_M, (0.5, 0.1, 0.1))
    assert arau_puchades_s(120, axes, 0, 343) == pytest.approx(check("rt-arau-8x5x3")["expected"], abs=1e-9)
    assert fitzroy_s(120, axes, 0, 343) == pytest.approx(0.9743944340, abs=1e-9)


@pytest.mark.parametrize(
    ("model", "printed"),
    [
        ("sabine", [0.74, 0.47, 0.37, 0.31, 0.30, 0.30]),
        ("arau", [0.79, 0.51, 0.38, 0.29, 0.26, 0.27]),
        ("fitzroy", [1.02, 0.79, 0.66, 0.57, 0.51, 0.51]),
    ],
)
def test_rt_10x7x3_5_uneven(check, model, printed):
    """A floor and ceiling more absorbent than the walls, printed in a public handbook of room acoustics."""
    given = check("rt-10x7x3.5-sabine")["inputs"]
    if model != "arau":
        assert check(f"rt-10x7x3.5-{model}")["expected"] == printed
    for band, expected in enumerate(printed):
        axes = axes_of(given["dims"], [given[f"alpha_{axis}"][band] for axis in "xyz"])
        found = {
            "sabine": sabine_s(245, sum(area for _, area in axes), 0, 343),
            "arau": arau_puchades_s(245, axes, 0, 343),
            "fitzroy": fitzroy_s(245, axes, 0, 343),
        }
        assert found[model] == pytest.approx(expected, abs=0.006)


def test_at_sabine_eyring(check):
    """acoustic-toolbox's own test: 3000 m3."""
    area = 240 * 0.1 + 600 * 0.25 + 500 * 0.45
    found = [sabine_s(3000, area, 0, 343), eyring_s(3000, 1340, area, 0, 343)]
    assert found == pytest.approx(check("at-sabine-eyring")["expected"], abs=1e-8)


def test_at_arau_and_fitzroy(check):
    """acoustic-toolbox's own tests; its Fitzroy takes six surfaces."""
    axes = [(240, 24), (600, 150), (500, 225)]
    twice = [(2 * facing, 2 * area) for facing, area in axes]
    assert arau_puchades_s(3000, axes, 0, 343) == pytest.approx(check("at-arau")["expected"], abs=1e-8)
    assert fitzroy_s(3000, twice, 0, 343) == pytest.approx(check("at-fitzroy")["expected"], abs=1e-8)


def test_pyrato_eyring(check):
    """pyrato 1.1.0 docstring, 64 m3 and 96 m2."""
    found = [eyring_s(64, 96, alpha * 96, 0, 343.4) for alpha in (0.1, 0.3, 0.4)]
    assert found == pytest.approx(check("pyrato-eyring")["expected"], abs=0.006)


def test_axial_uniform(check):
    """By definition even absorption gives Fitzroy, Arau-Puchades and Eyring one time."""
    axes = axes_of(BOX_M, (0.2, 0.2, 0.2))
    found = [fitzroy_s(120, axes, 0, 343), arau_puchades_s(120, axes, 0, 343), eyring_s(120, 158, 31.6, 0, 343)]
    assert found == pytest.approx(check("axial-uniform")["expected"], abs=1e-9)


@pytest.mark.parametrize("box", BOXES, ids=lambda box: f"{box['sides_m'][0]:g} m, {box['alpha'][0]:g}")
def test_against_acoustic_toolbox_and_pyrato(box):
    """acoustic-toolbox 0.2.2 (Arau, Fitzroy: its figures, kept) and pyrato 1.1.0 (Sabine, Eyring), without air."""
    from pyrato import parametric

    volume = math.prod(box["sides_m"])
    axes = axes_of(box["sides_m"], box["alpha"])
    surface, area = sum(facing for facing, _ in axes), sum(a for _, a in axes)
    mean = area / surface
    sabine, eyring = sabine_s(volume, area, 0, 343), eyring_s(volume, surface, area, 0, 343)
    assert sabine == pytest.approx(float(parametric.reverberation_time_sabine(volume, surface, mean, 343)), rel=1e-6)
    assert eyring == pytest.approx(float(parametric.reverberation_time_eyring(volume, surface, mean, 343)), rel=1e-6)
    assert arau_puchades_s(volume, axes, 0, 343) == pytest.approx(box["arau_s"], rel=1e-9)
    assert fitzroy_s(volume, axes, 0, 343) == pytest.approx(box["fitzroy_s"], rel=1e-9)


def test_an_axis_at_one_is_counted_as_99_hundredths():
    full, near = axes_of(BOX_M, (1.0, 0.1, 0.1)), axes_of(BOX_M, (0.99, 0.1, 0.1))
    assert arau_puchades_s(120, full, 0, 343) == pytest.approx(arau_puchades_s(120, near, 0, 343))
    assert fitzroy_s(120, full, 0, 343) == pytest.approx(fitzroy_s(120, near, 0, 343))


def test_no_absorption_has_no_decay_time():
    bare_axes = axes_of(BOX_M, (0.0, 0.0, 0.0))
    assert sabine_s(120, 0, 0, 343) is None
    assert eyring_s(120, 158, 0, 0, 343) is None
    assert fitzroy_s(120, bare_axes, 0, 343) is None
    assert arau_puchades_s(120, [], 0, 343) is None


def test_schroeder_45_03(check):
    """Schroeder's frequency of 45 m3 at 0.3 s, by definition."""
    assert crossover_hz(45, 0.3) == pytest.approx(check("schroeder-45-03")["expected"], abs=1e-3)


def test_mean_free_path_of_a_cube():
    """4V/S of a cube is two thirds of its side (by definition)."""
    assert mean_free_path_m(27, 54) == pytest.approx(2.0)
