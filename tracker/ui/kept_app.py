"""The application's side towards what outlives it: the running clock, and what was typed and not yet stored."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING, Any

from textual import work
from textual.timer import Timer

from tracker.domain.errors import Unusable
from tracker.ui import ask
from tracker.ui.drafts import Drafts
from tracker.ui.store_app import LOOK_EVERY_S, StoreApp
from tracker.ui.view import View
from tracker.ui.widgets.foot import NOTE, TROUBLE

if TYPE_CHECKING:
    from tracker.services.answers import Outcome
    from tracker.services.clock import Clock
    from tracker.services.desk import Desk

TICK_S = 0.5
"""How often the clock is drawn where its second has changed."""
KEEP_AFTER_S = 0.4
"""How soon after a change what was typed is written to the store."""


class KeptApp(StoreApp):
    """Shows the clock and keeps drafts."""

    def __init__(self, desk: Desk | Callable[[], Desk]) -> None:
        super().__init__(desk)
        self.drafts = Drafts(self._keep_soon)
        self.clock: Clock | None = None
        self._now: Callable[[], datetime] | None = None
        self._keeping: Timer | None = None
        self._of_drafts = ""

    def opened(self, desk: Desk) -> None:
        self._now = desk.now
        self.clock = ask.read_clock(desk)
        self.drafts.load(ask.read_drafts(desk))

    def on_mount(self) -> None:
        self.set_interval(TICK_S, self.show_clock)
        self.set_interval(LOOK_EVERY_S, self.look_at_clock)
        self._tell_of_drafts()

    @property
    def clock_text(self) -> str:
        """What the clock reads, with the sign of one that runs; empty where it reads nothing."""
        if self.clock is None or self._now is None or not (self.clock.running or self.clock.banked_s):
            return ""
        return f"{'>' if self.clock.running else '‖'} {self.clock.reads(self._now())}"

    def show_clock(self) -> None:
        """Draws the clock on the tape where its second has changed."""
        text = self.clock_text
        for view in self.views:
            view.masthead.clock = text

    @work(exclusive=True, group="clock-look", exit_on_error=False)
    async def look_at_clock(self) -> None:
        """Shows what another program did with the clock."""
        self.clock = await self.behind(ask.read_clock)
        self.show_clock()

    async def told(self) -> None:
        self.clock = await self.db(ask.read_clock)
        self.show_clock()

    @work(exclusive=True, group="clock", exit_on_error=False)
    async def action_clock(self) -> None:
        """Starts the clock for the work under the cursor, or stops it."""
        view = self.screen
        step = view.step if isinstance(view, View) else None
        work_ = (view.target or "", step) if isinstance(view, View) and step else ("", "")
        await self._turned(ask.turn_clock, *work_)

    @work(exclusive=True, group="clock", exit_on_error=False)
    async def action_reset_clock(self) -> None:
        """Sets the clock back to nothing."""
        await self._turned(ask.reset_clock)

    async def _turned(self, job: Callable[..., Outcome], *args: Any) -> None:
        outcome = await self.db(job, *args)
        await self.told()
        self.say(outcome.sentence)

    @work(exit_on_error=False)
    async def _tell_of_drafts(self) -> None:
        """Says at the start what was typed before the program ended last and not stored."""
        await self.behind(lambda desk: None)
        for form in list(self.drafts)[-1:]:
            name = " · ".join(filter(None, form.split("\n")))
            more = len(list(self.drafts)) - 1
            others = f", and {more} more" if more else ""
            self._of_drafts = f"Typed before and not stored: {name}{others}; the form has it."
            self.say(self._of_drafts, NOTE)

    def forget_said_of_drafts(self) -> None:
        """What was said of half-typed entries is no longer so: one was dropped or stored."""
        if self._of_drafts and self.said[0] == self._of_drafts:
            self.say("")

    def _keep_soon(self) -> None:
        if self._keeping is None:
            self._keeping = self.set_timer(KEEP_AFTER_S, self.keep_drafts)

    @work(group="drafts", exit_on_error=False)
    async def keep_drafts(self) -> None:
        """Writes what was typed and not stored, so that it survives the program."""
        await self._keep_now()

    async def _keep_now(self) -> None:
        if self._keeping is not None:
            self._keeping.stop()
            self._keeping = None
        fields = self.drafts.unwritten()
        if not fields:
            return
        try:
            await self.behind(ask.keep_drafts, fields)
        except Unusable as error:
            # What was typed is still on the screen; it is written with the next change.
            self.drafts.write_again(fields)
            self.say(f"what is typed is not kept yet: {error}", TROUBLE)

    async def on_unmount(self) -> None:
        if self._desk is not None:
            await self._keep_now()
