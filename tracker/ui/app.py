"""The application: its looks, the views a key apart, and the actions that work from all of them."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Iterator
from functools import partial
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar

from textual import events, work
from textual.app import SystemCommand
from textual.binding import Binding, BindingType
from textual.command import Provider
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.filter import LineFilter
from textual.screen import ModalScreen, Screen
from textual.widget import Widget

from tracker.domain.errors import Unusable
from tracker.ui import ask
from tracker.ui.kept_app import KeptApp
from tracker.ui.keys_in_turn import HeldKeys
from tracker.ui.plain import PlainCharacters, utf8_locale
from tracker.ui.themes import DAY, NIGHT, first_theme, scrollbar_colours, tape_colours
from tracker.ui.view import View
from tracker.ui.views import VIEWS, view_class

if TYPE_CHECKING:
    from tracker.services.desk import Desk


def _palette() -> type[Provider]:
    from tracker.ui.palette import Actions
    return Actions


class SabinryApp(KeptApp):
    """The screens over one store; `desk` may be a function that opens it, so that the first picture need not wait."""

    TITLE = "Sabinry"
    CSS_PATH = Path(__file__).with_name("sabinry.tcss")
    COMMANDS: ClassVar[set[Any]] = {_palette}
    MODES: ClassVar[dict[str, Any]] = {view.id: partial(lambda name: view_class(name)(), view.id) for view in VIEWS}
    DEFAULT_MODE = "today"
    HORIZONTAL_BREAKPOINTS: ClassVar[list[tuple[int, str]] | None] = [(0, "-narrow"), (72, "-middle"), (104, "-wide")]
    VERTICAL_BREAKPOINTS: ClassVar[list[tuple[int, str]] | None] = [(0, "-short"), (24, "-low"), (30, "-tall")]
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("l", "form('log')", "log", id="work.log", tooltip="Log work: what was done, in how many hours"),
        Binding("w", "clock", "clock", id="work.clock", tooltip="Start or stop the clock; an entry takes its hours"),
        Binding("k", "form('check')", "check", id="work.check", tooltip="Check whether a bay can be started now"),
        Binding("d", "form('delivery')", "delivery", id="stock.delivery", tooltip="Take a delivery"),
        Binding("c", "form('count')", "count", id="stock.count", tooltip="Count an item and set the book right"),
        Binding("o", "form('order')", "order", id="stock.order", tooltip="Order an item"),
        Binding("u", "form('undo')", "undo", id="work.undo", tooltip="Take back the last change, whatever it was"),
        *(Binding(str(place), f"view('{view.id}')", view.title, id=f"view.{view.id}", show=False,
                  tooltip=f"{view.title}: {view.what}") for place, view in enumerate(VIEWS, start=1)),
        Binding("colon", "command_palette", "actions", id="app.actions", show=False,
                tooltip="Every action by its name"),
        Binding("question_mark", "keys", "keys", id="app.keys", tooltip="The keys of this view"),
        Binding("q", "quit", "quit", id="app.quit", tooltip="Leave; everything is saved already"),
    ]

    def __init__(self, desk: Desk | Callable[[], Desk], theme: str | None = None, plain: bool | None = None) -> None:
        super().__init__(desk)
        self.register_theme(NIGHT)
        self.register_theme(DAY)
        known = self.available_themes
        self.begin_with(theme if theme is not None and theme in known else first_theme(known))
        self._typed_ahead: HeldKeys | None = None
        """Keys that came while a form is being opened or is accepted; None while none is."""
        self._plain = PlainCharacters(not utf8_locale() if plain is None else plain)

    @property
    def enter_name(self) -> str:
        """The Enter key as it is written: a sign, and a word where the terminal has no such sign."""
        return "enter" if self._plain.enabled else "↵"

    def get_theme_variable_defaults(self) -> dict[str, str]:
        return tape_colours(self.current_theme)

    def get_css_variables(self) -> dict[str, str]:
        return scrollbar_colours(super().get_css_variables())

    def get_line_filters(self) -> list[LineFilter]:
        return [*super().get_line_filters(), *([self._plain] if self._plain.enabled else [])]

    def modules_ahead(self) -> Iterable[str]:
        yield from (f"tracker.ui.screens.{view.id}" for view in VIEWS)
        yield from (f"tracker.ui.forms.{name}" for name in dict.fromkeys(FORMS.values()))

    def widgets_ahead(self) -> Iterator[Widget]:
        from tracker.ui.forms.field import Field
        from tracker.ui.widgets.drawing import Drawing
        field = Field("", "")
        yield from (Drawing(), field.input, field, Vertical(), Horizontal(), VerticalScroll(), ModalScreen())

    async def action_view(self, name: str) -> None:
        """Goes to one of the views."""
        if name != self.current_mode:
            await self.switch_mode(name)

    def action_form(self, name: str) -> None:
        """Opens a form over the view on show."""
        if not isinstance(self.screen, View):
            return
        self._open(name, self.hold_keys())

    @work(exclusive=True, group="form", exit_on_error=False)
    async def _open(self, name: str, typed: HeldKeys) -> None:
        form = None
        try:
            if self._desk is None:
                # A form begins with what was typed before: the store must be open for it.
                await self.db(lambda desk: None)
            form = import_module(f"tracker.ui.forms.{FORMS[name]}").FORMS[name](self.screen)
            await self.push_screen(form, self.tell)
        finally:
            self.give_keys(typed, wanted=self.screen is form)

    def hold_keys(self) -> HeldKeys:
        """Keeps keys from now on, until they are given to what is on the screen then."""
        self._typed_ahead = []
        return self._typed_ahead

    def give_keys(self, held: HeldKeys, wanted: bool = True) -> None:
        """Ends a hold, and lets its keys come as if typed now; where nothing is there that wants them, drops them."""
        if self._typed_ahead is held:
            self._typed_ahead = None
        for event in held if wanted else ():
            self.post_message(event)

    def held_back(self, event: events.Key | events.Paste) -> bool:
        waits = self._desk is None
        if self._typed_ahead is None or waits and isinstance(event, events.Key) and event.key in AT_ONCE:
            return False
        # Meant for what is on the screen then, and not for what is there now.
        self._typed_ahead.append(event)
        return True

    def order(self, item: str) -> None:
        """Opens the order form for an item."""
        if isinstance(self.screen, View):
            self.screen.point(item)
        self.call_later(self.action_form, "order")

    def action_keys(self) -> None:
        """Shows the keys of this view."""
        self.action_form("keys")

    def action_theme(self) -> None:
        """Changes between the dark and the light look."""
        self.theme = "day" if self.current_theme.dark else "night"

    def get_system_commands(self, screen: Screen[Any]) -> Iterable[SystemCommand]:
        yield SystemCommand("Clock: set it back", "Sets the clock back to nothing", self.action_reset_clock)
        yield SystemCommand("App: light or dark", "Changes between the dark and the light look", self.action_theme)

    def _fatal_error(self) -> None:
        # Private in Textual, touched only here: its own report prints local variables, and with them a person's notes.
        error = self._exception or sys.exc_info()[1] or RuntimeError("unknown")
        path = ask.write_fault(error)
        where = f"What happened is written in {path}" if path else f"It was: {type(error).__name__}: {error}"
        self.last_words = f"stopped on a fault of its own; everything up to the last step is saved. {where}"
        self._close_messages_no_wait()

    def on_key(self, event: events.Key) -> None:
        """A form that is being opened is not opened over an Escape pressed since."""
        if event.key == "escape":
            self.workers.cancel_group(self, "form")
            self._typed_ahead = None

AT_ONCE = ("escape", "ctrl+q", "ctrl+c")
"""Keys that wait for no form that itself waits for the store."""
FORMS = {
    "log": "log", "check": "check", "undo": "undo", "correct": "correct", "measure": "measure",
    "delivery": "movement", "count": "movement", "order": "movement", "spoil": "movement", "return": "movement",
    "movements": "behind", "buy": "behind", "keys": "behind",
    "sum": "behind_sound", "build-ups": "behind_sound", "measured": "sound", "what-if": "sound",
    "sweep": "sweep", "before-after": "overlay",
}
"""Form by name: the module in `forms` that has it."""


def run(desk: Desk | Callable[[], Desk]) -> int:
    """Opens the screens on a store and returns the exit status; a store the screens opened they close."""
    app = SabinryApp(desk)
    app.run()
    if app.last_words:
        print(f"sabinry: {app.last_words}", file=sys.stderr)
    if app.unusable:
        raise Unusable(app.unusable)
    return app.return_code or 0
