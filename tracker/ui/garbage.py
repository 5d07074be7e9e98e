"""The search for garbage, put off until nobody types: in ten years of work a full one takes longer than a key may."""

from __future__ import annotations

import gc
from time import monotonic

IDLE_S = 2.0
"""No key for so long: there is time to search."""
AT_LEAST_EVERY_S = 60.0
"""How often to search although no key came, since looking at the store leaves garbage too."""
ALL_EVERY = 50
"""Every so many searches go through what was found in use before as well."""
THRESHOLDS = (20_000, 200, 1_000)
"""When Python searches by itself: young objects seldom, and old ones as good as never."""


class Garbage:
    """Searches between keys. What a search finds in use is passed over by the next ones, so that they are short."""

    def __init__(self) -> None:
        self._before = gc.get_threshold()
        self._last_search = monotonic()
        self._searches = 0

    def begin(self) -> None:
        """From now on Python leaves most of the search to `look`."""
        self._before = gc.get_threshold()
        gc.set_threshold(*THRESHOLDS)

    def end(self) -> None:
        """Python searches by itself again."""
        gc.set_threshold(*self._before)
        gc.unfreeze()

    def look(self, last_key: float) -> None:
        """Searches, if no key came for a while and something happened since the last search."""
        now = monotonic()
        used = last_key > self._last_search or now - self._last_search > AT_LEAST_EVERY_S
        if not used or now - last_key < IDLE_S:
            return
        self._searches += 1
        if self._searches % ALL_EVERY == 0:
            gc.unfreeze()
        gc.collect()
        gc.freeze()
        self._last_search = monotonic()
