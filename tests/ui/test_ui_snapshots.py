"""Pictures of the views; after a wanted change: `python -m pytest tests/ui/test_ui_snapshots.py --snapshot-update`."""

from __future__ import annotations

import pytest

from tracker.ui.views import VIEWS

KEYS = {view.id: str(place) for place, view in enumerate(VIEWS, start=1)}


@pytest.mark.parametrize("view", KEYS)
def test_view_at_80x24(pictured, view):
    assert pictured(KEYS[view])


@pytest.mark.parametrize("view", ["today", "room", "sound"])
def test_view_at_120x40(pictured, view):
    assert pictured(KEYS[view], size=(120, 40))


@pytest.mark.parametrize("view", ["today", "room", "stock"])
def test_view_in_the_light(pictured, view):
    assert pictured(KEYS[view], theme="day")


def test_today_at_60x20(pictured):
    assert pictured("1", size=(60, 20))


def test_today_without_colour(pictured, monkeypatch):
    monkeypatch.setenv("NO_COLOR", "1")
    assert pictured("1")


@pytest.mark.parametrize("key", ["l", "k", "d"])
def test_form_at_80x24(pictured, key):
    assert pictured(key)
