"""Measured decay times: read as people write them, refused in one line, kept, undone, and what was up when."""

from datetime import date

import pytest

from tracker.domain.errors import Refused
from tracker.services.answers import as_json
from tracker.services.desk import Desk
from tracker.services.diary import log_day
from tracker.services.diary_answers import DayLog
from tracker.services.measurements import (
    MeasuredWords,
    as_measured,
    drop_measurement,
    put_measurement,
    read_decay,
    read_in,
    state_words,
    type_measurement,
    up_then,
)
from tracker.services.sound import sound_report
from tracker.services.undo import undo_last
from tracker.store.measurements import StoredMeasurement

BARE = MeasuredWords("125=0.72 500=0.72 1k=0.72 4000=0.72", phase="bare", on="2026-03-02", temperature="18",
                     humidity="45", positions="6", metric="T30")


@pytest.fixture
def desk(box_desk: Desk) -> Desk:
    return box_desk


def put_up(desk: Desk, target: str, on: date, done: float = 1.0) -> None:
    log_day(desk, DayLog(target, "infill", done=done, on=on, used=()))


@pytest.mark.parametrize("text", ["125=0.62 1000=0.5", "125=0,62, 1k=.5", "125Hz=0.62s 1kHz = 0.5 s".replace(" s", "s"),
                                  "1000=0.5 500=- 125=0.62"])
def test_decay_times_are_read_as_people_write_them(text):
    assert read_decay(text) == (0.62, None, None, 0.5, None, None)


@pytest.mark.parametrize(("text", "says"), [
    ("", "no decay time"), ("125", "band=seconds"), ("125=abc", "band=seconds"), ("63=0.5", "leave other bands out"),
    ("125=0.5 125=0.6", "given twice"), ("125=-0.5", "band=seconds"), ("125=0.5,250=0.6", "band=seconds"),
])
def test_what_is_no_decay_time_is_refused_with_an_example(text, says):
    with pytest.raises(Refused, match=says):
        read_decay(text)


@pytest.mark.parametrize(("changed", "says"), [
    ({"phase": "three"}, "phase three: no phase of that name; write bare or one of one, two"),
    ({"room": "hall"}, "room hall: no room of that name; the rooms are live"),
    ({"on": "2026-03-21"}, "still to come"), ({"on": "someday"}, "someday"),
    ({"positions": "0"}, "positions"), ({"positions": "two"}, "positions"), ({"metric": "edt"}, "t20 or t30"),
    ({"temperature": "warm"}, "temperature"), ({"humidity": "140"}, "humidity"), ({"decay": "125=25"}, "up to 20 s"),
    ({"decay": "500=- 125=-"}, "at least one"),
])
def test_a_wrong_word_is_refused_and_nothing_is_stored(desk, changed, says):
    words = {"decay": "125=0.5"} | changed
    with pytest.raises(Refused, match=says) as refusal:
        type_measurement(desk, MeasuredWords(**words))
    assert "\n" not in str(refusal.value)
    assert read_in(desk) == ()


def test_one_step_of_undo_takes_a_measurement_back_and_another_puts_a_dropped_one_back(desk):
    said = type_measurement(desk, BARE)
    assert said.sentence == 'Stored the measurement "bare" of live: 4 bands, bare.' and said.changed == {"measure"}
    with pytest.raises(Refused, match="has a measurement of that name"):
        type_measurement(desk, MeasuredWords("125=0.5", name="bare"))
    kept = read_in(desk)
    drop_measurement(desk, "bare")
    assert read_in(desk) == ()
    undo_last(desk)
    assert read_in(desk) == kept
    undo_last(desk)
    assert read_in(desk) == ()
    with pytest.raises(Refused, match="none is stored"):
        drop_measurement(desk, "bare")


def test_what_was_up_follows_from_the_diary_up_to_the_day_or_from_the_phase_named(desk):
    put_up(desk, "north/left", date(2026, 3, 5))
    put_up(desk, "north/right", date(2026, 3, 8), done=0.5)
    put_up(desk, "north/right", date(2026, 3, 12))
    for on, up in (("2026-03-04", {}), ("2026-03-05", {"left": 1.0}), ("2026-03-09", {"left": 1.0, "right": 0.5}),
                   ("2026-03-12", {"left": 1.0, "right": 1.0})):
        type_measurement(desk, MeasuredWords("500=0.5", on=on))
        one = next(each for each in read_in(desk) if each.name == on)
        assert up_then(desk.standing(), one) == {f"live/north/{name}": share for name, share in up.items()}
    said = type_measurement(desk, MeasuredWords("500=0.4", phase="two", on="2026-03-13"))
    two = next(each for each in read_in(desk) if each.phase == "two")
    assert set(up_then(desk.standing(), two)) == set(desk.standing().site.bays)
    assert any("the diary says otherwise of south/middle, cloud/main" in one for one in said.cautions)
    assert state_words(desk.standing(), read_in(desk)[1]) == "1 bay up by the diary on 2026-03-05"


def test_a_phase_in_two_rooms_needs_the_room_named_only_where_there_are_two(desk):
    assert type_measurement(desk, MeasuredWords("500=0.5")).sentence.endswith("of live: 1 band, bare by the diary on "
                                                                               "2026-03-20.")
    assert read_in(desk)[0].temperature_c == 18.0 and read_in(desk)[0].humidity_pct == 45.0


def test_figures_from_a_sweep_are_used_as_those_typed_in(desk):
    swept = StoredMeasurement(
        room="live", name="swept", source="sweep", on=date(2026, 3, 2), t_s=(0.72, None, 0.72, 0.72, None, 0.72),
        metric="t30", temperature_c=18.0, humidity_pct=45.0, positions=6, phase="bare",
        more={"t20_s": (0.70,) * 6, "valid": ((), ("noise",), (), (), ("noise",), ())})
    with desk.store.write() as session:
        put_measurement(session, desk.standing_in(session), swept)
        session.sentence = "Read a sweep."
    found = read_in(desk)[0]
    assert found.more == {"t20_s": (0.70,) * 6, "valid": ([], ["noise"], [], [], ["noise"], [])}
    assert as_measured(desk.standing(), found).decay_s == swept.t_s
    by_sweep = sound_report(desk).rooms[0]
    drop_measurement(desk, "swept")
    type_measurement(desk, BARE)
    typed = sound_report(desk).rooms[0]
    assert by_sweep.calibrated_on == "swept" and typed.calibrated_on == "bare"
    assert as_json(by_sweep.planned) == as_json(typed.planned)
    assert by_sweep.measured[0].source == "sweep" and by_sweep.measured[0].expanded_s == typed.measured[0].expanded_s
