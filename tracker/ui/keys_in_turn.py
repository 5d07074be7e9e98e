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


HeldKeys = list[events.Key | events.Paste]


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
            else:
                self._watch()
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
                self._watch()
                await super().on_event(event)
                self._follow(node, self._since)
                return

    def _watch(self) -> None:
        """Sees to it that those who wait do not wait for a key that is gone."""
        if self._typed:
            self.set_timer(STUCK_S * 1.1, self._go_on_if_stuck)

    def _follow(self, node: MessagePump, since: float, again: bool = False) -> None:
        """Goes the way of the key, behind it: where this is called, the key was there and went on.

        What the key asked for may send a message of its own up the same way, as a field does when it is accepted: where
        another key waits, that way is gone once more.
        """
        if node is not self:
            parent = node._parent  # Private in the pinned Textual, as the bubbling of its messages is.
            if parent is None or not node.call_later(self._follow, parent, since, again):
                self.call_later(self._follow, self, since, again)
        elif self._typed and not again:
            self._follow(self.focused or self.screen, since, True)
        else:
            # What was asked for may stand in the queue itself by now, as a change of the cursor does.
            self.call_later(self.call_later, self._done, since)

    async def _done(self, since: float) -> None:
        if since == self._since:
            await self._go_on()

    async def _go_on_if_stuck(self) -> None:
        if self._since is not None and self._typed and monotonic() - self._since > STUCK_S:
            await self._go_on()
