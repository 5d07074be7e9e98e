"""What shakes trust in a book: each of these once went wrong, or easily could."""

from collections.abc import Callable, Iterator
from datetime import date, timedelta
from pathlib import Path

import pytest

from tracker.services.desk import Desk, open_desk
from tracker.services.diary import DayWords, correct_entry, log_day, log_words, read_diary
from tracker.services.diary_answers import DayLog
from tracker.services.measuring import measure_again
from tracker.services.overview import site_view, status
from tracker.services.readiness import check_start
from tracker.services.setup import first_cautions, new_site
from tracker.services.stock import count_stock, place_order, spoil_stock, stock
from tracker.services.take_off import take_off

TODAY = date(2026, 3, 10)
SITE = """
[site]
name = "Trust"
unit = "mm"
currency = "EUR"
start = 2026-03-02
[[item]]
name = "wool"
form = "board"
size = [1200, 600]
depth = 50
on_hand = 11
waste_below = 80
[[item]]
name = "edge"
form = "stick"
length = 2000
kerf = 3
on_hand = 40
waste_below = 200
[[item]]
name = "joint"
form = "stick"
length = 2000
kerf = 3
on_hand = 4
waste_below = 200
[[item]]
name = "screw"
form = "each"
on_hand = 400
[[build_up]]
name = "wall"
infill = "wool"
edge = "edge"
joint = "joint"
each = { screw = 150 }
alpha = [0.2, 0.6, 0.9, 0.9, 0.9, 0.9]
[[room]]
name = "room"
volume = 40
[[room.plane]]
name = "north"
kind = "wall"
size = [4000, 3200]
surface = "brick"
[[room.plane.bay]]
name = "one"
phase = "first"
build_up = "wall"
at = [100, 100]
size = [1200, 3000]
[[room.plane.bay]]
name = "two"
phase = "third"
build_up = "wall"
at = [AT, 100]
size = [1200, 3000]
[[room.plane]]
name = "south"
kind = "wall"
size = [4000, 3200]
surface = "brick"
[[room.plane.bay]]
name = "mid"
phase = "second"
build_up = "wall"
at = [100, 100]
size = [600, 2400]
[[phase]]
name = "first"
task = [ { name = "lay by", needs = { wool = 1 } } ]
[[phase]]
name = "second"
[[phase]]
name = "third"
"""
Make = Callable[[int], Desk]


@pytest.fixture
def make(tmp_path: Path) -> Iterator[Make]:
    desks: list[Desk] = []

    def made(at: int = 1300) -> Desk:
        file = tmp_path / f"site{len(desks)}.toml"
        file.write_text(SITE.replace("AT", str(at)), encoding="utf-8")
        desks.append(new_site(tmp_path / f"site{len(desks)}.db", file, lambda: TODAY))
        return desks[-1]

    yield made
    for desk in desks:
        desk.close()


def on_hand(desk: Desk, item: str) -> float:
    return next(line.on_hand for line in stock(desk).items if line.item == item)


def progress(desk: Desk, target: str, step: str) -> float:
    return next(cell.progress for plane in site_view(desk).planes for bay in plane.bays if bay.target == target
                for cell in bay.steps if cell.step == step)


def test_correcting_the_words_of_an_early_entry_moves_nothing_back(make: Make) -> None:
    desk = make()
    first = log_day(desk, DayLog("north/one", "infill", done=0.5)).entry
    log_day(desk, DayLog("north/one", "infill"))
    correct_entry(desk, first, DayWords(hours="2:00"))
    assert progress(desk, "north/one", "infill") == 1
    assert status(desk).stopped.done == 1
    assert [entry.done for entry in read_diary(desk).entries if entry.corrected_by is None] == [1, 0.5]


def test_an_entry_written_late_counts(make: Make) -> None:
    desk = make()
    log_day(desk, DayLog("north/one", "infill", done=0.5))
    log_day(desk, DayLog("north/one", "infill", on=TODAY - timedelta(days=1)))
    assert progress(desk, "north/one", "infill") == 1


def test_correcting_spoil_leaves_use_pieces_and_offcuts_as_they_were(make: Make) -> None:
    desk = make()
    number = log_words(desk, DayWords(target="north/one", step="infill", used=(("wool", "0"),))).entry
    before = stock(desk).items[0].offcuts
    correct_entry(desk, number, DayWords(spoiled=(("wool", "1"),), on="2026-03-05"))
    assert on_hand(desk, "wool") == 10
    assert stock(desk).items[0].offcuts == before


def test_a_correction_can_name_another_bay_and_keeps_the_step(make: Make) -> None:
    desk = make()
    number = log_day(desk, DayLog("north/one", "infill")).entry
    correct_entry(desk, number, DayWords(target="south/mid"))
    assert (progress(desk, "north/one", "infill"), progress(desk, "south/mid", "infill")) == (0, 1)
    assert on_hand(desk, "wool") == 9


@pytest.mark.parametrize("shares", [(1.0,), (0.5, 1.0), (0.25, 0.5, 0.75, 1.0)])
def test_track_put_up_in_parts_takes_what_it_takes_at_once(make: Make, shares: tuple[float, ...]) -> None:
    desk = make()
    needed = {line.item: line.need for line in take_off(desk, "north/one").items}
    for share in shares:
        log_day(desk, DayLog("north/one", "track", done=share))
    assert 400 - on_hand(desk, "screw") == needed["screw"]
    assert needed["edge"] <= 40 - on_hand(desk, "edge") <= needed["edge"] + 1
    assert 4 - on_hand(desk, "joint") == needed["joint"]


def test_a_shared_joint_is_screwed_once(make: Make) -> None:
    # Edge 2 x (1.2 + 1.2 + 3.0) m and one joint of 3.0 m at 150 mm: 5.4 + 3.0 and 5.4 m, 56 and 36 screws.
    desk = make()
    lines = {line.item: line.need for line in take_off(desk, "north").items}
    assert lines["screw"] == 56 + 36


def test_a_plane_is_ready_only_beside_the_work_in_between(make: Make) -> None:
    desk = make(1400)
    assert check_start(desk, "north").verdict == "short"
    assert next(one for one in check_start(desk, "north").items if one.item == "wool").held == 3


def test_due_is_the_day_what_is_missing_comes(make: Make) -> None:
    desk = make(1400)
    count_stock(desk, "wool", "12")
    place_order(desk, "wool", "1", TODAY + timedelta(days=2))
    place_order(desk, "wool", "9", TODAY + timedelta(days=40))
    found = next(one for one in check_start(desk, "north/two").items if one.item == "wool")
    assert (found.short, found.due) == (1, TODAY + timedelta(days=2))


def test_a_reading_a_few_millimetres_off_keeps_the_joint(make: Make) -> None:
    desk = make()
    for width in ("1198", "1195", "1203"):
        readings = {"bottom": width, "top": width, "left": "3000", "right": "3000",
                    "diagonal": f"{(float(width) ** 2 + 3000**2) ** 0.5:.0f}"}
        measure_again(desk, "north/one", readings)
        assert {line.item for line in take_off(desk, "north/one").items} >= {"joint"}
        assert status(desk).phases


def test_a_reading_far_off_says_that_the_bays_part(make: Make) -> None:
    outcome = measure_again(make(), "north/one", {"bottom": "1150", "top": "1150", "left": "3000", "right": "3000",
                                                  "diagonal": "3213"})
    assert any("no longer meet" in one for one in outcome.cautions)


def test_a_gap_left_by_the_second_tape_is_no_piece_to_cut(make: Make) -> None:
    desk = make()
    log_day(desk, DayLog("north/one", "infill"))
    log_day(desk, DayLog("north/two", "infill", done=0.5))
    measure_again(desk, "north/two", {"bottom": "1206", "top": "1206", "left": "3000", "right": "3000",
                                      "diagonal": "3233.3"}, fitted=True)
    cuts = [cut for board in take_off(desk, "north/two").boards for cut in board.cuts]
    assert cuts and min(min(cut.size_m) for cut in cuts) > 0.01


def test_two_programs_never_overdraw_the_book(make: Make) -> None:
    desk = make()
    desk.standing()
    other = open_desk(desk.path, lambda: TODAY)
    spoil_stock(other, "wool", "8")
    other.close()
    with pytest.raises(ValueError, match="count the wool first"):
        spoil_stock(desk, "wool", "8")


def test_a_bay_without_fabric_has_no_fabric_to_wait_for(make: Make) -> None:
    desk = make()
    for step in ("set-out", "track", "infill"):
        log_day(desk, DayLog("south/mid", step))
    assert check_start(desk, "south/mid").step == "make-good"


def test_a_task_half_done_is_under_way(make: Make) -> None:
    desk = make()
    log_day(desk, DayLog("lay by", done=0.5))
    assert check_start(desk, "lay by").verdict == "under way"
    assert next(one.progress for one in status(desk).next if "lay by" in one.target) == 0.5


def test_a_room_that_cannot_close_is_said_so(make: Make) -> None:
    # A sphere of 40 m3 has 56.6 m2 of surface (isoperimetric inequality); two walls of 12.8 m2 close around nothing.
    cautions = first_cautions(make().standing().site)
    assert any("56.56 m2" in one and "25.6 m2" in one for one in cautions), cautions
