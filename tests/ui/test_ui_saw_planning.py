"""Planning from the Saw view, on a site without a plan."""

from __future__ import annotations

import pytest

from tracker.services import cut_list
from tracker.services.desk import Desk
from tracker.services.take_off import take_off


@pytest.fixture(autouse=True)
def short_search(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cut_list, "SECONDS", 0.05)


async def test_bays_are_planned_together_and_the_plan_is_kept(opened, desk: Desk) -> None:
    async with opened() as hands:
        assert "stick of edge track 100  none on order: plan it in 7 Saw" in hands.text
        await hands.press("7")
        assert "not kept yet" in hands.text
        await hands.press("p")
        assert "Kept a cutting plan" in hands.text and "log takes what it says" in hands.text
        await hands.press("p")
        assert "it stands" in hands.text
        await hands.press("1")
        assert "edge track 100" not in hands.text, "cut together, what is here is enough"
    assert take_off(desk).kept


async def test_a_miscut_needs_a_plan_that_is_kept(opened, desk: Desk) -> None:
    async with opened() as hands:
        await hands.press("7", "x")
        assert "Keep the plan first" in hands.text
    assert not desk.standing().miscuts
