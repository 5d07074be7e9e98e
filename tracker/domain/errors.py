"""The one error a person can act on: what is wrong, where, and the remedy, in one line."""

from __future__ import annotations


class Refused(ValueError):
    """Input or an action that cannot be accepted; its text is one line naming the place and the remedy."""


class Unusable(RuntimeError):
    """The store can't be used: missing, locked, damaged or from a newer version; its text says what to do."""
