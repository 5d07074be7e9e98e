"""Blocks sawn out of boards by straight through cuts: one quick filling, best fit, in whole micrometres."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from tracker.domain.cutting.pairs import Block

Free = tuple[int, int, int, int, int]
"""An uncut panel: width, height, x, y, um, and the number of its board."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A block on a board, um, at the lower left of `panel` = (x, y, width, height), sawn upright first if `upright`."""

    block: Block
    x: int
    y: int
    turned: bool
    panel: tuple[int, int, int, int]
    upright: bool

    @property
    def size(self) -> tuple[int, int]:
        block = self.block
        return (block.height, block.width) if self.turned else (block.width, block.height)

    @property
    def cuts(self) -> int:
        """Through cuts it takes."""
        width, height = self.size
        return (width < self.panel[2]) + (height < self.panel[3])


@dataclass(slots=True)
class Filled:
    """A board being filled: where it comes from, its size, um, its blocks and the panels left."""

    source: str
    width: int
    height: int
    placed: list[Placed] = field(default_factory=list)
    left: list[tuple[int, int, int, int]] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Saw:
    """Board size, kerf, um, whether pieces may be turned, and the offcuts (id, length, width) in stock."""

    length: int
    width: int
    kerf: int
    turnable: bool
    offcuts: tuple[tuple[str, int, int], ...] = ()


ORDERS = {
    "long": lambda b: (-max(b.width, b.height), -min(b.width, b.height)),
    "area": lambda b: (-b.width * b.height, -max(b.width, b.height)),
    "short": lambda b: (-min(b.width, b.height), -max(b.width, b.height)),
}
"""Orders in which blocks are taken."""
WAYS = tuple((order, split) for order in ORDERS for split in ("large", "long"))
"""Orders with ways to saw what is left of a panel: into the largest rest, or along the longer side."""


MANY = 600
"""Blocks above which one filling is enough."""


def fill(blocks: Sequence[Block], saw: Saw, way: tuple[str, str]) -> list[Filled]:
    """Every block on a board: offcuts first where they fit, then boards begun, then a new one.

    `way` is one of WAYS, or `given` with a split to keep the order of the blocks. A block too large for a board gets
    none: the layout never makes one.
    """
    boards = [Filled(*offcut) for offcut in saw.offcuts]
    free: list[Free] = [(board.width, board.height, 0, 0, at) for at, board in enumerate(boards)]
    whole = (saw.length, saw.width)
    ordered = blocks if way[0] == "given" else sorted(blocks, key=ORDERS[way[0]])
    least = _least(ordered)
    for place, block in enumerate(ordered):
        sides = ((block.width, block.height, False), (block.height, block.width, True))
        best = _fit(free, sides if saw.turnable and block.width != block.height else sides[:1])
        if best is None:
            turned = block.width > whole[0] or block.height > whole[1]
            best = (0, 0, len(free), turned)
            free.append((*whole, 0, 0, len(boards)))
            boards.append(Filled("new", *whole))
        panel = free.pop(best[2])
        width, height = (block.height, block.width) if best[3] else (block.width, block.height)
        upright, rests = _split(panel, width, height, saw.kerf, way[1])
        board = boards[panel[4]]
        board.placed.append(Placed(block, panel[2], panel[3], best[3], (panel[2], panel[3], *panel[:2]), upright))
        need = least[place + 1]
        for rest in rests:
            if min(rest[:2]) >= need[0] and max(rest[:2]) >= need[1]:
                free.append(rest)
            else:
                board.left.append((rest[2], rest[3], rest[0], rest[1]))
    for width, height, x, y, at in free:
        boards[at].left.append((x, y, width, height))
    return [board for board in boards if board.placed]


def _least(ordered: Sequence[Block]) -> list[tuple[int, int]]:
    """For each place, the least short side and the least long side of the blocks from there on."""
    least = [(1 << 60, 1 << 60)]
    for block in reversed(ordered):
        low, high = sorted((block.width, block.height))
        least.append((min(low, least[-1][0]), min(high, least[-1][1])))
    return least[::-1]


def _fit(free: Sequence[Free], sides: Sequence[tuple[int, int, bool]]) -> tuple[int, int, int, bool] | None:
    """The panel a block fits most tightly: (shorter margin, longer margin, place, turned)."""
    best: tuple[int, int, int, bool] | None = None
    for at, panel in enumerate(free):
        for width, height, turned in sides:
            over, up = panel[0] - width, panel[1] - height
            if over >= 0 and up >= 0:
                fit = (over, up, at, turned) if over < up else (up, over, at, turned)
                if best is None or fit < best:
                    best = fit
    return best


def _split(panel: Free, width: int, height: int, kerf: int, rule: str) -> tuple[bool, list[Free]]:
    """How a panel is sawn around a block at its lower left: upright cut first or not, and the panels left."""
    total_w, total_h, x, y, at = panel
    over, up = total_w - width - kerf, total_h - height - kerf
    if over <= 0 or up <= 0:
        upright = over > 0 or total_w > width
    elif rule == "large":
        upright = max(over * total_h, width * up) >= max(over * height, total_w * up)
    else:
        upright = total_w >= total_h
    rests = []
    if over > 0:
        rests.append((over, total_h if upright else height, x + width + kerf, y, at))
    if up > 0:
        rests.append((width if upright else total_w, up, x, y + height + kerf, at))
    return upright, rests


def worth(boards: Sequence[Filled]) -> tuple[int, int, int]:
    """How good a filling is, lower better: new boards, through cuts, less the largest panel left, um2."""
    new = sum(board.source == "new" for board in boards)
    cuts = sum(placed.cuts for board in boards for placed in board.placed)
    return new, cuts, -max((w * h for board in boards for _, _, w, h in board.left), default=0)


def best_fill(blocks: Sequence[Block], saw: Saw, ways: Sequence[tuple[str, str]] = WAYS) -> list[Filled]:
    """The best of the quick fillings; of very many blocks only the first way is tried."""
    return min((fill(blocks, saw, way) for way in (ways if len(blocks) <= MANY else ways[:1])), key=worth)
