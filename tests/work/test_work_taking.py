"""Half a wall of track: what is up is never cut again."""

from datetime import date
from pathlib import Path

from tracker.services.diary import log_day
from tracker.services.diary_answers import DayLog
from tracker.services.setup import new_site
from tracker.services.stock import stock
from tracker.services.take_off import take_off

LOFT = Path(__file__).resolve().parent.parent / "data" / "geometry_loft.toml"


def test_a_spliced_run_put_up_in_two_goes_takes_the_sticks_of_one(tmp_path: Path) -> None:
    desk = new_site(tmp_path / "site.db", LOFT, lambda: date(2026, 9, 13))
    whole = {line.item: line.need for line in take_off(desk, "gable/whole").items}["square edge track"]
    cuts = [cut.piece for stick in take_off(desk, "gable/whole").sticks for cut in stick.cuts]
    assert any(piece.endswith(".2") for piece in cuts), "a side of the gable is longer than a stick"
    before = {line.item: line.on_hand for line in stock(desk).items}["square edge track"]
    log_day(desk, DayLog("gable/whole", "track", done=0.5))
    left = [cut.piece for stick in take_off(desk, "gable/whole").sticks for cut in stick.cuts]
    assert 0 < len(left) < len(cuts)
    log_day(desk, DayLog("gable/whole", "track"))
    after = {line.item: line.on_hand for line in stock(desk).items}["square edge track"]
    desk.close()
    assert before - after <= whole + 1
