"""Decay times against image-source simulations of boxes, pyroomacoustics 0.10.1, absorption the same all round."""

import math

import numpy as np
import pytest

from tracker.domain.sound.mirrors import mirror_box_s
from tracker.domain.sound.rooms import room_sound
from tracker.domain.sound.surfaces import Patch, PlaneSound, RoomSurfaces
from tracker.domain.sound.trust import trust

MARGIN = 0.15
RATE_HZ = 8000
SOURCE = (0.31, 0.37, 0.43)
MICROPHONES = ((0.71, 0.63, 0.58), (0.62, 0.21, 0.71), (0.83, 0.74, 0.33))
LOW = 0  # 125 Hz, where the air takes next to nothing, as in the simulation


def even_box(sides, alpha):
    x, y, z = sides
    faces = (("wall", "x", 2 * y * z), ("wall", "y", 2 * x * z), ("ceiling", None, x * y), ("floor", None, x * y))
    planes = tuple(PlaneSound(kind, kind, axis, (Patch(m2, (alpha,) * 6),)) for kind, axis, m2 in faces)
    return RoomSurfaces("box", x * y * z, 20.0, 50.0, planes)


def span_s(sides, alpha):
    state = room_sound(even_box(sides, alpha), ()).bare
    return state.low_s[LOW], state.high_s[LOW]


def simulated_s(sides, alpha, longest_s):
    """Mean T20 over three positions, with images up to what arrives 36 dB down."""
    import pyroomacoustics

    surface = 2 * (sides[0] * sides[1] + sides[1] * sides[2] + sides[0] * sides[2])
    order = int(0.6 * 343 * longest_s * surface / (4 * math.prod(sides)) * 1.3)
    box = pyroomacoustics.ShoeBox(
        sides, fs=RATE_HZ, materials=pyroomacoustics.Material(alpha), max_order=order, air_absorption=False
    )
    box.add_source([share * side for share, side in zip(SOURCE, sides, strict=True)])
    box.add_microphone_array(np.array([np.multiply(spot, sides) for spot in MICROPHONES]).T)
    box.compute_rir()
    return np.mean([pyroomacoustics.experimental.measure_rt60(h[0], fs=RATE_HZ, decay_db=20) for h in box.rir])


@pytest.mark.parametrize("alpha", [0.2, 0.35, 0.5])
@pytest.mark.parametrize("sides", [(5.0, 3.6, 2.5), (3.2, 2.8, 2.4), (6.0, 4.5, 3.0)])
def test_within_15_percent_of_the_span(sides, alpha):
    """pyroomacoustics 0.10.1: ShoeBox of equal energy absorption, image sources, measure_rt60 over 20 dB."""
    low, high = span_s(sides, alpha)
    assert low * (1 - MARGIN) <= simulated_s(sides, alpha, high) <= high * (1 + MARGIN)


@pytest.mark.parametrize("alpha", [0.2, 0.35])
@pytest.mark.parametrize("sides", [(8.0, 5.0, 3.0), (7.0, 5.0, 2.6)])
def test_a_longer_box_that_lingers_says_so(sides, alpha):
    """As above: where mirror images alone keep a box beyond the span, trust tells it, and by how much."""
    simulated, high = simulated_s(sides, alpha, 1.3 * span_s(sides, alpha)[1]), span_s(sides, alpha)[1]
    told = [reason for reason in trust(even_box(sides, alpha), None).reasons if "mirror images" in reason]
    assert told or simulated <= high * (1 + MARGIN)
    mirrored = mirror_box_s(sides, (alpha,) * 3, 0.0, 343.2)
    assert simulated <= max(high, mirrored) * (1 + MARGIN)


@pytest.mark.parametrize(
    ("sides", "told"), [((10.0, 4.0, 2.5), "35 %"), ((8.0, 5.0, 3.0), "15 %"), ((3.2, 2.8, 2.4), "")]
)
def test_only_a_box_that_lingers_is_told(sides, told):
    """pyroomacoustics as above: 10 x 4 x 2.5 m lies 75 % over the span, 8 x 5 x 3 m 25 %, 3.2 x 2.8 x 2.4 m in it."""
    reasons = " ".join(reason for reason in trust(even_box(sides, 0.2), None).reasons if "mirror images" in reason)
    assert (told in reasons) if told else not reasons


def test_sabine_and_eyring_bound_the_span_of_an_even_box():
    """pyroomacoustics 0.10.1 rt60_sabine and rt60_eyring, without air; ours has 125 Hz air, 0.1 % of the area."""
    import pyroomacoustics

    low, high = span_s((5.0, 3.6, 2.5), 0.2)
    speed = 331 + 0.6 * 20
    assert high == pytest.approx(pyroomacoustics.acoustics.rt60_sabine(79.0, 45.0, 0.2, 0.0, speed), rel=0.002)
    assert low == pytest.approx(pyroomacoustics.acoustics.rt60_eyring(79.0, 45.0, 0.2, 0.0, speed), rel=0.002)
