"""The cut list at the saw: planned with one key, ticked off, a piece cut wrong told with one key."""

import pytest
from textual import events

from tracker.services.desk import Desk
from tracker.services.take_off import take_off


@pytest.fixture
def store(planned_store, copied):
    """A copy of the demo's store with a plan kept."""
    return copied(planned_store)


async def test_a_board_is_ticked_off_with_one_key_and_the_cursor_goes_on(opened, desk: Desk) -> None:
    first = take_off(desk).boards[0]
    async with opened() as hands:
        await hands.press("7", "space")
        assert "1 of" in hands.text and "board 2" in hands.text
        assert desk.standing().ticks == {cut.piece for cut in first.cuts}
        await hands.press("up", "space")
        assert desk.standing().ticks == frozenset()


async def test_a_miscut_is_one_key_and_undo_takes_it_back(opened, desk: Desk) -> None:
    before = take_off(desk)
    shared = next(number for number, board in enumerate(before.boards) if len(board.cuts) > 1)
    piece = before.boards[shared].cuts[1].piece
    async with opened() as hands:
        await hands.press("7", *["down"] * shared, "right")
        hands.pressed = 0
        await hands.press("x")
        assert hands.pressed == 1
        assert f"{piece} cut wrong" in hands.text
        assert [one.piece for one in desk.standing().miscuts] == [piece]
        await hands.press("u", "enter")
    assert take_off(desk) == before


async def test_a_second_press_marks_no_piece_that_nobody_chose_and_the_sentence_says_how_to_take_it_back(
        opened, desk: Desk) -> None:
    async with opened(size=(80, 24)) as hands:
        await hands.press("7", "right", "x")
        said = " ".join(hands.text.split())
        assert "Not so: u takes it back." in said and "u undo" in hands.lines[-1] and "x miscut" in hands.lines[-1]
        assert not any(line.startswith(" x ") for line in hands.lines[-4:-1]), "x is the sign of done"
        await hands.press("x")
        assert len(desk.standing().miscuts) == 1 and "Point at another" in hands.text
        await hands.press("down", "x")
        assert len(desk.standing().miscuts) == 2
        await hands.press("u", "enter", "u", "enter")
        assert not desk.standing().miscuts


async def test_the_head_says_all_that_is_to_be_cut(opened, desk: Desk) -> None:
    plan = take_off(desk)
    async with opened(size=(80, 24)) as hands:
        await hands.press("7")
        head = " ".join(" ".join(hands.lines[1:5]).split())
        for line in plan.items:
            if line.form in ("board", "stick") and line.need:
                assert f"{line.need:.0f} × {line.item}" in head


async def test_a_piece_the_cursor_went_on_to_by_itself_is_asked_for_before_it_is_marked(opened, desk: Desk) -> None:
    async with opened() as hands:
        await hands.press("7", "space", "x")
        assert f"Was {hands.app.screen.piece} cut wrong?" in " ".join(hands.text.split())
        assert not desk.standing().miscuts
        await hands.press("up", "x")
        assert len(desk.standing().miscuts) == 1, "chosen by hand, one press is enough"
        await hands.press("u", "enter", "space", "x", "x")
        assert len(desk.standing().miscuts) == 1


async def test_the_cuts_of_the_piece_pointed_at_come_into_sight(opened, desk: Desk) -> None:
    plan = take_off(desk)
    place, board = max(enumerate(plan.boards), key=lambda pair: len(pair[1].saw))
    async with opened(size=(80, 24)) as hands:
        await hands.press("7", *["down"] * place)
        for cut in (*board.cuts, board.cuts[0]):
            row = next(line for line in hands.lines if "▸ ·" in line)
            assert cut.piece in row
            await hands.press("right")


async def test_what_is_not_here_yet_is_marked_and_warnings_stand_by_the_cuts(opened, desk: Desk) -> None:
    plan = take_off(desk)
    coming = next(place for place, board in enumerate(plan.boards) if not board.here)
    warned = next(one for one in plan.warnings if any(cut.bay == one.bay for cut in plan.boards[0].cuts))
    async with opened(size=(120, 40)) as hands:
        await hands.press("7")
        assert f"! {warned.bay}: {warned.text[:20]}" in " ".join(hands.text.split())
        await hands.press(*["down"] * coming)
        assert "~ not here yet" in hands.text and "▸~ board" in hands.text


async def test_the_first_key_may_be_a_miscut_and_a_second_in_one_packet_marks_nothing(opened, desk: Desk) -> None:
    async with opened() as hands:
        await hands.press("7")
        for _ in range(2):
            hands.app._driver.process_message(events.Key("x", "x"))
        await hands.settle()
        assert len(desk.standing().miscuts) == 1


async def test_ticks_in_one_packet_tick_one_board_each(opened, desk: Desk) -> None:
    plan = take_off(desk)
    async with opened() as hands:
        await hands.press("7")
        for _ in range(3):
            hands.app._driver.process_message(events.Key("space", " "))
        await hands.settle()
        assert desk.standing().ticks == {cut.piece for board in plan.boards[:3] for cut in board.cuts}


async def test_enter_behind_a_miscut_ticks_nothing_unasked(opened, desk: Desk) -> None:
    async with opened() as hands:
        await hands.press("7", "down", "x", "enter")
        assert desk.standing().ticks == frozenset() and "Once more ticks" in " ".join(hands.text.split())
        await hands.press("enter")
        assert desk.standing().ticks
