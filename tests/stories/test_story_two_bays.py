"""Nine boards, two bays that need five each: check, order, deliver, log, undo."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from tracker.domain.errors import Refused
from tracker.services.buying import shopping
from tracker.services.desk import Desk
from tracker.services.diary import DayWords, correct_entry, log_day, log_words, read_diary
from tracker.services.diary_answers import DayLog
from tracker.services.overview import site_view, status
from tracker.services.readiness import check_start
from tracker.services.setup import new_site
from tracker.services.stock import count_stock, place_order, spoil_stock, stock, take_delivery
from tracker.services.take_off import take_off
from tracker.services.undo import undo_last

TODAY = date(2026, 3, 4)
SITE = """
[site]
name = "Two bays"
unit = "mm"
currency = "EUR"
start = 2026-03-02

[[item]]
name = "wool board"
form = "board"
size = [1200, 600]
depth = 50
pack = 3
price = 30
lead_days = 5
on_hand = 9
waste_below = 80

[[item]]
name = "edge track"
form = "stick"
length = 3000
depth = 50
pack = 10
on_hand = 20

[[item]]
name = "cloth"
form = "roll"
width = 1600
tuck = 50
on_hand = "20 m"

[[build_up]]
name = "wall"
infill = "wool board"
edge = "edge track"
fabric = "cloth"
alpha = [0.2, 0.6, 0.9, 0.9, 0.9, 0.9]

[[surface]]
name = "bare wall"
alpha = [0.1, 0.1, 0.1, 0.1, 0.1, 0.1]
source = "invented for this test"

[[room]]
name = "room"
volume = 40

[[room.plane]]
name = "north"
kind = "wall"
size = [4000, 3200]
surface = "bare wall"
[[room.plane.bay]]
name = "one"
phase = "first"
build_up = "wall"
at = [100, 100]
size = [1200, 3000]
[[room.plane.bay]]
name = "two"
phase = "second"
build_up = "wall"
at = [1500, 100]
size = [1200, 3000]

[[phase]]
name = "first"
[[phase]]
name = "second"
"""


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    written = tmp_path / "two-bays.toml"
    written.write_text(SITE)
    desk = new_site(tmp_path / "site.db", written, lambda: TODAY)
    yield desk
    desk.close()


def board(check) -> object:
    return next(one for one in check.items if one.item == "wool board")


def test_the_story_from_check_to_undo(desk: Desk) -> None:
    first, second = check_start(desk, "north/one"), check_start(desk, "north/two")
    assert first.verdict == "ready"
    assert board(first).need == 5
    assert second.verdict == "short"
    assert (board(second).need, board(second).on_hand, board(second).held, board(second).short) == (5, 9, 5, 1)
    assert "5 boards held" in second.reason

    place_order(desk, "wool board", "1 pack", date(2026, 3, 9))
    waiting = check_start(desk, "north/two")
    assert waiting.verdict == "on order"
    assert board(waiting).due == date(2026, 3, 9)
    assert "Mon 9 Mar" in waiting.reason

    take_delivery(desk, "wool board", "1 pack")
    assert check_start(desk, "north/two").verdict == "ready"

    before = (stock(desk), status(desk), site_view(desk))
    outcome = log_day(desk, DayLog("north/one", "infill", hours_h=1.5))
    assert "5 boards" in outcome.sentence
    after = stock(desk)
    assert after.items[0].on_hand == 7
    meter = status(desk).phases[0].gain
    # 3.6 m2 of bay: (0.2 - 0.1) at 125 Hz, (0.9 - 0.1) at 1 kHz; by hand.
    assert meter.installed_by_band_m2[0] == pytest.approx(0.36)
    assert meter.installed_by_band_m2[3] == pytest.approx(2.88)
    undo_last(desk)
    assert (stock(desk), status(desk), site_view(desk)) == before


def test_meters_split_into_installed_covered_and_short(desk: Desk) -> None:
    first, second = status(desk).phases
    assert (first.state, second.state) == ("ready", "short")
    assert first.gain.covered_m2 == pytest.approx(first.gain.planned_m2)
    assert second.gain.short_m2 == pytest.approx(second.gain.planned_m2)
    assert [(one.item, one.short) for one in second.blocked_by] == [("wool board", 1)]
    assert [one.target for one in status(desk).next] == ["north/one", "north/two"]


def test_buying_asks_for_whole_packs_of_what_is_short(desk: Desk) -> None:
    lines = shopping(desk).items
    assert [(one.item, one.need, one.packs, one.cost) for one in lines] == [("wool board", 1, 1, 30)]


def test_a_step_waits_on_the_one_before(desk: Desk) -> None:
    waiting = check_start(desk, "north/one", "infill")
    assert waiting.verdict == "waiting"
    assert waiting.waits_on == ("north/one, set-out",)


def test_half_a_step_takes_the_first_boards_of_the_cut_list_and_leaves_the_rest(desk: Desk) -> None:
    log_day(desk, DayLog("north/one", "infill", done=0.5))
    assert stock(desk).items[0].on_hand == 6
    left = take_off(desk, "north/one")
    assert next(one for one in left.items if one.item == "wool board").need == 2
    log_day(desk, DayLog("north/one", "infill"))
    assert stock(desk).items[0].on_hand == 4


def test_a_correction_replaces_what_was_taken_and_stays_to_be_seen(desk: Desk) -> None:
    number = log_words(desk, DayWords(target="north/one", step="infill", hours="1:00")).entry
    correct_entry(desk, number, DayWords(used=(("wool board", "6"),), spoiled=(("wool board", "1"),)))
    assert stock(desk).items[0].on_hand == 2
    newest, oldest = read_diary(desk).entries
    assert newest.corrects == oldest.id and oldest.corrected_by == newest.id
    assert newest.hours_h == 1.0
    assert newest.spoiled == (("wool board", 1.0, "board"),)
    correct_entry(desk, newest.id, DayWords(note="miscut"))
    assert stock(desk).items[0].on_hand == 2
    assert read_diary(desk, "miscut").entries[0].spoiled == (("wool board", 1.0, "board"),)
    for _ in range(3):
        undo_last(desk)
    assert stock(desk).items[0].on_hand == 9
    assert read_diary(desk).entries == ()


def test_a_correction_keeps_its_place_before_a_later_count(desk: Desk) -> None:
    number = log_words(desk, DayWords(target="north/one", step="infill")).entry
    count_stock(desk, "wool board", "4")
    correct_entry(desk, number, DayWords(used=(("wool board", "7"),)))
    assert stock(desk).items[0].on_hand == 4


def test_the_book_refuses_to_go_below_zero(desk: Desk) -> None:
    with pytest.raises(Refused, match="count the wool board first"):
        spoil_stock(desk, "wool board", "10")
    with pytest.raises(Refused, match="count the wool board first"):
        log_words(desk, DayWords(target="north/one", step="infill", used=(("wool board", "12"),)))
    assert read_diary(desk).entries == ()


def test_going_back_is_refused_with_the_remedy(desk: Desk) -> None:
    log_day(desk, DayLog("north/one", "track"))
    with pytest.raises(Refused, match="--correct"):
        log_day(desk, DayLog("north/one", "track", done=0.5))
