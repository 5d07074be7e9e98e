"""A plan of lots that come one after the other, made better for the earlier ones: they wait for less new material."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any, TypeVar

from tracker.domain.cutting.bars import UM, Stick
from tracker.domain.cutting.packing import Filled, Saw, fill, worth
from tracker.domain.cutting.pairs import Block
from tracker.domain.cutting.plans import StickPart, StickStock

Part = TypeVar("Part", Filled, Stick)
STICK_ROUNDS = 300
"""Rounds of refilling sticks."""


def earlier_boards(boards: Sequence[Filled], saw: Saw, lot_of: Sequence[int], rounds: int, seed: int) -> list[Filled]:
    """No more new boards, sizes um, and fewer that an earlier lot is the first to need, where `rounds` find it.

    `lot_of` gives the lot of each piece by its number. A few boards at a time are emptied and filled again, what is of
    an earlier lot first. The same input and seed give the same boards.
    """
    def lot(block: Block) -> int:
        return min(lot_of[member.index] for member in block.members)

    def lots_on(board: Filled) -> set[int]:
        return {lot(placed.block) for placed in board.placed}

    def again(chosen: list[Filled], others: list[Filled], chance: random.Random) -> list[Filled]:
        used = {board.source for board in others}
        part = replace(saw, offcuts=tuple(one for one in saw.offcuts if one[0] not in used))
        blocks = [placed.block for board in chosen for placed in board.placed]
        blocks.sort(key=lambda block: (lot(block), -max(block.width, block.height) * chance.uniform(0.8, 1.25)))
        return fill(blocks, part, ("given", chance.choice(("large", "long"))))

    return _reworked(boards, rounds, seed, lots_on, again, lambda some: worth(some)[1])


def earlier_sticks(sticks: Sequence[Stick], stock: StickStock, lot_of: Callable[[StickPart], int],
                   seed: int = 0) -> list[Stick]:
    """As `earlier_boards` of sticks, lengths um."""
    kerf, whole = round(stock.kerf_m * UM), round(stock.length_m * UM)

    def lots_on(stick: Stick) -> set[int]:
        return {lot_of(part) for part in stick.parts}

    def again(chosen: list[Stick], _others: list[Stick], chance: random.Random) -> list[Stick]:
        parts = [part for stick in chosen for part in stick.parts]
        parts.sort(key=lambda part: (lot_of(part), -part.length_m * chance.uniform(0.8, 1.25)))
        filled = [Stick(stick.source, stick.length) for stick in chosen if stick.source != "new"]
        for part in parts:
            size = round(part.length_m * UM)
            fits = [stick for stick in filled if stick.left >= size]
            if not fits:
                fits = [Stick("new", whole)]
                filled += fits
            min(fits, key=lambda stick: stick.left).take(part, kerf)
        return [stick for stick in filled if stick.parts]

    return _reworked(sticks, STICK_ROUNDS, seed, lots_on, again, lambda some: -max(stick.left for stick in some))


def _reworked(parts: Sequence[Part], rounds: int, seed: int, lots_on: Callable[[Part], set[int]],
              again: Callable[[list[Part], list[Part], random.Random], list[Part]],
              cost: Callable[[Sequence[Part]], int]) -> list[Part]:
    chance = random.Random(seed)
    found = list(parts)
    lots = max((lot for part in found for lot in lots_on(part)), default=0) + 1

    def rank(some: Sequence[Part]) -> tuple[Any, ...]:
        first = [0] * lots
        for part in some:
            if part.source == "new":
                first[min(lots_on(part))] += 1
        return sum(first), tuple(first), cost(some)

    for _ in range(rounds):
        mixed = [at for at, part in enumerate(found) if len(lots_on(part)) > 1]
        if not mixed:
            break
        picked = {chance.choice(mixed), *chance.sample(range(len(found)), min(chance.randint(1, 4), len(found)))}
        chosen = [found[at] for at in sorted(picked)]
        others = [part for at, part in enumerate(found) if at not in picked]
        more = again(chosen, others, chance)
        if rank(more) <= rank(chosen):
            found = others + more
    return found
