"""One key at a time: each is done with before the next is looked at, however fast they come.

A key goes from the widget that has the cursor up to the application, from queue to queue; a key right behind it would
set out from the widget that the first one is about to take the cursor from. Over a slow line many come in one packet.
"""

from __future__ import annotations

from collections import deque
from time import monotonic

from textual import events
from textual.app import App
from textual.message_pump import MessagePump

STUCK_S = 0.25
"""After so long a key counts as done with: the widget that had it may be gone."""


class KeysInTurn(App[int]):
    """Holds keys and pasted text until those before them were dealt with."""

    def __init__(self) -> None:
        super().__init__()
        self._typed: deque[events.Key | events.Paste] = deque()
        self._since: float | None = None
        """When the key that is in hand set out; None where none is."""

    async def on_event(self, event: events.Event) -> None:
        if isinstance(event, (events.Key, events.Paste)) and not event.is_forwarded:
            self._typed.append(event)
            if self._since is None or monotonic() - self._since > STUCK_S:
                await self._go_on()
            elif len(self._typed) == 1:
                self.set_timer(STUCK_S, self._go_on_if_stuck)
        else:
            await super().on_event(event)

    def held_back(self, event: events.Key | events.Paste) -> bool:
        """Whether this one is kept for later, by who overrides this."""
        return False

    async def _go_on(self) -> None:
        self._since = None
        while self._typed:
            event = self._typed.popleft()
            if not self.held_back(event):
                self._since = monotonic()
                node = self.focused or self.screen
                await super().on_event(event)
                self._follow(node, self._since)
                return

    def _follow(self, node: MessagePump, since: float) -> None:
        """Goes the way of the key, behind it: where this is called, the key was there and went on."""
        parent = node._parent  # Private in the pinned Textual, as the bubbling of its messages is.
        if node is self:
            # What the key asked for may stand in the queue itself by now, as a change of the cursor does.
            self.call_later(self.call_later, self._done, since)
        elif parent is None or not node.call_later(self._follow, parent, since):
            self.call_later(self._follow, self, since)

    async def _done(self, since: float) -> None:
        if since == self._since:
            await self._go_on()

    async def _go_on_if_stuck(self) -> None:
        if self._since is not None and self._typed and monotonic() - self._since > STUCK_S:
            await self._go_on()
