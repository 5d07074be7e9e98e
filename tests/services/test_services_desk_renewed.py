"""A standing brought up to date by what changed is the standing that reading everything gives."""

from __future__ import annotations

import random
import shutil
from datetime import date
from pathlib import Path

import pytest

from tracker.domain.errors import Refused
from tracker.services.demo import build_demo
from tracker.services.desk import Desk, open_desk
from tracker.services.diary import DayWords, correct_entry, log_words, read_diary
from tracker.services.overview import site_view, status
from tracker.services.stock import count_stock, movements, place_order, stock, take_delivery
from tracker.services.undo import undo_last

TODAY = date(2026, 3, 22)


@pytest.fixture(scope="module")
def kept_store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("renewed") / "demo.db"
    desk = build_demo(path, lambda: TODAY)
    desk.store.settle()
    desk.close()
    return path


def opened(path: Path) -> Desk:
    return open_desk(path, lambda: TODAY)


def change(desk: Desk, chance: random.Random) -> None:
    """One change by chance; one that is refused changes nothing."""
    standing = [entry.id for entry in desk.standing().diary]
    item = chance.choice(desk.standing().site.items).name
    todo = next((work for work in status(desk).next if work.step), None)
    try:
        match chance.randrange(8):
            case 0:
                place_order(desk, item, "3")
            case 1:
                take_delivery(desk, item, "2", "B1")
            case 2:
                count_stock(desk, item, str(chance.randrange(30)))
            case 3 if todo is not None:
                log_words(desk, DayWords(todo.target, todo.step, hours="1", note="a note", photos=("p.jpg",)))
            case 4:
                correct_entry(desk, chance.choice(standing), DayWords(hours="2:30", spoiled=((item, "1"),)))
            case 5:
                correct_entry(desk, chance.choice(standing), DayWords(done="100%"))
            case _:
                undo_last(desk)
    except Refused:
        pass


def all_that_is_asked(desk: Desk) -> list[object]:
    """What the screens show, and the plain values behind them."""
    now = desk.standing()
    return [now.site, now.numbers, dict(now.entries), list(now.entries), now.progress, now.pool, now.miscuts,
            {item: lines for item, lines in now.book.items() if lines}, now.book.last_position,
            {number: now.book.of_entry(number) for number in now.entries}, status(desk), site_view(desk), stock(desk),
            read_diary(desk), read_diary(desk, "board"), [movements(desk, item.name) for item in now.site.items]]


@pytest.mark.parametrize(("seed", "reads_book"), [(1, True), (2, False), (3, True)])
def test_reading_what_changed_gives_what_reading_all_gives(kept_store, tmp_path, seed, reads_book):
    path = tmp_path / "site.db"
    shutil.copy(kept_store, path)
    chance = random.Random(seed)
    ours, other = opened(path), opened(path)
    ours.standing()
    begun = ours.data_version()[0]
    if reads_book:
        read_diary(ours, "board")
    for number in range(24):
        change(chance.choice((ours, other)), chance)
        if number % 3 == 0:
            ours.standing()
        if number % 6 == 5:
            fresh = opened(path)
            assert all_that_is_asked(ours) == all_that_is_asked(fresh)
            fresh.close()
    assert ours.data_version() == other.data_version()
    assert ours.data_version()[0] - begun >= 12 and ours.data_version()[1] >= 3, "too little was changed to tell"
    ours.close()
    other.close()
