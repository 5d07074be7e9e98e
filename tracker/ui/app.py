"""The application: one thread for the store, six views a key apart, and the actions that work from all of them."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Iterable
from concurrent.futures import ThreadPoolExecutor
from datetime import date
from functools import partial
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar, TypeVar

from textual import work
from textual.app import App, SystemCommand
from textual.binding import Binding, BindingType
from textual.command import Provider
from textual.filter import LineFilter
from textual.screen import Screen
from textual.signal import Signal
from textual.worker import Worker, WorkerState

from tracker.domain.errors import Refused, Unusable
from tracker.ui.plain import PlainCharacters, utf8_locale
from tracker.ui.themes import DAY, NIGHT, first_theme, tape_colours
from tracker.ui.view import View
from tracker.ui.views import VIEWS, view_class

if TYPE_CHECKING:
    from tracker.services.answers import Outcome
    from tracker.services.desk import Desk

T = TypeVar("T")
EVERYTHING = frozenset({"diary", "stock", "plan", "measure"})
LOOK_EVERY_S = 1.0
"""How often to ask whether another program wrote to the store."""


def _palette() -> type[Provider]:
    from tracker.ui.palette import Actions
    return Actions


class SabinryApp(App[int]):
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
        Binding("k", "form('check')", "check", id="work.check", tooltip="Check whether a bay can be started now"),
        Binding("d", "form('delivery')", "delivery", id="stock.delivery", tooltip="Take a delivery"),
        Binding("c", "form('count')", "count", id="stock.count", tooltip="Count an item and set the book right"),
        Binding("o", "form('order')", "order", id="stock.order", tooltip="Order an item"),
        Binding("u", "form('undo')", "undo", id="work.undo", tooltip="Take back the last change, whatever it was"),
        *(Binding(str(place), f"view('{view.id}')", view.title, id=f"view.{view.id}", show=False,
                  tooltip=f"{view.title}: {view.what}") for place, view in enumerate(VIEWS, start=1)),
        Binding("question_mark", "keys", "keys", id="app.keys", tooltip="The keys of this view"),
        Binding("q", "quit", "quit", id="app.quit", tooltip="Leave; everything is saved already"),
    ]

    def __init__(self, desk: Desk | Callable[[], Desk], theme: str | None = None, plain: bool | None = None) -> None:
        super().__init__()
        self.register_theme(NIGHT)
        self.register_theme(DAY)
        self.theme = theme if theme in self.available_themes else first_theme(self.available_themes)
        self._plain = PlainCharacters(not utf8_locale() if plain is None else plain)
        self._pool = ThreadPoolExecutor(1, "store")
        self._desk_or_opener = desk
        self._desk: Desk | None = None
        self._version: Any = None
        self.changed: Signal[frozenset[str]] = Signal(self, "changed")
        self.today: date | None = None
        self.said: tuple[str, bool] = ("", False)
        self.drafts: dict[str, dict[str, str]] = {}
        self.unusable = ""

    def get_theme_variable_defaults(self) -> dict[str, str]:
        return tape_colours(self.current_theme)

    def get_line_filters(self) -> list[LineFilter]:
        return [*super().get_line_filters(), *([self._plain] if self._plain.enabled else [])]

    # --- the store ----------------------------------------------------------------------------------------------

    async def db(self, job: Callable[..., T], *args: Any) -> T:
        """Runs `job(desk, *args)` on the one thread that owns the store."""
        return await asyncio.get_running_loop().run_in_executor(self._pool, partial(self._on_store, job, *args))

    def _on_store(self, job: Callable[..., T], *args: Any) -> T:
        if self._desk is None:
            self._desk = self._desk_or_opener() if callable(self._desk_or_opener) else self._desk_or_opener
            self._version = self._desk.data_version()
        self.today = self._desk.today()
        return job(self._desk, *args)

    def on_mount(self) -> None:
        self.set_interval(LOOK_EVERY_S, self.look)

    @work(exclusive=True, group="look", exit_on_error=False)
    async def look(self) -> None:
        """Publishes a change that another program made."""
        seen = self._version
        version = await self.db(lambda desk: desk.data_version())
        if seen is not None and version != seen and seen == self._version:
            self._version = version
            self.changed.publish(EVERYTHING)

    @work(group="tell", exit_on_error=False)
    async def tell(self, outcome: Outcome | None) -> None:
        """Says what a change did and lets every view know, once."""
        if outcome is None:
            return
        self._version = await self.db(lambda desk: desk.data_version())
        self.say(" ".join((outcome.sentence, *outcome.cautions)))
        self.changed.publish(outcome.changed)

    # --- what is said -------------------------------------------------------------------------------------------

    def say(self, sentence: str, trouble: bool = False) -> None:
        """Puts one sentence above the keys of the view on show."""
        self.said = (sentence, trouble)
        for screen in self.screen_stack:
            if isinstance(screen, View):
                screen.said.sentence, screen.said.trouble = self.said

    def trouble(self, error: BaseException) -> None:
        """Shows what went wrong where the person looks; a store that can't be used ends the screens."""
        if isinstance(error, Unusable):
            self.unusable = str(error)
            self.exit(return_code=3)
            return
        self.log.error(error)
        known = isinstance(error, Refused)
        self.say(str(error) if known else f"this went wrong: {error}; what was saved before is safe", True)

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        if event.state is WorkerState.ERROR and event.worker.error is not None:
            self.trouble(event.worker.error)

    # --- actions ------------------------------------------------------------------------------------------------

    async def action_view(self, name: str) -> None:
        """Goes to one of the six views."""
        if name != self.current_mode:
            await self.switch_mode(name)

    def action_form(self, name: str) -> None:
        """Opens a form over the view on show."""
        if isinstance(self.screen, View):
            form = import_module(f"tracker.ui.forms.{FORMS[name]}").FORMS[name]
            self.push_screen(form(self.screen), self.tell)

    def action_keys(self) -> None:
        """Shows the keys of this view."""
        self.action_form("keys")

    def action_theme(self) -> None:
        """Changes between the dark and the light look."""
        self.theme = "day" if self.current_theme.dark else "night"

    def get_system_commands(self, screen: Screen[Any]) -> Iterable[SystemCommand]:
        yield SystemCommand("App: light or dark", "Changes between the dark and the light look", self.action_theme)

    def _fatal_error(self) -> None:
        # Private in Textual, touched only here: its own report prints local variables, and with them a person's notes.
        from rich.console import Group
        from rich.traceback import Traceback
        sentence = "Sabinry stopped on a fault of its own. Everything up to the last step is saved."
        self._exit_renderables.append(Group(Traceback(show_locals=False), sentence))
        self._close_messages_no_wait()

    async def on_unmount(self) -> None:
        if self._desk is not None and callable(self._desk_or_opener):
            await self.db(lambda desk: desk.close())
        self._pool.shutdown(wait=False)


FORMS = {
    "log": "log", "check": "check", "undo": "undo", "correct": "correct", "measure": "measure",
    "delivery": "movement", "count": "movement", "order": "movement", "spoil": "movement", "return": "movement",
    "movements": "behind", "buy": "behind", "keys": "behind",
}
"""Form by name: the module in `forms` that has it."""


def run(desk: Desk | Callable[[], Desk]) -> int:
    """Opens the screens on a store and returns the exit status; a store the screens opened they close."""
    app = SabinryApp(desk)
    app.run()
    if app.unusable:
        raise Unusable(app.unusable)
    return app.return_code or 0
