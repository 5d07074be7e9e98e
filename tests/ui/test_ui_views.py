"""The views: one key each, at any size, in plain characters, with every action in the palette."""

from __future__ import annotations

import asyncio

import pytest
from textual.app import App
from textual.binding import Binding
from textual.theme import BUILTIN_THEMES

from tracker.ui.app import FORMS, SabinryApp
from tracker.ui.palette import Actions
from tracker.ui.plain import plain_text
from tracker.ui.themes import DAY, NIGHT
from tracker.ui.views import VIEWS, view_class

FORBIDDEN = {"ctrl+m", "ctrl+i", "ctrl+h", "ctrl+j", "ctrl+b", "ctrl+a", "ctrl+s", "ctrl+z", "ctrl+enter",
             "shift+enter", "f1", "f10", "f11"}
"""Keys that a terminal or a multiplexer eats, or sends as another key."""
CORE = {"today": "Absorption area", "room": "mixing room/high wall", "stock": "wool board 100", "phases": "make-good",
        "sound": "decay time", "diary": "Stopped at the sill", "saw": "wool board 50"}


async def test_each_view_is_one_key_away_and_marked_by_a_sign(opened):
    async with opened() as hands:
        for place, view in enumerate(VIEWS, start=1):
            await hands.press(str(place))
            assert f"▸{place} {view.title}◂" in hands.lines[0]
            assert CORE[view.id] in hands.text


async def test_every_view_and_form_fits_its_size(opened):
    """In one run, from wide to narrow: a view that is there already is drawn as a new one is."""
    async with opened(size=(120, 40)) as hands:
        for size in ((120, 40), (80, 24), (60, 20)):
            await hands.pilot.resize_terminal(*size)
            await hands.settle()
            for place, view in enumerate(VIEWS, start=1):
                await hands.press(str(place))
                assert CORE[view.id].split("/")[-1] in hands.text, size
                assert "? keys" in hands.lines[-1], size
            forms = (("l", "log it"), ("k", "leave"), ("o", "ordered"), ("u", "take it back"),
                     ("question_mark", "leave"))
            for key, last_row in forms if size == (60, 20) else forms[:2]:
                await hands.press(key)
                assert last_row in hands.text, (size, key)
                focused = hands.app.focused
                assert focused is None or focused.region.bottom <= size[1]
                await hands.press("escape")


async def test_resizing_keeps_the_place_and_draws_again(opened):
    async with opened(size=(120, 40)) as hands:
        await hands.press("3", "down")
        await hands.pilot.resize_terminal(60, 20)
        await hands.settle()
        assert hands.app.screen.item == "wool board 100"
        assert all(len(line) <= 60 for line in hands.lines) and "wool board 100" in hands.text
        await hands.pilot.resize_terminal(80, 24)
        await hands.settle()
        assert hands.app.screen.item == "wool board 100"


async def test_planes_and_bays_are_walked_with_the_arrow_keys(opened):
    async with opened() as hands:
        await hands.press("2")
        first = hands.app.screen.bay.target
        assert first == "high wall/left", "the first bay that is not finished"
        await hands.press("down")
        assert hands.app.screen.bay.target == "high wall/window" and "▸window◂" in hands.text
        assert "Cut list" in hands.text and "wool board 50" in hands.text
        await hands.press("right")
        assert hands.app.screen.plane.name == "slope"
        await hands.press("left", "left")
        assert hands.app.screen.plane.name == "west"
        await hands.press("a")
        assert all(plane.name in hands.text for plane in hands.app.screen._planes)
        await hands.press("a", "right", "down", "z")
        assert " 1 " in hands.text, "pieces are numbered"


async def test_the_reason_of_a_cell_stands_below_the_grid(opened):
    async with opened() as hands:
        await hands.press("4")
        assert "[+ ready]" in hands.text
        await hands.press("down", "down", "right", "right", "left", "left", "left", "left", "right")
        assert hands.app.screen.step == "track" and hands.app.screen.target == "high wall/right"
        assert "[. waiting]" in hands.text
        await hands.press("enter")
        assert "high wall/right · track" in hands.text, "the form begins with the cell under the cursor"


async def test_the_movements_and_the_shopping_list_are_one_key_away(opened):
    async with opened() as hands:
        await hands.press("3", "enter")
        assert "Movements of wool board 50" in hands.text and "spoil" in hands.text and "opening" in hands.text
        await hands.press("escape", "b")
        assert "in all 85.20 EUR" in hands.text


async def test_the_keys_of_this_view_are_shown(opened):
    async with opened(size=(80, 50)) as hands:
        await hands.press("6", "question_mark")
        for word in ("in this view", "Search the diary as you type", "everywhere", "Take a delivery", "ctrl+p"):
            assert word in hands.text


async def test_the_mouse_opens_views_rows_and_keys(opened):
    async with opened() as hands:
        await hands.pilot.click(offset=(hands.lines[0].index("3 Stock") + 2, 0))
        await hands.settle()
        assert hands.app.screen.NAME == "stock"
        row = next(place for place, line in enumerate(hands.lines) if "edge track 50" in line)
        await hands.pilot.click(offset=(5, row))
        await hands.settle()
        assert hands.app.screen.item == "edge track 50"
        await hands.pilot.click(offset=(hands.lines[-1].index("b buy") + 1, 23))
        await hands.settle()
        assert "To buy" in hands.text


async def test_the_palette_lists_every_action_and_runs_one_of_another_view(opened):
    async with opened() as hands:
        provider = Actions(hands.app.screen)
        names = [str(hit.display) async for hit in provider.discover()]
        for owner in (SabinryApp, *(view_class(view.id) for view in VIEWS)):
            for binding in _bindings(owner):
                named = any(binding.tooltip.split(":")[0].split(";")[0] in name for name in names)
                assert named or binding.action == "command_palette", binding.id
        assert len(set(names)) == len(names)
        hit = [hit async for hit in provider.search("shopping list")][0]
        await hit.command()
        await hands.settle()
        assert hands.app.screen_stack[-2].NAME == "stock" and "To buy" in hands.text


async def test_the_palette_opens_without_a_chord_and_runs_what_is_typed(opened):
    async with opened() as hands:
        await hands.press(":")
        await hands.type("shopping list")
        await hands.press("enter")
        async with asyncio.timeout(60):
            while "To buy" not in hands.text:
                await hands.settle()


def _bindings(owner: type) -> list[Binding]:
    return [binding for binding in vars(owner).get("BINDINGS", ()) if isinstance(binding, Binding)]


def _owners() -> list[type]:
    from importlib import import_module

    from tracker.ui.forms.form import Form, Panel
    from tracker.ui.widgets.row_list import RowList
    forms = [import_module(f"tracker.ui.forms.{module}").FORMS[name] for name, module in FORMS.items()]
    return [SabinryApp, RowList, Panel, Form, *forms, *(view_class(view.id) for view in VIEWS)]


def test_every_binding_has_an_id_and_a_sentence_and_a_key_that_arrives():
    seen: dict[str, type] = {}
    for owner in _owners():
        for binding in _bindings(owner):
            assert binding.id and binding.tooltip and binding.description, (owner, binding)
            assert not set(binding.key.split(",")) & FORBIDDEN, (owner, binding)
            assert "+" not in binding.key, "no chords"
            assert seen.setdefault(binding.id, owner) in owner.__mro__ or owner in seen[binding.id].__mro__
    everywhere = {binding.key for binding in _bindings(SabinryApp)}
    for view in VIEWS:
        keys = [key for binding in _bindings(view_class(view.id)) for key in binding.key.split(",")]
        assert len(keys) == len(set(keys)) and not everywhere & set(keys), view


def test_bindings_are_all_declared_with_names():
    for owner in _owners():
        assert all(isinstance(binding, Binding) for binding in vars(owner).get("BINDINGS", ())), owner


async def test_a_plain_locale_gets_plain_characters_only(opened):
    async with opened(plain=True) as hands:
        for key in "123456l":
            await hands.press(key)
            strips = hands.app.screen._compositor.render_strips()
            filtered = [strip.apply_filter(hands.app._plain, hands.app.screen.background_colors[1]) for strip in strips]
            text = "\n".join(strip.text for strip in filtered)
            assert text.isascii(), [char for char in text if not char.isascii()]


def test_plain_characters_keep_their_width_and_their_weight():
    assert plain_text("█▒░ ▸x◂ │ é · 5 × 6 …") == "#=: >x< | e . 5 x 6 ~"
    assert plain_text("⠀⠁⣿⡇") == " .#:"
    assert plain_text("界") == "??"


def _luminance(colour: str) -> float:
    parts = [int(colour[place:place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("theme", [NIGHT, DAY], ids=lambda theme: theme.name)
def test_words_stand_out_from_their_ground(theme):
    # WCAG 2.2, success criterion 1.4.6 (enhanced contrast, 7:1), with its definition of relative luminance.
    for role in ("foreground", "primary", "secondary", "success", "warning", "error"):
        light, dark = sorted((_luminance(getattr(theme, role)), _luminance(theme.background)), reverse=True)
        assert (light + 0.05) / (dark + 0.05) >= 7, role


@pytest.mark.parametrize("theme", ["ansi-dark", "ansi-light"])
async def test_other_looks_open_too(opened, theme):
    async with opened(theme=theme) as hands:
        for key in "1234566l":
            await hands.press(key)
        assert "Log work" in hands.text


async def test_the_look_is_changed_from_the_palette(opened):
    async with opened() as hands:
        assert any("light or dark" in command.title for command in hands.app.get_system_commands(hands.app.screen))
        hands.app.action_theme()
        await hands.settle()
        assert hands.app.theme == "day"


def test_few_colours_keep_the_terminals_own(monkeypatch):
    from tracker.ui.themes import first_theme
    known = {*BUILTIN_THEMES, "night", "day"}
    assert first_theme(known) == "night"
    monkeypatch.setenv("COLORFGBG", "0;15")
    assert first_theme(known) == "day"
    monkeypatch.setenv("TERM", "linux")
    monkeypatch.delenv("COLORTERM")
    assert first_theme(known) == "ansi-light"
    monkeypatch.setenv("SABINRY_THEME", "night")
    assert first_theme(known) == "night"


def test_opening_needs_no_view_but_the_first(run_python):
    loaded = run_python("import sys, tracker.ui.app; print(*sorted(sys.modules))").split()
    for name in ("sqlmodel", "sqlalchemy", "shapely", "numpy", "scipy", "pint", "tracker.ui.screens.room",
                 "tracker.ui.forms.log"):
        assert name not in loaded, name
    assert issubclass(SabinryApp, App)
