"""Items with quantities as typed into one field."""

from __future__ import annotations

from tracker.domain.errors import Refused


def read_pairs(name: str, text: str) -> tuple[tuple[str, str], ...]:
    """`item = quantity` pairs parted by semicolons; Refused, naming the field, where one has no `=`."""
    pairs = []
    for part in filter(None, (part.strip() for part in text.split(";"))):
        item, mark, quantity = part.rpartition("=")
        if not mark or not item.strip() or not quantity.strip():
            raise Refused(f"{name}: {part}: write item = quantity, with ; between two items")
        pairs.append((item.strip(), quantity.strip()))
    return tuple(pairs)
