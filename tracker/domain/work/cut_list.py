"""The cutting plan that is kept, and the cut list that is left of it: their boards, sticks, pieces and numbers."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import count
from typing import TypeVar

from tracker.domain.cutting.plans import BoardCut, BoardPlan, Piece, StickCut, StickPlan

_NUMBER = re.compile(r" (\d+)$")
_PART_NUMBER = re.compile(r"\.\d+$")


@dataclass(frozen=True, slots=True)
class Miscut:
    """A piece cut wrong, in the order it was told; its size in m2 of board or m of track."""

    number: int
    piece: str
    item: str
    size: float


@dataclass(frozen=True)
class KeptPlan:
    """A cutting plan as it was made: which bays were planned together, and what the search was given."""

    boards: tuple[BoardPlan, ...] = ()
    sticks: tuple[StickPlan, ...] = ()
    groups: tuple[tuple[str, ...], ...] = ()
    """Short names of the bays planned together."""
    seconds: float = 0.0
    seed: int = 0
    miscuts: int = 0
    """Number of the last miscut this plan knows of."""

    @property
    def bays(self) -> frozenset[str]:
        return frozenset(bay for group in self.groups for bay in group)

    @property
    def names(self) -> frozenset[str]:
        """Names of all pieces it has a place for."""
        return frozenset(cut.piece for plan in (*self.boards, *self.sticks) for one in _parts(plan) for cut in one.cuts)

    def place_of(self, piece: str) -> tuple[object, ...] | None:
        """The board or stick, by item and number, that a piece is cut from, and how it is cut; None where none is."""
        return next(((one.item, one.number, cut) for plan in (*self.boards, *self.sticks) for one in _parts(plan)
                     for cut in one.cuts if cut.piece == piece), None)


def _parts(plan: BoardPlan | StickPlan) -> Sequence[BoardCut | StickCut]:
    return plan.boards if isinstance(plan, BoardPlan) else plan.sticks


@dataclass(frozen=True)
class CutList:
    """Every board and stick still to be cut, or cut and waiting as a named piece, for the bays that are planned."""

    boards: tuple[BoardCut, ...] = ()
    sticks: tuple[StickCut, ...] = ()
    pieces: Mapping[str, Piece] = field(default_factory=dict)
    """Every infill piece by name."""
    bays: frozenset[str] = frozenset()
    """Short names of the bays on it."""
    runs: frozenset[str] = frozenset()
    """Names of the runs of track on it."""
    as_made: Mapping[str, BoardPlan | StickPlan] = field(default_factory=dict)
    """Items of which the plan still stands whole, as it was made."""

    @property
    def sources(self) -> frozenset[str]:
        """Offcuts it is cut from."""
        return frozenset(one.source for one in (*self.boards, *self.sticks)) - {"new"}

    def marks(self, bays: Iterable[str], runs: Iterable[str]) -> frozenset[str]:
        """Which boards and sticks hold a piece of one of the bays or one of the runs, each by a mark of its own."""
        return frozenset(mark for name in (*bays, *runs) for mark in self._holding.get(name, ()))

    @cached_property
    def marked(self) -> Mapping[str, BoardCut | StickCut]:
        """Boards and sticks by their marks, in the order of cutting."""
        boards = {f"board {number}": board for number, board in enumerate(self.boards)}
        return boards | {f"stick {number}": stick for number, stick in enumerate(self.sticks)}

    @cached_property
    def _holding(self) -> Mapping[str, set[str]]:
        found: dict[str, set[str]] = defaultdict(set)
        for mark, one in self.marked.items():
            for cut in one.cuts:
                found[cut.bay if isinstance(one, BoardCut) else run_of(cut.piece)].add(mark)
        return found


Cut = TypeVar("Cut", BoardCut, StickCut)


def with_numbers(parts: Iterable[Cut], others: Iterable[Cut] = ()) -> list[Cut]:
    """Boards or sticks of one item, those without a number given the next after all that are in use."""
    parts = list(parts)
    last = max((one.number for one in (*parts, *others)), default=0)
    fresh = count(last + 1)
    return [one if one.number else replace(one, number=next(fresh)) for one in parts]


def run_of(piece: str) -> str:
    """The run a part of track belongs to: parts of a spliced run are numbered behind its mark."""
    return _PART_NUMBER.sub("", piece)


def number_of(piece: str) -> int:
    """The number in a piece's name; 0 where there is none."""
    found = _NUMBER.search(piece)
    return int(found[1]) if found else 0


def numbered(pieces: Iterable[Piece], after: int) -> list[Piece]:
    """Pieces with their numbers moved on past those the bay has used."""
    return [replace(one, name=f"{one.bay} {number_of(one.name) + after}") for one in pieces]
