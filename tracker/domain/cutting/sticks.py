"""The cutting plan of a stick item: runs longer than a stick spliced, offcuts first, then the fewest new sticks."""

from __future__ import annotations

import math
from bisect import bisect_left, insort
from collections.abc import Iterable, Sequence

from tracker.domain.cutting.bars import UM, Stick
from tracker.domain.cutting.plans import StickCut, StickPart, StickPiece, StickPlan, StickStock
from tracker.domain.cutting.remainders import gathered

LEAST_PART_M = 0.3
"""No splice lies nearer than this to the end of a run. Common practice, no source."""


def plan_sticks(pieces: Sequence[StickPiece], stock: StickStock, *, exact: bool = False) -> StickPlan:
    """Which stick each run of track comes from, lengths m.

    A run longer than a stick is spliced from whole sticks and a rest, the fewest splices. Of what is left, as much as
    can be is left on one stick. `exact` proves the plan the
    least for those parts where it can, and takes up to seconds for hard lists.
    """
    parts = [part for piece in pieces for part in spliced(piece, stock.length_m)]
    sticks = fitted(parts, stock)
    bound = bound_by_length(parts, stock)
    if exact and sum(stick.source == "new" for stick in sticks) > bound:
        from tracker.domain.cutting.patterns import least_sticks

        sticks, bound = least_sticks(parts, stock, sticks, bound)
    sticks = gathered(sticks, round(stock.kerf_m * UM))
    need = sum(stick.source == "new" for stick in sticks)
    return StickPlan(
        item=stock.item,
        sticks=tuple(cut_of(stick, stock) for stick in sticks),
        net_m=math.fsum(piece.length_m for piece in pieces),
        need=need,
        lower_bound=bound,
        proved_least=need == bound,
        splices=len(parts) - len(pieces),
    )


def spliced(piece: StickPiece, length_m: float) -> list[StickPart]:
    """A run as parts no longer than a stick, m, butted square, none shorter than LEAST_PART_M where that can be."""
    count = max(1, math.ceil(piece.length_m / length_m - 1e-9))
    rest = piece.length_m - (count - 1) * length_m
    lengths = [length_m] * (count - 1) + [rest]
    if count > 1 and rest < LEAST_PART_M:
        lengths[-2:] = [length_m + rest - LEAST_PART_M, LEAST_PART_M]
    ends = [piece.ends[0], *["square"] * (2 * count - 2), piece.ends[1]]
    names = [piece.name] if count == 1 else [f"{piece.name}.{i}" for i in range(1, count + 1)]
    return [
        StickPart(name, piece.bay, round(size, 6), (ends[2 * i], ends[2 * i + 1]))
        for i, (name, size) in enumerate(zip(names, lengths, strict=True))
    ]


def fitted(parts: Iterable[StickPart], stock: StickStock) -> list[Stick]:
    """Sticks filled by best fit, longest part first: offcuts and begun sticks before a new one."""
    kerf = round(stock.kerf_m * UM)
    sticks = [Stick(one.id, round(one.length_m * UM)) for one in stock.offcuts]
    left = sorted((stick.left, at) for at, stick in enumerate(sticks))
    for part in sorted(parts, key=lambda p: (-p.length_m, p.piece)):
        found = bisect_left(left, (round(part.length_m * UM), -1))
        if found < len(left):
            at = left.pop(found)[1]
        else:
            at = len(sticks)
            sticks.append(Stick("new", round(stock.length_m * UM)))
        sticks[at].take(part, kerf)
        insort(left, (sticks[at].left, at))
    return [stick for stick in sticks if stick.parts]


def bound_by_length(parts: Iterable[StickPart], stock: StickStock) -> int:
    """New sticks that the parts' lengths and kerfs, m, need at the least with every offcut used up.

    Source: definition.
    """
    kerf = round(stock.kerf_m * UM)
    total = sum(round(part.length_m * UM) + kerf for part in parts)
    total -= sum(round(one.length_m * UM) + kerf for one in stock.offcuts)
    return max(0, math.ceil(total / (round(stock.length_m * UM) + kerf)))


def cut_of(stick: Stick, stock: StickStock) -> StickCut:
    """A stick as the plan tells it, m; what is left is kept where it is long enough."""
    left = stick.left / UM
    keeps = left > 0 and left >= stock.waste_below_m - 1e-9
    return StickCut(stock.item, stick.source, stick.length / UM, tuple(stick.parts), left, keeps)


def begun_of(cut: StickCut, stock: StickStock) -> Stick:
    """A stick of a plan, um, as it is while it is being cut: what `cut_of` tells, the other way round."""
    stick = Stick(cut.source, round(cut.length_m * UM))
    for part in cut.cuts:
        stick.take(part, round(stock.kerf_m * UM))
    return stick
