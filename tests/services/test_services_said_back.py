"""Amounts as they are typed of a day's work, and the sentences that repeat a change back."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from tracker.cli.main import main
from tracker.domain.errors import Refused
from tracker.services.amounts import items_of_step
from tracker.services.desk import Desk, open_desk
from tracker.services.diary import DayWords, correct_entry, log_words, preview_log, read_diary, read_words
from tracker.services.setup import new_site
from tracker.services.stock import count_stock, place_order, stock, take_delivery
from tracker.services.undo import last_change

SUNDAY = date(2026, 3, 22)
"""2026-W12-7 by ISO 8601."""
SITE = """
[site]
name = "Shed"
unit = "mm"
currency = "EUR"
start = 2026-03-02

[[item]]
name = "wool board 50"
form = "board"
size = [1200, 600]
depth = 50
pack = 6
on_hand = 30

[[item]]
name = "wool board 100"
form = "board"
size = [1200, 600]
depth = 100
pack = 4
lead_days = 5

[[item]]
name = "edge track 50"
form = "stick"
length = 3000
depth = 50
face = 12
on_hand = 20

[[item]]
name = "joint track 50"
form = "stick"
length = 3000
depth = 50
face = 20
on_hand = 10

[[item]]
name = "oat cloth"
form = "roll"
width = 1680
tuck = 60
on_hand = "20 m"

[[item]]
name = "track screw"
form = "each"
on_hand = 500

[[item]]
name = "eye bolt"
form = "each"
on_hand = 8

[[build_up]]
name = "wall 50"
infill = "wool board 50"
fabric = "oat cloth"
edge = "edge track 50"
joint = "joint track 50"
each = { "track screw" = 150 }

[[room]]
name = "live"
volume = 40
[[room.plane]]
name = "front"
kind = "wall"
size = [4000, 2400]
surface = "plasterboard on studs"
[[room.plane.bay]]
name = "left"
phase = "one"
build_up = "wall 50"
at = [0, 0]
size = [1000, 2000]
[[room.plane.bay]]
name = "mid"
phase = "one"
build_up = "wall 50"
at = [1000, 0]
size = [1000, 2000]
[[room.plane.bay]]
name = "alone"
phase = "one"
build_up = "wall 50"
at = [3000, 0]
size = [900, 2000]

[[phase]]
name = "one"
task = [ { name = "hang shelf", needs = { "eye bolt" = 4 } } ]
"""


@pytest.fixture(scope="module")
def shed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("shed")
    (folder / "site.toml").write_text(SITE, encoding="utf-8")
    new_site(folder / "site.db", folder / "site.toml", lambda: SUNDAY).close()
    return folder / "site.db"


@pytest.fixture
def desk(shed: Path, tmp_path: Path) -> Iterator[Desk]:
    for part in shed.parent.glob("site.db*"):
        shutil.copy(part, tmp_path / part.name)
    found = open_desk(tmp_path / "site.db", lambda: SUNDAY)
    yield found
    found.close()


def spoiled(desk: Desk, text: str, step: str = "infill", target: str = "front/left") -> tuple[tuple[str, float], ...]:
    return read_words(desk.standing(), DayWords(target, step, spoiled=text), SUNDAY).spoiled


@pytest.mark.parametrize("text", [
    "1", " 1 ", "1 board", "1 piece", "1 wool", "1 wool 50", "1 board wool", "1 wool board 50",
    "1 board wool board 50", "1 board of wool board 50", "wool board 50 1", "Wool Board 50 1 board",
    "wool board 50 = 1", "wool board 50=1 board", "wool 50=1", "wool = 1", "1;",
])
def test_a_board_is_spoiled_in_many_words(desk: Desk, text: str) -> None:
    assert spoiled(desk, text) == (("wool board 50", 1.0),)


@pytest.mark.parametrize(("text", "step", "amounts"), [
    ("2 packs", "infill", (("wool board 50", 12.0),)),
    ("1; 2 wool 100", "infill", (("wool board 50", 1.0), ("wool board 100", 2.0))),
    ("1; wool board 50 = 2", "infill", (("wool board 50", 3.0),)),
    ("4 pieces", "track", (("track screw", 4.0),)),
    ("12 screws", "infill", (("track screw", 12.0),)),
    ("1 edge; joint = 2", "track", (("edge track 50", 1.0), ("joint track 50", 2.0))),
    ("0.4 m", "fabric", (("oat cloth", 0.4),)),
    ("oat cloth 40 cm", "fabric", (("oat cloth", 0.4),)),
    ("0", "infill", (("wool board 50", 0.0),)),
    ("", "infill", ()),
])
def test_amounts_are_read(desk: Desk, text: str, step: str, amounts: tuple[tuple[str, float], ...]) -> None:
    assert spoiled(desk, text, step) == amounts


def test_a_bare_stick_is_of_the_only_track_around_the_bay(desk: Desk) -> None:
    """A bay that touches no other has edge track alone: a joint is what two bays share (the contract)."""
    assert spoiled(desk, "1 stick", "track", "front/alone") == (("edge track 50", 1.0),)
    now = desk.standing()
    bays = now.site.bays
    assert items_of_step(now.site, bays["live/front/alone"], "track") == ("edge track 50", "track screw")
    assert set(items_of_step(now.site, bays["live/front/mid"], "track")) == {"edge track 50", "joint track 50",
                                                                              "track screw"}
    with pytest.raises(Refused, match="that could be of (edge|joint) track 50 or (edge|joint) track 50; write e.g. "):
        spoiled(desk, "1 stick", "track")


def test_a_bare_amount_of_a_task_is_of_what_it_needs(desk: Desk) -> None:
    read = read_words(desk.standing(), DayWords("one: hang shelf", used="6"), SUNDAY)
    assert read.used == (("eye bolt", 6.0),)


@pytest.mark.parametrize(("text", "step", "said"), [
    ("1", "track", "edge track 50"), ("1", "make-good", "this step uses nothing from stock"),
    ("1", "fabric", "metres are likelier"), ("1.5", "infill", "boards are counted whole"),
    ("wool board 50", "infill", "say how much of it; write e.g. wool board 50 = 1"),
    ("wool 100", "infill", "say how much of it; write e.g. wool board 100 = 1"),
    ("wool board 75 1", "infill", "cannot read that"), ("1 slate", "infill", "cannot read that"),
    ("1 stick", "infill", "edge track 50 or joint track 50"),
    ("2 track 50", "infill", "edge track 50 or joint track 50"),
    ("1 board, 2 screws", "track", "with ; between two items"), ("= 1", "infill", "write wool board 50 = 1"),
    ("wool board 50 =", "infill", "write wool board 50 = 1"), ("slate = 1", "infill", "no item of that name"),
    ("1 stick wool board 50", "infill", "cannot read 'stick'"), ("-1", "infill", "negative"),
])
def test_what_could_be_of_several_items_or_of_none_is_refused_naming_them(desk: Desk, text: str, step: str,
                                                                            said: str) -> None:
    with pytest.raises(Refused) as refused:
        spoiled(desk, text, step)
    assert said in str(refused.value) and "\n" not in str(refused.value)


def test_a_part_of_a_name_never_takes_a_size_for_an_amount(desk: Desk) -> None:
    """`wool 75` of a site with boards of 50 and 100 is a board it does not have, not 75 boards."""
    for text in ("wool 75", "wool board 75", "edge track 100"):
        with pytest.raises(Refused):
            spoiled(desk, text)


def test_the_preview_says_what_was_understood(desk: Desk) -> None:
    words = DayWords("front/left", "infill", used="4", spoiled="1 board")
    found = preview_log(desk, read_words(desk.standing(), words, SUNDAY))
    assert found.spoiled == (("wool board 50", 1.0, "board"),)
    assert found.uses == (("wool board 50", 4.0, "board"),)


def test_an_entry_is_said_back_with_hours_and_day(desk: Desk) -> None:
    said = log_words(desk, DayWords("front/left", "set-out", hours="2:15")).sentence
    assert said == "Logged front/left, set-out 100%, 2:15 h."
    said = log_words(desk, DayWords("front/left", "infill", "50%", "90 min", spoiled="1", on="Fri 20 Mar")).sentence
    assert said.startswith("Logged front/left, infill 50%, 1:30 h, on Fri 20 Mar; used ")
    assert said.endswith("; spoiled 1 board of wool board 50.")
    assert log_words(desk, DayWords("front/left", "make-good", on="30 dec")).sentence.endswith(", on Tue 30 Dec 2025.")
    with pytest.raises(Refused, match=r"^Mon 23 Mar: that day is still to come"):
        log_words(desk, DayWords("front/left", "set-out", on="tomorrow"))


def test_a_correction_is_read_and_said_back_as_of_its_entry(desk: Desk) -> None:
    first = log_words(desk, DayWords("front/left", "infill", hours="1:00", on="yesterday")).entry
    said = correct_entry(desk, first, DayWords(spoiled="1"))
    assert said.sentence.startswith(f"Corrected #{first} as #{said.entry}: Logged front/left, infill 100%, 1:00 h, "
                                    "on Sat 21 Mar; used ")
    assert said.sentence.endswith("; spoiled 1 board of wool board 50.")
    # Of another step by the same words, it is of what that step uses.
    said = correct_entry(desk, said.entry, DayWords(step="fabric", spoiled="0.5 m"))
    assert said.sentence.endswith("; spoiled 0.5 m of oat cloth.")


def test_many_hours_in_one_entry_are_stored_with_a_caution(desk: Desk) -> None:
    found = log_words(desk, DayWords("front/left", "set-out", hours="15"))
    assert found.cautions == (f"15:00 h in one entry: if minutes were meant, correct #{found.entry} with 0:15.",)
    assert read_diary(desk).entries[0].hours_h == 15
    again = correct_entry(desk, found.entry, DayWords(hours="0:15"))
    assert again.cautions == () and "0:15 h" in again.sentence
    assert log_words(desk, DayWords("front/mid", "set-out", hours="12")).cautions == ()
    assert "13:00 h in one entry" in correct_entry(desk, again.entry, DayWords(hours="13")).cautions[0]


def test_an_order_says_its_day_as_the_screens_do(desk: Desk) -> None:
    assert place_order(desk, "wool 100", "16", date(2026, 7, 3)).sentence == (
        "Ordered 16 boards of wool board 100, due Fri 3 Jul.")
    assert place_order(desk, "wool board 100", "1 pack").sentence.endswith(", due Fri 27 Mar.")
    line = next(one for one in stock(desk).items if one.item == "wool board 100")
    assert line.due == date(2026, 7, 3) and line.on_order == 20
    with pytest.raises(Refused, match=r"^eye bolt: due Fri 20 Mar is past"):
        place_order(desk, "eye bolt", "4", date(2026, 3, 20))


def test_an_order_due_in_a_year_is_stored_with_a_caution(desk: Desk) -> None:
    """A day just gone by, typed without its year, is the next such day."""
    found = place_order(desk, "eye bolt", "4", date(2027, 3, 20))
    assert found.sentence.endswith(", due Sat 20 Mar 2027.") and "363 days ahead" in found.cautions[0]
    assert place_order(desk, "eye bolt", "4", date(2026, 9, 21)).cautions == ()


def test_a_delivery_says_what_is_still_due(desk: Desk) -> None:
    place_order(desk, "wool board 100", "16", date(2026, 3, 27))
    assert take_delivery(desk, "wool board 100", "12").sentence == (
        "Received 12 boards of wool board 100; 4 more are due Fri 27 Mar.")
    assert last_change(desk) == "Received 12 boards of wool board 100."
    place_order(desk, "wool board 100", "8", date(2026, 4, 2))
    assert take_delivery(desk, "wool board 100", "3").sentence.endswith(
        "; 1 more is due Fri 27 Mar and 8 are due Thu 2 Apr.")
    assert take_delivery(desk, "wool board 100", "9").sentence == "Received 9 boards of wool board 100."


def test_what_is_late_or_beyond_two_orders_is_said_too(desk: Desk) -> None:
    place_order(desk, "oat cloth", "5 m", date(2026, 3, 25))
    for day in (26, 27, 28):
        place_order(desk, "oat cloth", "2 m", date(2026, 3, day))
    desk.today = lambda: date(2026, 3, 26)
    assert take_delivery(desk, "oat cloth", "1.5 m").sentence == (
        "Received 1.5 m of oat cloth; 3.5 m more were due Wed 25 Mar and 2 m are due Thu 26 Mar, and 4 m later.")


def test_one_item_is_found_by_a_part_of_its_name_and_two_are_named(desk: Desk) -> None:
    assert count_stock(desk, "screws", "400").sentence.startswith("Counted 400 pieces of track screw")
    assert count_stock(desk, "WOOL 50", "30").sentence.startswith("Counted 30 boards of wool board 50")
    with pytest.raises(Refused, match="did you mean wool board 50, wool board 100"):
        count_stock(desk, "wool", "3")


def test_the_command_takes_a_bare_amount_too(desk: Desk, capsys: pytest.CaptureFixture[str]) -> None:
    store = ["--store", str(desk.path)]
    assert main([*store, "log", "front/left", "--step", "infill", "--spoiled", "1", "--spoiled", "4 screws"]) == 0
    assert "; spoiled 1 board of wool board 50, 4 pieces of track screw." in capsys.readouterr().out
    assert main([*store, "log", "front/mid", "--step", "infill", "--spoiled", " "]) == 2
    assert "--spoiled: write an item and how much of it" in capsys.readouterr().err
    assert main([*store, "order", "wool 100", "1 pack", "--due", "12/4"]) == 2
    assert "12 Apr or 4 Dec" in capsys.readouterr().err
