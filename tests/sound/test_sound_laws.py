"""Laws that hold whatever the room: more absorber, split bays, another order."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.strategies import composite

from tracker.domain.site import Absorber
from tracker.domain.sound.decay import arau_puchades_s, eyring_s, fitzroy_s, sabine_s
from tracker.domain.sound.rooms import bay_gain, room_sound
from tracker.domain.sound.surfaces import BaySound, Patch, PlaneSound, RoomSurfaces

SETTINGS = settings(max_examples=30, deadline=None)
bands = st.tuples(*[st.floats(0.01, 0.9)] * 6)
PHASES = ("one", "two", "three")


@composite
def rooms(draw):
    """A box with bays on every plane, small enough for their planes."""
    sides = [draw(st.floats(2.0, 9.0)) for _ in range(3)]
    faces = [("x", "wall", 1, 2), ("y", "wall", 0, 2), ("z", "ceiling", 0, 1), ("z", "floor", 0, 1)]
    planes = []
    for number, (axis, kind, a, b) in enumerate(faces):
        area, alpha = sides[a] * sides[b], draw(bands)
        bays = tuple(
            BaySound(
                f"{number}/{n}",
                draw(st.sampled_from(PHASES)),
                area * draw(st.floats(0.05, 0.3)),
                draw(bands),
                alpha,
                installed_fraction=draw(st.sampled_from((0.0, 0.25, 1.0))),
            )
            for n in range(draw(st.integers(0, 3)))
        )
        planes.append(PlaneSound(str(number), kind, axis, (Patch(area, alpha),), bays))
    volume = sides[0] * sides[1] * sides[2]
    return RoomSurfaces("box", volume, draw(st.floats(10, 30)), draw(st.floats(20, 80)), tuple(planes))


def near(a, b):
    return all(abs(x - y) <= 1e-9 * max(1.0, abs(y)) for x, y in zip(a, b, strict=True))


def same(first, second):
    return all(
        near(getattr(one, figure), getattr(other, figure))
        for one, other in zip(states(first), states(second), strict=True)
        for figure in ("area_m2", "sabine_s", "eyring_s", "fitzroy_s", "arau_puchades_s", "low_s", "high_s")
    )


def states(sound):
    return [sound.bare, sound.now, sound.planned, *(phase.after for phase in sound.phases)]


@SETTINGS
@given(rooms(), st.floats(0.1, 2.0))
def test_more_absorber_never_lengthens_a_decay(room, more):
    """By the formulas: each model's time falls as absorption area grows."""
    richer = replace(room, absorbers=(Absorber("more", (more,) * 6),))
    for less, much in zip(states(room_sound(room, PHASES)), states(room_sound(richer, PHASES)), strict=True):
        for figure in ("sabine_s", "eyring_s", "fitzroy_s", "arau_puchades_s"):
            pairs = zip(getattr(much, figure), getattr(less, figure), strict=True)
            assert all(short is None or short <= long for short, long in pairs)


@SETTINGS
@given(rooms())
def test_a_better_board_never_lengthens_a_decay(room):
    better = replace(
        room,
        planes=tuple(
            replace(p, bays=tuple(replace(b, alpha_new=tuple(min(1.0, a + 0.1) for a in b.alpha_new)) for b in p.bays))
            for p in room.planes
        ),
    )
    before, after = room_sound(room, PHASES).planned, room_sound(better, PHASES).planned
    for figure in ("sabine_s", "eyring_s", "fitzroy_s", "arau_puchades_s"):
        pairs = zip(getattr(after, figure), getattr(before, figure), strict=True)
        assert all(short <= long * (1 + 1e-12) for short, long in pairs)


@SETTINGS
@given(rooms(), st.floats(0.05, 0.95))
def test_splitting_a_bay_changes_nothing(room, share):
    def halves(bay):
        return replace(bay, area_m2=bay.area_m2 * share), replace(bay, area_m2=bay.area_m2 * (1 - share))

    split = replace(
        room,
        planes=tuple(replace(p, bays=tuple(half for bay in p.bays for half in halves(bay))) for p in room.planes),
    )
    assert same(room_sound(room, PHASES), room_sound(split, PHASES))


@SETTINGS
@given(rooms(), st.randoms(use_true_random=False))
def test_the_order_of_planes_and_bays_changes_nothing(room, shuffle):
    planes = [replace(p, bays=tuple(shuffle.sample(p.bays, len(p.bays)))) for p in room.planes]
    shuffle.shuffle(planes)
    assert same(room_sound(room, PHASES), room_sound(replace(room, planes=tuple(planes)), PHASES))


@SETTINGS
@given(rooms())
def test_the_phases_gains_add_up_to_the_plan(room):
    """Planned less bare is the sum of the gains, and the last phase leaves the plan done."""
    sound = room_sound(room, PHASES)
    for band in range(6):
        gained = sum(phase.gain_planned_m2[band] for phase in sound.phases)
        assert abs(sound.planned.area_m2[band] - sound.bare.area_m2[band] - gained) < 1e-9
    if sound.phases:
        assert near(sound.phases[-1].after.area_m2, sound.planned.area_m2)


@SETTINGS
@given(st.floats(5, 500), st.floats(0.001, 0.99), st.floats(0, 0.01))
def test_eyring_lt_sabine(volume, mean, air):
    """Eyring 1930: shorter than Sabine for any coefficient above 0, the same as it goes to 0."""
    surface = 6 * volume ** (2 / 3)
    assert eyring_s(volume, surface, mean * surface, air, 343) < sabine_s(volume, mean * surface, air, 343)
    tiny = 1e-7 * surface
    assert abs(eyring_s(volume, surface, tiny, 0, 343) / sabine_s(volume, tiny, 0, 343) - 1) < 1e-6


@SETTINGS
@given(st.floats(0.1, 20), bands, bands)
def test_a_gain_is_the_area_times_the_difference(area, new, covered):
    """The contract's rule, by definition."""
    gain = bay_gain(BaySound("w/b", "one", area, new, covered))
    assert near(gain, [area * (n - c) for n, c in zip(new, covered, strict=True)])


@SETTINGS
@given(st.floats(5, 500), bands, st.floats(0, 0.01), st.floats(0.2, 40))
def test_units_change_nothing(volume, alphas, air, scale):
    """Dimensional analysis: lengths in feet (or any unit), speed and air with them, give the same seconds."""
    facing = [volume ** (2 / 3) * share for share in (1.5, 2.0, 2.5)]
    axes = [(m2, m2 * alpha) for m2, alpha in zip(facing, alphas, strict=False)]
    other = [(m2 * scale**2, area * scale**2) for m2, area in axes]
    surface, area = sum(facing), sum(m2 for _, m2 in axes)
    big, speed, thin = volume * scale**3, 343.0 * scale, air / scale
    pairs = [
        (sabine_s(volume, area, air, 343.0), sabine_s(big, area * scale**2, thin, speed)),
        (eyring_s(volume, surface, area, air, 343.0), eyring_s(big, surface * scale**2, area * scale**2, thin, speed)),
        (fitzroy_s(volume, axes, air, 343.0), fitzroy_s(big, other, thin, speed)),
        (arau_puchades_s(volume, axes, air, 343.0), arau_puchades_s(big, other, thin, speed)),
    ]
    assert near([one for one, _ in pairs], [two for _, two in pairs])
