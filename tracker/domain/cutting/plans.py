"""What a cutting plan is asked for and what it answers: plain values, metres and m2 throughout."""

from __future__ import annotations

from dataclasses import dataclass, field

Point = tuple[float, float]
Ring = tuple[Point, ...]
Region = tuple[tuple[Ring, tuple[Ring, ...]], ...]
"""Polygons as (outside, holes), m; rings not closed, either turning sense."""
Size = tuple[float, float]
MIN_SLIVER_M = 0.075
"""Narrowest piece laid where a wider one is possible. Common practice, no source."""
HAIRLINE_M = 0.005
"""A gap up to this is closed by trimming the neighbours. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece of infill with its short name and its outline on the plane, m."""

    name: str
    bay: str
    outline_m: Ring


@dataclass(frozen=True, slots=True)
class Need2:
    """The net infill of a bay in plane coordinates, m."""

    bay: str
    infill: Region
    anchor_m: Point | None = None
    """Lower left of the whole net infill where `infill` is only what is left of it; rows keep counting from there."""
    pieces: tuple[Piece, ...] | None = None
    """A layout already settled: used as it is, never searched again."""


@dataclass(frozen=True, slots=True)
class Offcut2:
    """A board remnant (or, for a roll, a cloth remnant) in stock."""

    id: str
    length_m: float
    width_m: float


@dataclass(frozen=True, slots=True)
class BoardStock:
    """A board item as bought, with its saw and the offcuts of it in stock."""

    item: str
    length_m: float
    width_m: float
    kerf_m: float = 0.0
    turnable: bool = True
    """May the length of a board run up the plane as well as along it?"""
    waste_below_m: float = 0.0
    offcuts: tuple[Offcut2, ...] = ()
    flippable: bool = True
    """May a board be turned face down, so that mirrored shapes come from one rectangle?"""
    sliver_m: float = MIN_SLIVER_M
    """Narrowest piece laid where the bay does not force a narrower one."""
    hairline_m: float = HAIRLINE_M
    """A gap up to this is closed by trimming the neighbours, never by a strip."""
    corner_cost: float = 0.03
    """Boards that keeping one joint away from the corner of an opening is worth. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class PieceCut:
    """A piece on its board: its bounding rectangle and its outline there, m from the board's lower left corner."""

    piece: str
    bay: str
    at_m: Point
    size_m: Size
    turned: bool
    """True where the plane's x runs along the board's width."""
    outline_m: Ring
    flipped: bool = False
    """True where the board lies face down, so that the outline is a mirror image."""


@dataclass(frozen=True, slots=True)
class OffcutMade:
    """A usable remainder of a board, m."""

    at_m: Point
    size_m: Size


@dataclass(frozen=True, slots=True)
class SawCut:
    """One cut of a panel lying at `panel_at_m` with `panel_size_m` on its board.

    `rip` runs along the board's length and `cross` over it; `at_m` is measured from the panel's left or lower edge to
    the kerf and `keep` says which side is worked on first. `line` is slanted or stopped, from `start_m` to `end_m`.
    """

    kind: str
    at_m: float
    keep: str
    panel_at_m: Point
    panel_size_m: Size
    start_m: Point
    end_m: Point


@dataclass(frozen=True, slots=True)
class BoardCut:
    """One board, new or an offcut from stock, with all that is cut from it."""

    item: str
    source: str
    """`new`, or the id of the offcut."""
    size_m: Size
    cuts: tuple[PieceCut, ...]
    offcuts: tuple[OffcutMade, ...]
    saw: tuple[SawCut, ...]
    number: int = 0
    """Its number on a list that is kept; 0 where it has none."""
    begun: bool = False
    """A piece of it was cut wrong: what else it holds keeps its place."""


@dataclass(frozen=True, slots=True)
class BoardPlan:
    """Which board each piece of infill comes from."""

    item: str
    boards: tuple[BoardCut, ...]
    pieces: tuple[Piece, ...]
    net_m2: float
    need: int
    """New boards."""
    lower_bound: int
    """New boards that these pieces need at the least, by area, by shares of a board, or as boards are sawn here."""
    proved_least: bool
    """True where `need` meets `lower_bound`."""
    area_bound: int = 0
    """New boards that the net area alone needs, whatever the layout."""
    corner_joints: int = 0
    """Corners of openings at which two pieces meet."""


@dataclass(frozen=True, slots=True)
class StickPiece:
    """A run of track to cut, long point to long point, m; `ends` are two of mitre, double mitre, square."""

    name: str
    bay: str
    length_m: float
    ends: tuple[str, str] = ("square", "square")


@dataclass(frozen=True, slots=True)
class Offcut1:
    """A stick remnant in stock."""

    id: str
    length_m: float


@dataclass(frozen=True, slots=True)
class StickStock:
    """A stick item as bought, with its saw and the offcuts of it in stock."""

    item: str
    length_m: float
    kerf_m: float = 0.0
    waste_below_m: float = 0.0
    offcuts: tuple[Offcut1, ...] = ()


@dataclass(frozen=True, slots=True)
class StickPart:
    """A length cut from a stick: a whole run, or a part of one that is spliced."""

    piece: str
    bay: str
    length_m: float
    ends: tuple[str, str]


@dataclass(frozen=True, slots=True)
class StickCut:
    """One stick, new or an offcut from stock, with what is cut from it in order."""

    item: str
    source: str
    length_m: float
    cuts: tuple[StickPart, ...]
    left_m: float
    keeps: bool
    """True where what is left is long enough to go back into stock."""
    number: int = 0
    begun: bool = False
    """As of a board."""


@dataclass(frozen=True, slots=True)
class StickPlan:
    """Which stick each run of track comes from."""

    item: str
    sticks: tuple[StickCut, ...]
    net_m: float
    need: int
    """New sticks."""
    lower_bound: int
    proved_least: bool
    splices: int = 0
    """Square butts where a run is longer than a stick."""


@dataclass(frozen=True, slots=True)
class Cloth:
    """The fabric of a bay: its bounding size and its outline on the plane, m, without tuck."""

    bay: str
    width_m: float
    height_m: float
    outline_m: Ring = ()


@dataclass(frozen=True, slots=True)
class RollStock:
    """A roll item, with the remnants of it in stock (their length along the roll, their width across it)."""

    item: str
    width_m: float
    tuck_m: float = 0.0
    turnable: bool = True
    offcuts: tuple[Offcut2, ...] = ()
    waste_below_m: float = 0.0


@dataclass(frozen=True, slots=True)
class Strip:
    """A cloth on its roll or remnant: `at_m` and `size_m` are (along the roll, across it)."""

    bay: str
    at_m: Point
    size_m: Size
    turned: bool
    """True where the length of the roll runs along the plane's x."""
    source: str = "new"
    outline_m: Ring = ()
    """A shaped cloth with its tuck as it lies, (along the roll, across it); two such may share a rectangle."""


@dataclass(frozen=True, slots=True)
class RollPlan:
    """The cloths cut from a roll."""

    item: str
    width_m: float
    length_m: float
    """Metres to cut off the roll, over and above remnants used."""
    strips: tuple[Strip, ...]
    offcuts: tuple[OffcutMade, ...]
    net_m2: float
    lower_bound_m: float
    proved_least: bool
    joints: tuple[tuple[str, tuple[float, ...]], ...] = field(default=())
    """Bays wider than the cloth, each with the places of its joints from its left edge, m."""
