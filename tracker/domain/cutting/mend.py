"""A packing made better: a few boards at a time are emptied and filled again."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace

from tracker.domain.cutting.packing import Filled, Saw, fill, worth


def mend(
    boards: Sequence[Filled], saw: Saw, rounds: int, seed: int, least: int = 0, seen: list[Filled] | None = None
) -> list[Filled]:
    """The boards with fewer new ones where `rounds` of emptying a few of them find it; stops at `least` new boards.

    Sizes um. The same input and seed give the same boards. `seen` gathers the boards filled on the way.
    """
    chance = random.Random(seed)
    whole = [board for board in boards if _waste(board) == 0]
    rest = [board for board in boards if _waste(board) > 0]
    for _ in range(rounds):
        new = sum(board.source == "new" for board in rest)
        if len(rest) < 2 or new + sum(board.source == "new" for board in whole) <= least:
            break
        picked = _picked(rest, chance)
        chosen = [rest[at] for at in picked]
        used = {board.source for board in [*whole, *rest]} - {board.source for board in chosen}
        part = replace(saw, offcuts=tuple(one for one in saw.offcuts if one[0] not in used))
        blocks = [placed.block for board in chosen for placed in board.placed]
        blocks.sort(key=lambda block: -max(block.width, block.height) * chance.uniform(0.8, 1.25))
        again = fill(blocks, part, ("given", chance.choice(("large", "long"))))
        if seen is not None:
            seen += again
        if _rank(again) <= _rank(chosen):
            rest = [board for at, board in enumerate(rest) if at not in picked] + again
    return whole + rest


def _picked(rest: Sequence[Filled], chance: random.Random) -> set[int]:
    """Two to five boards, always one that is poorly filled."""
    tries = chance.sample(range(len(rest)), min(4, len(rest)))
    weak = min(tries, key=lambda at: _used(rest[at]))
    return {weak, *chance.sample(range(len(rest)), min(chance.randint(1, 4), len(rest)))}


def _used(board: Filled) -> int:
    return sum(placed.block.width * placed.block.height for placed in board.placed)


def _waste(board: Filled) -> int:
    return board.width * board.height - _used(board)


def _rank(boards: Sequence[Filled]) -> tuple[int, float, int]:
    """New boards; then how unevenly new ones are filled, since a nearly empty one can go next; then cuts."""
    fills = [_used(board) / (board.width * board.height) for board in boards if board.source == "new"]
    new, cuts, _ = worth(boards)
    return new, -round(sum(share * share for share in fills), 9), cuts
