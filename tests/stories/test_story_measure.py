"""Measured twice: a bay is surveyed, its track fixed, taped again inside it, and cut to that."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from tracker.domain.errors import Refused
from tracker.services.answers import Check
from tracker.services.desk import Desk
from tracker.services.diary import log_day
from tracker.services.diary_answers import DayLog
from tracker.services.measuring import measure_again, readings_before
from tracker.services.overview import site_view
from tracker.services.readiness import check_start
from tracker.services.setup import new_site
from tracker.services.stock import take_delivery
from tracker.services.take_off import take_off
from tracker.services.undo import undo_last

BOOTH = Path(__file__).resolve().parent.parent / "data" / "geometry_booth.toml"
TODAY = date(2026, 4, 8)
# The opening inside the track: 12 mm narrower at the top.
TAPER = {"bottom": "1460", "top": "1448", "left": "1476", "right": "1478", "diagonal": "2070"}


@pytest.fixture
def make(tmp_path: Path) -> Iterator[object]:
    desks: list[Desk] = []

    def made(*changes: tuple[str, str]) -> Desk:
        text = BOOTH.read_text(encoding="utf-8")
        for old, new in changes:
            assert old in text
            text = text.replace(old, new)
        file = tmp_path / "booth.toml"
        file.write_text(text, encoding="utf-8")
        desks.append(new_site(tmp_path / f"site{len(desks)}.db", file, lambda: TODAY))
        return desks[-1]

    yield made
    for desk in desks:
        desk.close()


def codes(check: Check) -> set[str]:
    return {one.code for one in check.warnings}


def test_infill_is_cut_to_the_fitted_size_once_it_is_measured(make) -> None:
    desk = make()
    bay = next(bay for plane in site_view(desk).planes for bay in plane.bays if bay.target == "east/middle")
    log_day(desk, DayLog("east/middle", "track"))
    assert "not-measured" in codes(check_start(desk, "east/middle", "infill"))
    outcome = measure_again(desk, "east/middle", TAPER, fitted=True)
    assert any("Bottom and top differ by 12 mm" in one for one in outcome.cautions)
    found = check_start(desk, "east/middle", "infill")
    assert "not-measured" not in codes(found)
    assert "out-of-square" in codes(found)
    # Area of a quadrilateral from its sides and a diagonal, two triangles by Heron's formula.
    heron = sum((half * (half - a) * (half - b) * (half - c)) ** 0.5 for a, b, c in (
        (1.460, 1.478, 2.070), (1.448, 1.476, 2.070)) for half in [(a + b + c) / 2])
    net = next(one for one in take_off(desk, "east/middle").items if one.form == "board").net
    assert net == pytest.approx(heron, rel=1e-4)
    undo_last(desk)
    again = next(one for one in take_off(desk, "east/middle").items if one.form == "board").net
    assert again == pytest.approx(bay.infill_m2, rel=1e-6)


def test_a_reading_that_contradicts_the_rest_is_noticed(make) -> None:
    desk = make()
    measure_again(desk, "lid/centre", {"bottom": "1800", "top": "1800", "left": "1200", "right": "1200",
                                       "diagonal": "2163", "check": "2175"})
    assert "tape-does-not-close" in codes(check_start(desk, "lid/centre"))


def test_a_tape_that_cannot_be_this_bay_is_refused(make) -> None:
    desk = make()
    with pytest.raises(Refused, match="check the readings"):
        measure_again(desk, "lid/centre", {**TAPER, "bottom": "800", "top": "800", "diagonal": "1680"}, fitted=True)
    with pytest.raises(Refused, match="reaches outside its plane"):
        measure_again(desk, "lid/centre", {"bottom": "2900", "top": "2900", "left": "1200", "right": "1200",
                                           "diagonal": "3138"})
    with pytest.raises(Refused, match="nothing to take back"):
        undo_last(desk)


@pytest.mark.parametrize(("change", "code"), [
    ((("depth = 50\ndensity", "depth = 60\ndensity"),), "infill-deeper-than-track"),
    ((("depth = 50\ndensity", "depth = 40\ndensity"),), "infill-shallower-than-track"),
    ((("width = 1680", "width = 1400"),), "fabric-too-narrow"),
])
def test_what_does_not_fit_together_is_noticed(make, change: tuple[tuple[str, str]], code: str) -> None:
    assert code not in codes(check_start(make(), "north/left"))
    assert code in codes(check_start(make(*change), "north/left"))


def test_mixed_dye_lots_are_noticed(make) -> None:
    desk = make(('lead_days = 4\non_hand = "12 m"', 'dye_lot = "A7"\non_hand = "12 m"'))
    assert "mixed-dye-lots" not in codes(check_start(desk, "north/left"))
    take_delivery(desk, "cloth moss", "10 m", "B1")
    assert "mixed-dye-lots" in codes(check_start(desk, "north/left"))


@pytest.mark.parametrize(("name", "text", "says"), [
    ("check", "-9000", "check would be"), ("bottom", "+99 m", "bottom would be"), ("bottom", "+", "by how much"),
    ("middle", "+8", "not taped before")])
def test_a_reading_that_differs_by_too_much_or_from_nothing_is_refused(make, name, text, says) -> None:
    desk = make()
    tape = {"bottom": "1480", "top": "1480", "left": "2280", "right": "2280", "diagonal": "2718"}
    measure_again(desk, "north/left", {**tape, "check": "2718"})
    with pytest.raises(Refused, match=says):
        measure_again(desk, "north/left", {name: text})


def test_a_reading_said_by_what_it_differs_is_the_one_before_and_that(make) -> None:
    desk = make()
    tape = {"bottom": "1480", "top": "1480", "left": "2280", "right": "2280", "diagonal": "2718"}
    measure_again(desk, "north/left", tape)
    measure_again(desk, "north/left", {"top": "+8", "left": "-2 mm"})
    readings = readings_before(desk, "north/left")
    assert {name: readings[name][0] for name in ("bottom", "top", "left")} == pytest.approx(
        {"bottom": 1.48, "top": 1.488, "left": 2.278})
