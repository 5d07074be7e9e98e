"""The take-off and the cutting plan as services answer them. SI, units in the names."""

from __future__ import annotations

from dataclasses import dataclass

from tracker.domain.site import Outline


@dataclass(frozen=True, slots=True)
class NeedLine:
    item: str
    form: str
    unit: str
    net: float
    need: float
    offcuts_used: int
    proved_least: bool
    least: float
    """What no plan can do with less of, over the pieces laid out."""


@dataclass(frozen=True, slots=True)
class CutView:
    piece: str
    bay: str
    at_m: tuple[float, float]
    size_m: tuple[float, float]
    turned: bool
    outline_m: Outline
    flipped: bool = False
    """Cut with the board lying face down."""


@dataclass(frozen=True, slots=True)
class LeftView:
    at_m: tuple[float, float]
    size_m: tuple[float, float]


@dataclass(frozen=True, slots=True)
class SawView:
    """One cut at the saw, in order."""

    kind: str
    """rip, cross or line."""
    at_m: float
    keep: str
    from_m: tuple[float, float]
    to_m: tuple[float, float]
    text: str
    """As a person reads it, in the site's units."""
    frees: tuple[str, ...]
    """Pieces that are done with this cut."""


@dataclass(frozen=True, slots=True)
class BoardView:
    item: str
    from_: str
    size_m: tuple[float, float]
    cuts: tuple[CutView, ...]
    offcuts: tuple[LeftView, ...]
    number: int
    """Its place on the cut list of the item."""
    saw: tuple[SawView, ...]
    cut: tuple[str, ...]
    """Pieces ticked off as cut."""
    here: bool = True
    """Is it on hand, or an offcut, with what earlier work holds left to that?"""


@dataclass(frozen=True, slots=True)
class PieceView:
    piece: str
    bay: str
    outline_m: Outline


@dataclass(frozen=True, slots=True)
class StickCutView:
    piece: str
    bay: str
    length_m: float
    ends: tuple[str, str]


@dataclass(frozen=True, slots=True)
class StickView:
    item: str
    from_: str
    length_m: float
    cuts: tuple[StickCutView, ...]
    left_m: float
    number: int
    cut: tuple[str, ...]
    here: bool = True
    """As of a board."""


@dataclass(frozen=True, slots=True)
class StripView:
    bay: str
    from_: str
    """`new`, or the id of the remnant."""
    at_m: tuple[float, float]
    size_m: tuple[float, float]
    turned: bool


@dataclass(frozen=True, slots=True)
class JointView:
    """A bay wider than its cloth: where its pieces of cloth meet, m from the bay's left edge."""

    bay: str
    at_m: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class RollView:
    item: str
    width_m: float
    length_m: float
    strips: tuple[StripView, ...]
    joints: tuple[JointView, ...]


@dataclass(frozen=True, slots=True)
class BayWarned:
    """A thing to notice about a bay before its pieces are cut."""

    bay: str
    code: str
    text: str


@dataclass(frozen=True, slots=True)
class TakeOff:
    site: str
    target: str | None
    items: tuple[NeedLine, ...]
    boards: tuple[BoardView, ...]
    pieces: tuple[PieceView, ...]
    sticks: tuple[StickView, ...]
    rolls: tuple[RollView, ...]
    kept: bool
    """Is this the plan that is kept, which check, stock and log go by?"""
    warnings: tuple[BayWarned, ...] = ()
    """Of every bay that its boards and sticks hold something of."""
