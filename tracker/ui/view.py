"""What every view has in common: the tape, a body, what was said, the keys; reading again when something changed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, ClassVar, TypeVar

from textual import events, work
from textual.app import App, ComposeResult
from textual.binding import Binding
from textual.containers import Container
from textual.screen import Screen
from textual.worker import Worker, WorkerState

from tracker.ui.widgets.foot import KeyLine, Said
from tracker.ui.widgets.masthead import Masthead

if TYPE_CHECKING:
    from tracker.ui.app import SabinryApp

T = TypeVar("T")


def size_classes(app: App[Any]) -> str:
    """The classes Textual gives a screen of this size; known before it is mounted, it is styled and laid out once."""
    sizes = (app.size.width, app.HORIZONTAL_BREAKPOINTS or ()), (app.size.height, app.VERTICAL_BREAKPOINTS or ())
    return " ".join(max(one for one in breakpoints if one[0] <= size)[1] for size, breakpoints in sizes if breakpoints)


class QuickScreen(Screen[T]):
    """A screen that does no more than it must when it comes to the top."""

    app: SabinryApp

    def __init__(self) -> None:
        super().__init__(classes=size_classes(self.app))

    def on_screen_resume(self, event: events.ScreenResume) -> None:
        # Only another look would change how it is styled, and that is seen to then.
        event.refresh_styles = False

    def on_resize(self, event: events.Resize) -> None:
        # A screen is told its size by its own layout too, and would lay all of it out once more for that.
        if event.size == self.size and self.classes.issuperset(size_classes(self.app).split()):
            event.prevent_default()

    def _compositor_refresh(self) -> None:
        # Private in the pinned Textual, which would draw a picture that is held back, and throw it away.
        if not self.app.holding:
            super()._compositor_refresh()


class View(QuickScreen[None]):
    """One of the views. A view says how to read its answer and how to show it."""

    NAME: ClassVar[str] = ""
    LIST_KEYS: ClassVar[tuple[tuple[str, str], ...]] = ()
    """Keys of its list and what they do, beside its own bindings."""
    PARTS: ClassVar[frozenset[str]] = frozenset({"diary", "stock", "plan", "measure"})
    """Parts of the site whose change makes this view read again."""

    def __init__(self) -> None:
        super().__init__()
        self.opened_row = False
        """The row under the cursor was opened, and not only pointed at; the form it opens takes this up."""
        self._heard_of, self._asked_for, self._shows = 0, -1, -1
        """Changes of the store: how many were heard of, and up to which of them was read, and is on show."""
        self.masthead = Masthead(self.NAME)
        self.said = Said()

    def compose(self) -> ComposeResult:
        yield self.masthead
        with Container(id="body"):
            yield from self.body()
        yield self.said
        yield KeyLine(own_bindings(type(self)), own_bindings(type(self.app)))

    def body(self) -> ComposeResult:
        """The widgets between the tape and the foot."""
        yield from ()

    async def read(self) -> Any:
        """What the view shows, asked of the services; it names the site."""
        raise NotImplementedError

    def show(self, answer: Any) -> None:
        """Shows what was read."""
        raise NotImplementedError

    @property
    def target(self) -> str | None:
        """The bay, plane or task under the cursor, if any."""
        return None

    @property
    def step(self) -> str | None:
        """The step under the cursor, if any."""
        return None

    @property
    def item(self) -> str | None:
        """The item under the cursor, if any."""
        return None

    def point(self, item: str) -> None:
        """Puts the cursor on an item, where the view has one."""

    @property
    def ready(self) -> bool:
        """Whether it shows what the store says now."""
        return self._shows == self._heard_of

    def on_mount(self) -> None:
        self.app.changed.subscribe(self, self._heard)
        self.read_again()

    def _heard(self, parts: frozenset[str]) -> None:
        if not parts & self.PARTS:
            return
        self._heard_of += 1
        if self.is_active:
            self.reload()

    def on_screen_resume(self) -> None:
        self.said.sentence, self.said.kind = self.app.said
        self.masthead.clock = self.app.clock_text
        self.read_again()

    def read_again(self) -> None:
        """Reads again, unless it was read since the last change."""
        if self._asked_for < self._heard_of:
            self._asked_for = self._heard_of
            self.reload()

    @work(exclusive=True, group="reload", exit_on_error=False)
    async def reload(self) -> None:
        """Reads again and shows it; keeps the cursor where it was."""
        asked = self._asked_for = self._heard_of
        answer = await self.read()
        self.masthead.site, self.masthead.today = answer.site, self.app.today
        with self.app.batch_update():
            self.show(answer)
        self._shows = asked
        self.app.shown(self)

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        if event.state is WorkerState.ERROR and event.worker.error is not None:
            self.app.trouble(event.worker.error)


WALK = (("↑↓", "Another row; page up, page down, home and end go further"),)
"""What the arrow keys do in every list."""


def own_bindings(owner: type) -> list[Binding]:
    """The bindings a class declares itself, one a key."""
    declared = vars(owner).get("BINDINGS", ())
    return [binding for binding in declared if isinstance(binding, Binding)]
