"""What every view has in common: the tape, a body, what was said, the keys; reading again when something changed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Container
from textual.screen import Screen
from textual.worker import Worker, WorkerState

from tracker.ui.widgets.foot import KeyLine, Said
from tracker.ui.widgets.masthead import Masthead

if TYPE_CHECKING:
    from tracker.ui.app import SabinryApp


class View(Screen[None]):
    """One of the views. A view says how to read its answer and how to show it."""

    NAME: ClassVar[str] = ""
    PARTS: ClassVar[frozenset[str]] = frozenset({"diary", "stock", "plan", "measure"})
    """Parts of the site whose change makes this view read again."""

    app: SabinryApp

    def __init__(self) -> None:
        super().__init__()
        self._stale = False
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

    def on_mount(self) -> None:
        self.app.changed.subscribe(self, self._heard)
        self.reload()

    def on_resize(self) -> None:
        """Draws again what depends on the height."""

    def _heard(self, parts: frozenset[str]) -> None:
        if not parts & self.PARTS:
            return
        if self.is_active:
            self.reload()
        else:
            self._stale = True

    def on_screen_resume(self) -> None:
        self.said.sentence, self.said.kind = self.app.said
        self.masthead.clock = self.app.clock_text
        if self._stale:
            self.reload()

    @work(exclusive=True, group="reload", exit_on_error=False)
    async def reload(self) -> None:
        """Reads again and shows it; keeps the cursor where it was."""
        self._stale = False
        answer = await self.read()
        self.masthead.site, self.masthead.today = answer.site, self.app.today
        with self.app.batch_update():
            self.show(answer)

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        if event.state is WorkerState.ERROR and event.worker.error is not None:
            self.app.trouble(event.worker.error)


def own_bindings(owner: type) -> list[Binding]:
    """The bindings a class declares itself, one a key."""
    declared = vars(owner).get("BINDINGS", ())
    return [binding for binding in declared if isinstance(binding, Binding)]
