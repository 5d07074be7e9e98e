"""What makes the screens quick: style sheets are read once for each look, and no picture waits longer than it must."""

from __future__ import annotations

import asyncio
from collections.abc import Iterable, Iterator
from contextlib import ExitStack
from importlib import import_module
from time import monotonic

from textual import events, work
from textual.app import AwaitMount
from textual.screen import Screen
from textual.widget import Widget

from tracker.ui.garbage import Garbage
from tracker.ui.keys_in_turn import KeysInTurn
from tracker.ui.view import View

HOLD_S = 0.03
"""How long a view without its figures yet leaves the one before it on the screen, so that no empty one flashes by."""
SEARCH_EVERY_S = 1.0
"""How often to ask whether there is time to search for garbage."""
PAUSE_S = 0.02
"""What keys may use between two pieces of work that is done ahead."""
PREPARE_EVERY_S = 0.2
"""How often to ask whether there is time to make one more view ready."""
IDLE_S = 0.4
"""No key for so long: there is."""


class QuickApp(KeysInTurn):
    """The application without waiting, and without reading style sheets again, at the change of a view."""

    def __init__(self) -> None:
        super().__init__()
        self._held = ExitStack()
        self.holding = False
        """Whether a picture is held back."""
        self._styled = ""
        self._begun = False
        self.read_ahead_done = False
        """What the views show has been worked out once."""
        self._last_key = monotonic()
        self._garbage = Garbage()

    def on_mount(self) -> None:
        self._garbage.begin()
        self.set_interval(SEARCH_EVERY_S, lambda: self._garbage.look(self._last_key))
        self.set_interval(PREPARE_EVERY_S, self._prepare_one)

    def on_unmount(self) -> None:
        self._garbage.end()

    async def on_event(self, event: events.Event) -> None:
        if isinstance(event, events.InputEvent):
            self._last_key = monotonic()
        await super().on_event(event)

    def begin_with(self, theme: str) -> None:
        """Takes a look before anything is drawn, so that the style sheets are read for it alone."""
        self.theme = theme
        self.stylesheet.set_variables(self.get_css_variables())
        self._styled = theme

    def refresh_css(self, animate: bool = True) -> None:
        """Styles all screens for another look; Textual asks for it at the first visit of a view too."""
        if self._styled == self.theme:
            return
        self._styled = self.theme
        super().refresh_css(animate)
        for mode in self.MODES:
            for screen in self._built(mode):
                if screen not in self.screen_stack:
                    self.stylesheet.update(screen)

    def _built(self, mode: str) -> list[Screen[object]]:
        """The screens of a mode; none before its first visit."""
        try:
            return self.get_screen_stack(mode)
        except KeyError:
            return []

    def switch_mode(self, mode: str) -> AwaitMount:
        """Goes to a view; the one before it stays in sight until the other has its figures."""
        if not any(isinstance(screen, View) and screen.ready for screen in self._built(mode)):
            self.hold_picture()
        return super().switch_mode(mode)

    def delay_update(self, delay: float = 0.05) -> None:
        """Textual holds every picture so long at the change of a view; here `switch_mode` does, where there is need."""
        if not isinstance(self.screen, View):
            super().delay_update(delay)

    def hold_picture(self) -> None:
        """Leaves what is on the screen until `let_picture`, and not longer than `HOLD_S`."""
        self._held.close()
        self.holding = True
        self._held.enter_context(self.batch_update())
        timer = self.set_timer(HOLD_S, self.let_picture)
        self._held.callback(timer.stop)
        self._held.callback(self._draw)

    def let_picture(self) -> None:
        """Draws what was held."""
        self._held.close()

    def _draw(self) -> None:
        self.holding = False
        for screen in self.screen_stack[-1:]:
            screen.refresh()

    def shown(self, view: View) -> None:
        """A view shows what it read; after the first one the others are made ready."""
        if view.is_active:
            self.let_picture()
        if not self._begun:
            self._begun = True
            self.call_after_refresh(self._load_ahead)

    def modules_ahead(self) -> Iterable[str]:
        """The modules of what may be opened next."""
        return ()

    def widgets_ahead(self) -> Iterator[Widget]:
        """One widget of each kind that may be shown next, asked for when those modules are loaded."""
        yield from ()

    @work(group="load", exit_on_error=False)
    async def _load_ahead(self) -> None:
        """Loads modules on a thread, then reads the style sheets of kinds of widgets, a few milliseconds at a time."""
        for name in self.modules_ahead():
            await asyncio.to_thread(import_module, name)
        for widget in self.widgets_ahead():
            widget._post_register(self)  # Private in the pinned Textual: it reads the style sheet of the widget's kind.
            self.stylesheet.rules_map  # noqa: B018  Worked out when it is asked for.
            await asyncio.sleep(PAUSE_S)

    def _prepare_one(self) -> None:
        """Builds a view not visited yet, or has one read again, out of sight while nobody types: one at a time."""
        if not self.is_running or not self.read_ahead_done or monotonic() - self._last_key < IDLE_S:
            return
        views = [screen for mode in self.MODES for screen in self._built(mode)[:1] if screen not in self.screen_stack]
        waits = next((view for view in views if isinstance(view, View) and not view.ready), None)
        mode = next((mode for mode in self.MODES if not self._built(mode)), None)
        if waits is not None:
            waits.read_again()
        elif mode is not None:
            self._init_mode(mode)  # Private in the pinned Textual: what it does itself at the first visit of a view.
