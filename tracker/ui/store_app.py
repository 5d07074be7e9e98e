"""The application's side towards the store: one thread that owns it, what others change in it, what is said of it."""

from __future__ import annotations

import asyncio
import gc
import sys
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import date
from functools import partial
from time import monotonic
from typing import TYPE_CHECKING, Any, TypeVar

from textual import work
from textual.signal import Signal
from textual.worker import Worker, WorkerState

from tracker.domain.errors import Refused, Unusable
from tracker.ui import ask
from tracker.ui.in_keys import in_keys
from tracker.ui.quick_app import QuickApp
from tracker.ui.view import View
from tracker.ui.widgets.foot import DONE, TROUBLE

if TYPE_CHECKING:
    from tracker.services.answers import Outcome
    from tracker.services.desk import Desk

T = TypeVar("T")
EVERYTHING = frozenset({"diary", "stock", "plan", "measure"})
TURN_S = 0.001
"""How long the store's thread works before the screen may have its turn; Python's own 5 ms are felt under the keys."""
AHEAD_AFTER_S = 0.4
"""No key for so long: the other views' answers are worked out, while the person looks at the first."""
AHEAD_EVERY_S = 0.1
"""How often to ask whether there is time for one more of them."""
LOOK_EVERY_S = 1.0
"""How often to ask whether another program wrote to the store."""
SLOW_S = 0.6
"""How long an answer may take before the screen says that it is being worked out."""


class StoreApp(QuickApp):
    """Reads and writes through one thread; `desk` may be a function that opens the store there."""

    def __init__(self, desk: Desk | Callable[[], Desk]) -> None:
        super().__init__()
        self._pool = ThreadPoolExecutor(1, "store")
        self._desk_or_opener = desk
        self._desk: Desk | None = None
        self._version: Any = None
        self._answers: dict[Any, Any] = {}
        self._answers_of: Any = None
        self._ahead: list[tuple[Any, ...]] = [
            (ask.whole_diary,), *((self._kept, job) for job in (ask.site_view, ask.shopping, ask.sound_page))]
        self._reading = False
        self.changed: Signal[frozenset[str]] = Signal(self, "changed")
        self.today: date | None = None
        self._day: date | None = None
        """The day the views show."""
        self.said: tuple[str, str] = ("", DONE)
        self.last_words = ""
        """What is said on the terminal once the screens are gone: that a fault arose, and where it is written."""
        self.unusable = ""

    @property
    def views(self) -> list[View]:
        """The views on show, those beneath a form too."""
        return [screen for screen in self.screen_stack if isinstance(screen, View)]

    # --- the store ----------------------------------------------------------------------------------------------

    async def db(self, job: Callable[..., T], *args: Any) -> T:
        """Runs `job(desk, *args)` on the one thread that owns the store, and says so where it takes long."""
        slow = asyncio.get_running_loop().call_later(SLOW_S, self._say_waiting, True)
        try:
            return await self.behind(job, *args)
        finally:
            slow.cancel()
            self._say_waiting(False)

    async def behind(self, job: Callable[..., T], *args: Any) -> T:
        """As `db`, for what nobody waits for."""
        return await asyncio.get_running_loop().run_in_executor(self._pool, partial(self._on_store, job, *args))

    async def kept(self, job: Callable[..., T], *args: Any) -> T:
        """As `db`, for an answer that follows from the store and the day alone: worked out once for each change."""
        return await self.db(self._kept, job, *args)

    def _kept(self, desk: Desk, job: Callable[..., T], *args: Any) -> T:
        # The version is asked for first: an answer may be newer than it, and never older.
        now = desk.data_version(), desk.today()
        if now != self._answers_of:
            self._answers.clear()
            self._answers_of = now
        if (job, args) not in self._answers:
            self._answers[job, args] = job(desk, *args)
        answer: T = self._answers[job, args]
        return answer

    def _say_waiting(self, waiting: bool) -> None:
        for view in self.views:
            view.said.waiting = waiting

    def _on_store(self, job: Callable[..., T], *args: Any) -> T:
        if self._desk is None:
            desk = self._desk_or_opener() if callable(self._desk_or_opener) else self._desk_or_opener
            self._version = desk.data_version()
            self.opened(desk)
            self._desk = desk
        self.today = self._desk.today()
        return job(self._desk, *args)

    def opened(self, desk: Desk) -> None:
        """The store is open; called once, on its thread."""

    async def told(self) -> None:
        """A change has been made from here; the views hear of it next."""

    def on_mount(self) -> None:
        sys.setswitchinterval(TURN_S)
        self.set_interval(AHEAD_EVERY_S, self._read_one_ahead)
        self.set_interval(LOOK_EVERY_S, self.look)

    def _read_one_ahead(self) -> None:
        """Begins one answer ahead, if the first view is shown, none is being worked out and nobody types."""
        if self._begun and self._ahead and not self._reading and monotonic() - self._last_key > AHEAD_AFTER_S:
            self.read_ahead()

    @work(group="ahead", exit_on_error=False)
    async def read_ahead(self) -> None:
        """Works out one of what ten years make long, so that no view waits for it when it is first opened."""
        self._reading = True
        try:
            await self.behind(*self._ahead.pop(0))
        finally:
            self._reading = False
        if not self._ahead:
            gc.freeze()  # It stays: looking through it for garbage would hold up a key.
            self.read_ahead_done = True

    @work(exclusive=True, group="look", exit_on_error=False)
    async def look(self) -> None:
        """Publishes a change that another program made, and a new day."""
        seen = self._version
        version = await self.behind(lambda desk: desk.data_version())
        day, self._day = self._day, self.today
        if seen is not None and seen == self._version and (version != seen or day not in (None, self._day)):
            self._version = version
            # What was said of a change made here may not be so any more.
            self.say("")
            self.changed.publish(EVERYTHING)

    @work(group="tell", exit_on_error=False)
    async def tell(self, outcome: Outcome | None, kind: str = DONE) -> None:
        """Says what a change did and lets every view know, once."""
        if outcome is None:
            return
        self._version = await self.db(lambda desk: desk.data_version())
        await self.told()
        self.say(" ".join((outcome.sentence, *map(_sentence, outcome.cautions))), kind)
        self.changed.publish(outcome.changed)

    async def on_show(self, job: Callable[..., object], *args: Any) -> None:
        """Makes a change that the view shows by itself, so that none reads again for it.

        Where another program changed something before it, the next look tells of both.
        """
        def change(desk: Desk) -> tuple[Any, Any]:
            before = desk.data_version()
            job(desk, *args)
            return before, desk.data_version()

        before, after = await self.db(change)
        if before == self._version:
            self._version = after

    # --- what is said -------------------------------------------------------------------------------------------

    def say(self, sentence: str, kind: str = DONE) -> None:
        """Puts one sentence above the keys of the view on show."""
        self.said = (in_keys(sentence), kind)
        for view in self.views:
            view.said.sentence, view.said.kind = self.said

    def trouble(self, error: BaseException) -> None:
        """Shows what went wrong where the person looks; a store that can't be used ends the screens."""
        if isinstance(error, Unusable):
            self.unusable = str(error)
            self.exit(return_code=3)
            return
        self.log.error(error)
        if isinstance(error, Refused):
            self.say(str(error), TROUBLE)
            return
        path = ask.write_fault(error)
        where = f"; it is written in {path}" if path else ""
        self.last_words = f"something went wrong on the way{where}"
        self.say(f"this went wrong: {error or type(error).__name__}; what was saved before is safe{where}", TROUBLE)

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        if event.state is WorkerState.ERROR and event.worker.error is not None:
            self.trouble(event.worker.error)

    async def on_unmount(self) -> None:
        if self._desk is not None and callable(self._desk_or_opener):
            await self.behind(lambda desk: desk.close())
        self._pool.shutdown(wait=False)


def _sentence(text: str) -> str:
    """Words of a caution as a sentence behind another; a name it begins with stays as it is."""
    begins = text[:1].upper() + text[1:] if text.partition(" ")[0].isalpha() else text
    return begins if begins.endswith((".", "!", "?", "…")) else f"{begins}."
