"""How a state looks: a sign, a word and a role, so that nothing rests on colour alone."""

from __future__ import annotations

from tracker.ui.ink import Span

SIGNS = {"ready": "+", "short": "!", "on order": "~", "waiting": ".", "under way": ">", "done": "x"}
SHORT = {"on order": "order", "waiting": "wait", "under way": "way"}
"""States in a word each, where there is little room."""
_ROLES = {"on order": "order", "under way": "way"}


def role_of(state: str) -> str:
    """The role a state is drawn in."""
    return _ROLES.get(state, state)


def sign(state: str) -> Span:
    return (SIGNS[state], role_of(state))


def signed(state: str, width: int = 0) -> Span:
    """Sign and word, e.g. `+ ready`."""
    return (f"{SIGNS[state]} {state}".ljust(width), role_of(state))
