"""Drawings made by whole runs of dots, and over what is drawn already, are those made dot by dot and from nothing."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st
from textual.geometry import Size

from tracker.ui.widgets.drawing import Drawing, draw
from tracker.ui.widgets.raster import HATCHES, Raster
from tracker.ui.widgets.shapes import Label, Polygon, Stroke

WIDTH, HEIGHT = 9, 4
ON = {"sparse": lambda x, y: x % 6 == 0 and y % 4 == 0, "slant": lambda x, y: (x + y) % 4 == 0,
      "weave": lambda x, y: (x + y) % 2 == 0, "solid": lambda x, y: True,
      "rain": lambda x, y: x % 2 == 0 and (x + y) % 4 == 0}
spots = st.tuples(st.integers(-5, 2 * WIDTH + 5), st.integers(-5, 4 * HEIGHT + 5))


def dots(raster: Raster) -> set[tuple[int, int]]:
    """The dots that are set, read from the signs in the order in which Unicode numbers them (block 2800)."""
    order = ((0, 0), (0, 1), (0, 2), (1, 0), (1, 1), (1, 2), (0, 3), (1, 3))
    found = set()
    for row, line in enumerate(raster.lines()):
        for column, sign in enumerate("".join(text for text, _ in line)):
            bits = 0 if sign == " " else ord(sign) - 0x2800
            found |= {(2 * column + x, 4 * row + y) for bit, (x, y) in enumerate(order) if bits >> bit & 1}
    return found


def grid(left: int, right: int, top: int, bottom: int) -> set[tuple[int, int]]:
    return {(x, y) for x in range(max(0, left), min(2 * WIDTH, right))
            for y in range(max(0, top), min(4 * HEIGHT, bottom))}


def test_every_hatch_is_held_against_its_rule():
    assert ON.keys() == HATCHES.keys()


@settings(max_examples=80)
@given(spots, spots, st.sampled_from(sorted(ON)), spots, spots)
def test_a_filled_box_with_a_box_wiped_from_it(one, other, hatch, third, fourth):
    raster = Raster(WIDTH, HEIGHT)
    wanted: set[tuple[int, int]] = set()
    for (x0, y0), (x1, y1), fills in ((one, other, True), (third, fourth, False)):
        ring = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
        inside = grid(min(x0, x1), max(x0, x1), min(y0, y1), max(y0, y1))
        if fills:
            raster.fill([ring], "infill", hatch)
            wanted |= {dot for dot in inside if ON[hatch](*dot)}
        else:
            raster.clear([ring])
            wanted -= inside
    assert dots(raster) == wanted


@settings(max_examples=60)
@given(spots, st.integers(-30, 30), st.booleans())
def test_a_level_or_upright_line_has_no_gap_and_a_role_in_every_cell(start, length, level):
    raster = Raster(WIDTH, HEIGHT)
    end = (start[0] + length, start[1]) if level else (start[0], start[1] + length)
    raster.line(start, end, "edge")
    assert dots(raster) == grid(min(start[0], end[0]), max(start[0], end[0]) + 1,
                                min(start[1], end[1]), max(start[1], end[1]) + 1)
    assert all(role == "edge" for line in raster.lines() for text, role in line if text.strip())


corners = st.tuples(st.integers(0, 8), st.integers(0, 8))
polygons = st.builds(Polygon, st.tuples(corners, corners, corners), role=st.just("track"),
                     hatch=st.sampled_from([None, "blank", "slant"]), heavy=st.booleans())
shapes = st.one_of(polygons, st.builds(Stroke, st.tuples(corners, corners), dash=st.integers(0, 2)),
                   st.builds(Label, corners, st.sampled_from(["a", "bay 2"])))
FRAME = Polygon(((0, 0), (8, 0), (8, 8), (0, 8)))


@settings(max_examples=60)
@given(st.lists(shapes, max_size=5), st.lists(st.lists(shapes, max_size=3), min_size=2, max_size=5))
def test_a_picture_drawn_over_what_the_last_one_left_is_the_one_drawn_from_nothing(alike, ends):
    drawing, size = Drawing(), Size(20, 8)
    for end in ends:
        drawing.show([FRAME, *alike, *end])
        assert drawing.lines(size) == draw([FRAME, *alike, *end], size)


halves = st.integers(-4, 40).map(lambda number: number / 2)


@settings(max_examples=60)
@given(halves, halves, st.integers(1, 12), st.sampled_from([True, False]))
def test_what_lies_at_one_place_falls_on_one_dot_also_halfway_between_two(place, start, length, level):
    long, part, box = Raster(WIDTH, HEIGHT), Raster(WIDTH, HEIGHT), Raster(WIDTH, HEIGHT)

    def at(along, across):
        return (along, across) if level else (across, along)
    long.line(at(-50, place), at(50, place), "edge")
    part.line(at(start, place), at(start + length, place), "edge")
    assert dots(part) <= dots(long)
    beside = Raster(WIDTH, HEIGHT)
    beside.line(at(-50, place + 1), at(50, place + 1), "edge")
    within = 4 * HEIGHT if level else 2 * WIDTH
    # A dot further on there is another line, neither the same one nor one with a gap between.
    assert {dot[level] + 1 for dot in dots(long)} - {within} == {dot[level] for dot in dots(beside)} - {0}
    # What is filled from there on begins with that line.
    box.fill([[at(-50, place), at(50, place), at(50, place + length), at(-50, place + length)]], "edge", "solid")
    first = min((dot[level] for dot in dots(box)), default=None)
    if place >= 0 and first is not None:
        assert {dot[level] for dot in dots(long)} == {first}


parts = st.floats(0.15, 3.0)


@settings(max_examples=50)
@given(parts, parts, parts, parts, st.integers(6, 24), st.integers(4, 12), st.booleans())
def test_a_heavy_outline_is_two_dots_wide_on_every_side_at_any_size(a, b, c, d, width, height, turned):
    ring = [(0.0, 0.0), (a + b, 0.0), (a + b, c), (a, c), (a, c + d), (0.0, c + d)]
    ring = ring[::-1] if turned else ring
    size = Size(width, height)
    thin, heavy, filled = (
        raster_dots(draw([Polygon(tuple(ring), edge=edge, hatch=hatch, heavy=edge is not None and hatch == "blank")],
                         size, true=False)) for edge, hatch in (("edge", None), ("edge", "blank"), (None, "solid")))
    beside = {(x + right, y + down) for x, y in thin for right in (-1, 0, 1) for down in (-1, 0, 1)}
    assert heavy == thin | (filled & beside)


def raster_dots(lines) -> set[tuple[int, int]]:
    found = Raster(0, 0)
    found.lines = lambda: lines
    return dots(found)
