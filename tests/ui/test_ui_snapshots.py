"""Pictures of the views; after a wanted change: `python -m pytest tests/ui/test_ui_snapshots.py --snapshot-update`.

One run of the screens takes all pictures of one size and look; a failure names the views that differ.
"""

from __future__ import annotations

import pytest
from textual.widgets import Input

from tracker.ui.views import VIEWS

FORMS = {"log": "l", "check": "k", "delivery": "d", "undo": "u", "keys": "question_mark"}


async def shown(hands, *keys):
    await hands.press(*keys)
    for field in hands.app.screen.query(Input):
        field.cursor_blink = False
    await hands.settle()


async def unlike(hands, kept):
    """The views that do not look as they are kept."""
    found = []
    for place, view in enumerate(VIEWS, start=1):
        await shown(hands, str(place))
        if not kept(hands, view.id):
            found.append(view.id)
    return found


@pytest.mark.parametrize("look", ["night", "day", "no-colour"])
@pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=["80x24", "120x40"])
async def test_every_view(opened, kept, monkeypatch, size, look):
    if look == "no-colour":
        monkeypatch.setenv("NO_COLOR", "1")
    async with opened(size=size, theme="day" if look == "day" else "night") as hands:
        assert not await unlike(hands, kept)


async def test_every_view_at_60x20(opened, kept):
    async with opened(size=(60, 20)) as hands:
        assert not await unlike(hands, kept)


async def test_forms_and_the_room_unfolded_and_zoomed(opened, kept):
    found = []
    async with opened() as hands:
        for name, key in FORMS.items():
            await shown(hands, key)
            found += [] if kept(hands, name) else [name]
            await hands.press("escape")
        for name, keys in {"unfolded": ("2", "a"), "zoomed": ("a", "down", "z"), "buy": ("3", "b")}.items():
            await shown(hands, *keys)
            found += [] if kept(hands, name) else [name]
    assert not found
