"""The Sound view: the chart and its cursor, the sum behind a band, measured decay times, what another build-up does."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tracker.services.measurements import MeasuredWords, read_in, type_measurement
from tracker.services.sound import sound_report
from tracker.services.worth import worth
from tracker.ui import figures
from tracker.ui.widgets.curves import area_shapes
from tracker.ui.widgets.shapes import Polygon, Stroke


async def test_each_phase_shows_what_is_up_what_it_still_brings_and_what_that_costs(opened, desk):
    rows = {row.target: row for row in worth(desk).remaining}
    async with opened(size=(120, 40)) as hands:
        await hands.press("5")
        line = next(line for line in hands.lines if line.startswith(" door end"))
        assert f"+{rows['door end'].mean_gain_m2:.1f} m2" in line and f"{rows['door end'].cost:.0f} EUR" in line
        assert f" {figures.hours(rows['door end'].hours_h)} h" in line
        assert next(line for line in hands.lines if line.startswith(" desk end")).endswith("up")


def test_the_target_asks_for_the_absorption_area_that_sabine_gives(desk):
    """By hand: 55.26 V/(c T) - 4mV (EN 12354-6:2003, equation 5), c = 331 + 0.6 t (ISO 354:2003).

    The demo's room has 41.2 m3 at 19 °C; at 500 Hz and 1 kHz m is 0.6 and 1.0 in 1000 m (EN 12354-6:2003, table 1).
    """
    target = sound_report(desk).rooms[0].target
    speed = 331 + 0.6 * 19
    for band, air in ((2, 0.0006), (3, 0.0010)):
        wanted = [55.26 * 41.2 / (speed * decay_s) - 4 * air * 41.2
                  for decay_s in (target.high_s[band], target.low_s[band])]
        assert [target.area_low_m2[band], target.area_high_m2[band]] == pytest.approx(wanted, rel=0.003)


def test_a_target_that_is_open_towards_no_decay_has_no_largest_area(desk):
    room = sound_report(desk).rooms[0]
    target = replace(room.target, area_high_m2=(None,) * 6)
    shapes, (_, (_, top)) = area_shapes(replace(room, target=target), 2)
    shade, = [shape for shape in shapes if isinstance(shape, Polygon)]
    assert [y for _, y in shade.outline] == [*target.area_low_m2, *[top] * 6]
    assert not any(y == top for shape in shapes if isinstance(shape, Stroke) and shape.role == "aim"
                   for _, y in shape.points), "no line where there is no end"


async def test_the_target_is_shaded_in_both_charts_and_stands_under_them(opened, desk):
    target = sound_report(desk).rooms[0].target
    async with opened() as hands:
        for key, low, high in (("5", target.low_s, target.high_s), ("a", target.area_low_m2, target.area_high_m2)):
            await hands.press(key)
            chart = hands.app.screen.area if key == "a" else hands.app.screen.decay
            shade, = [shape for shape in chart._shapes if isinstance(shape, Polygon)]
            top = max(y for shape in chart._shapes if isinstance(shape, Stroke) for _, y in shape.points)
            assert shade.hatch == "rain"
            assert [y for _, y in shade.outline] == [min(y, top) for y in (*low, *reversed(high))]
            assert "⢌⠢ target" in hands.lines[1]
        row = next(line for line in hands.lines if line.startswith(" target listening"))
        assert row.split()[4] == f"{target.area_low_m2[2]:.0f}-{target.area_high_m2[2]:.0f}"


async def test_the_sum_behind_the_band_under_the_cursor_is_one_key_away(opened, desk):
    room = sound_report(desk).rooms[0]
    async with opened() as hands:
        await hands.press("5", "right")
        assert "▸1k" in hands.text
        await hands.press("enter")
        assert "The sum behind 1000 Hz, now" in hands.text
        assert f"in all {room.now.area_m2[3]:.2f}" in hands.text
        assert "Cox and D'Antonio" in hands.text, "the source of the term under the cursor"
        await hands.press("s")
        assert "1000 Hz, planned" in hands.text and f"in all {room.planned.area_m2[3]:.2f}" in hands.text
        await hands.press("left", "escape")
        assert "▸500" in hands.text, "the band stays where the panel left it"


async def test_measured_decay_times_are_typed_into_a_form_and_stand_on_the_chart(opened, desk):
    async with opened() as hands:
        await hands.press("5", "m", "enter")
        assert "at least one decay time" in hands.text
        await hands.type("long")
        await hands.press("enter")
        assert "125 Hz: cannot read that; type seconds" in hands.text and read_in(desk) == ()
        for name, words in (("band-125", "0.55"), ("band-250", "0,70"), ("band-500", "0.72"), ("phase", "bare"),
                            ("date", "2026-03-02")):
            hands.app.screen.fields[name].value = words
        await hands.press("enter")
        one, = read_in(desk)
        assert (one.name, one.t_s, one.phase) == ("bare", (0.55, 0.70, 0.72, None, None, None), "bare")
        assert "Stored the measurement" in hands.text and hands.lines[-2].endswith("from the spot."), hands.text
        assert "measured" in hands.lines[1] and any(line.startswith(" 1 bare") for line in hands.lines)
        assert any(" 1" in line for line in hands.lines[2:12]), "its points are marked on the chart"
        await hands.press("u", "enter")
        assert read_in(desk) == () and "1 bare" not in hands.text


async def test_what_if_shows_before_and_after_and_leaves_the_plan_alone(opened, desk):
    before = worth(desk)
    async with opened() as hands:
        await hands.press("5", "i")
        assert "wall 50" in hands.text
        await hands.type("100")
        await hands.press("tab")
        await hands.type("50")
        await hands.press("enter")
        assert "100 mm deep, 50 mm gap" in hands.text and "then layers" in hands.text and "window wall" in hands.text
        assert "↵ show" in hands.text, "the keys stay in sight"
        await hands.press("shift+tab")
        await hands.type("no")
        await hands.press("enter")
        assert "what if" in hands.text and "depth" in hands.text
    assert worth(desk) == before


async def test_build_ups_say_what_they_are_counted_with(opened):
    async with opened() as hands:
        await hands.press("5", "b")
        assert "wall 50: handbook" in hands.text and "Between the sources most at" in hands.text
        await hands.press("end")
        assert "Delany-Bazley" in hands.text


async def test_with_measurements_the_view_fits_a_small_terminal(opened, desk):
    for on, phase in (("2026-03-02", "bare"), ("2026-03-22", "")):
        type_measurement(desk, MeasuredWords("125=0.5 250=0.6 500=0.6 1k=0.5 2k=0.5 4k=0.4", phase=phase, on=on))
    async with opened(size=(60, 20)) as hands:
        await hands.press("5")
        await hands.pilot.press("left", "left", "left", "a", "a")
        await hands.settle()
        assert "▸125" in hands.text and all(len(line) <= 60 for line in hands.lines)
        await hands.pilot.press(*["down"] * 16)
        await hands.settle()
        assert "counted in full" in " ".join(hands.text.split()), "the last of the figures can be reached"
