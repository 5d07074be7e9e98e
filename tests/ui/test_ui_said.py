"""What is said in the screens: sentences, whole however long, and remedies by keys."""

from __future__ import annotations

import pytest

from tracker.services.answers import Outcome
from tracker.ui.in_keys import in_keys
from tracker.ui.widgets.foot import MOST_ROWS, Said


@pytest.mark.parametrize(("said", "wanted"), [
    ("a 1: no plan is kept; `sabinry need` makes one", "a 1: no plan is kept; p in the Saw view makes one"),
    ("Done. `sabinry log --correct 16 --photo PATH` helps.", "Done. Correcting entry 16 in the Diary view helps."),
    ("`sabinry worth` tells", "`sabinry worth` tells")])
def test_remedies_name_keys_where_there_are_any(said, wanted):
    assert in_keys(said) == wanted


async def test_cautions_follow_as_sentences_and_names_stay_as_they_are(opened):
    async with opened() as hands:
        await hands.app.tell(Outcome("Kept.", frozenset(), ("the diary says otherwise", "x.jpg: no such photo"))).wait()
        assert hands.app.said[0] == "Kept. The diary says otherwise. x.jpg: no such photo."


async def test_a_long_sentence_is_read_to_its_end_and_one_without_end_says_that_it_goes_on(opened):
    words = " ".join(f"word{number}" for number in range(60))
    async with opened(size=(80, 24)) as hands:
        hands.app.say(words)
        await hands.settle()
        assert "word59" in hands.text
    endless = Said()
    endless.set_reactive(Said.sentence, words * 5)
    lines = endless.lines(60)
    assert len(lines) == MOST_ROWS and lines[-1][-1][0].endswith("…")
