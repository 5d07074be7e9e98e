"""Sticks that are enough, filled so that what is left is one long offcut and not many short ones."""

from __future__ import annotations

from collections.abc import Sequence

from tracker.domain.cutting.bars import UM, Stick
from tracker.domain.cutting.plans import StickPart

STEP = 100
"""Parts are reckoned up and sticks down to tenths of a millimetre, um."""


def gathered(sticks: Sequence[Stick], kerf: int) -> list[Stick]:
    """The same parts on the same sticks or fewer, lengths um, with the emptiest new stick emptied as far as it goes.

    Each other stick in turn takes what fills it best out of its own parts and the emptiest stick's; nothing changes
    where no new stick was begun.
    """
    new = [at for at, stick in enumerate(sticks) if stick.source == "new"]
    if not new:
        return list(sticks)
    emptiest = max(new, key=lambda at: (sticks[at].left, -at))
    rest = sticks[emptiest].parts
    filled = list(sticks)
    changed = True
    while changed and rest:
        changed = False
        for at, stick in enumerate(filled):
            if at == emptiest or stick.left <= 0:
                continue
            taken, over = _fullest([*stick.parts, *rest], stick.length, kerf)
            gain = sum(map(_size, taken)) + kerf * len(taken) - stick.used
            if gain > 0 and _holds(over, filled[emptiest].length, kerf):
                filled[at] = _cut(stick, taken, kerf)
                rest, changed = over, True
    filled[emptiest] = _cut(filled[emptiest], rest, kerf)
    return [stick for stick in filled if stick.parts]


def _size(part: StickPart) -> int:
    return round(part.length_m * UM)


def _holds(parts: Sequence[StickPart], length: int, kerf: int) -> bool:
    return sum(map(_size, parts)) + kerf * max(0, len(parts) - 1) <= length


def _cut(stick: Stick, parts: Sequence[StickPart], kerf: int) -> Stick:
    again = Stick(stick.source, stick.length)
    for part in sorted(parts, key=lambda part: (-part.length_m, part.piece)):
        again.take(part, kerf)
    return again


def _fullest(parts: Sequence[StickPart], length: int, kerf: int) -> tuple[list[StickPart], list[StickPart]]:
    """The parts that fill a length, um, the best, and those left over."""
    room = (length + kerf) // STEP
    steps = [-(-(_size(part) + kerf) // STEP) for part in parts]
    sums = [1]
    for step in steps:
        sums.append((sums[-1] | sums[-1] << step) & ((1 << (room + 1)) - 1))
    at = sums[-1].bit_length() - 1
    taken, over = [], []
    for number in range(len(parts) - 1, -1, -1):
        if sums[number] >> at & 1:
            over.append(parts[number])
        else:
            taken.append(parts[number])
            at -= steps[number]
    return taken[::-1], over[::-1]
