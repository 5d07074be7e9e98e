"""What to notice before a bay is begun: readings that contradict, depths that don't match, cloth too narrow."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from tracker.domain.cutting.boards import plan_boards
from tracker.domain.cutting.plans import BoardStock, Need2
from tracker.domain.geometry.tape import findings, say
from tracker.domain.site import Bay, BuildUp, Site, Step, TapeSet
from tracker.domain.stock.pool import Pool
from tracker.domain.work.material import Shapes, bay_material
from tracker.domain.work.progress import Progress
from tracker.domain.work.racks import board_stock

Code = Literal["tape-does-not-close", "out-of-square", "bowed", "infill-deeper-than-track",
               "infill-shallower-than-track", "fabric-too-narrow", "mixed-dye-lots", "not-measured", "sliver"]

DEPTH_M = 0.0005
"""Depths nearer than this are the same, m: half a millimetre. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Notice:
    """A thing to notice: words with {0}, {1} … where the lengths (m) go, shown in the site's units."""

    code: Code
    words: str
    lengths_m: tuple[float, ...] = ()


def bay_notices(site: Site, shapes: Shapes, bay: Bay, progress: Progress, stock: Pool,
                step: Step | None = None) -> tuple[Notice, ...]:
    """Everything to notice about a bay, or about one step of it; steps that are done no longer matter."""
    build_up = site.build_up[bay.build_up]
    found: list[Notice] = []
    if bay.tape is not None and bay.fitted is None:
        found += _tape_notices(bay.tape, "")
    if bay.fitted is not None:
        found += _tape_notices(bay.fitted, "inside the track, ")
    if progress.of(bay, "infill") < 1 and step in (None, "track", "infill"):
        found += _depth_notices(site, build_up)
    if progress.of(bay, "infill") < 1 and step in (None, "infill"):
        found += _infill_notices(site, shapes, bay, progress, step)
    if progress.of(bay, "fabric") < 1 and step in (None, "fabric"):
        found += _fabric_notices(site, shapes, bay, build_up, stock)
    return tuple(found)


def _tape_notices(tape: TapeSet, where: str) -> Iterator[Notice]:
    for finding in findings(tape):
        lengths: list[float] = []

        def placed(length_m: float, lengths: list[float] = lengths) -> str:
            lengths.append(length_m)
            return f"{{{len(lengths) - 1}}}"

        words = say(finding, placed)
        yield Notice(finding.code, where + words, tuple(lengths))


def _depth_notices(site: Site, build_up: BuildUp) -> Iterator[Notice]:
    infill = site.item[build_up.infill]
    for track in (build_up.edge, build_up.joint):
        held = site.item[track].depth_m if track else None
        if held is None or infill.depth_m is None:
            continue
        if infill.depth_m > held + DEPTH_M:
            yield Notice("infill-deeper-than-track", f"{infill.name} is {{0}} deep, {track} holds {{1}}: the fabric "
                         "will bulge; measure a board, and pack the track out or take thinner infill",
                         (infill.depth_m, held))
        elif infill.depth_m < held - DEPTH_M:
            yield Notice("infill-shallower-than-track", f"{infill.name} is {{0}} deep, {track} holds {{1}}: the fabric "
                         "will lie hollow; pack the infill out", (infill.depth_m, held))


def _infill_notices(site: Site, shapes: Shapes, bay: Bay, progress: Progress, step: Step | None) -> Iterator[Notice]:
    if bay.fitted is None and (step == "infill" or progress.of(bay, "track") >= 1) and len(bay.outline) == 4:
        yield Notice("not-measured", "not measured inside the fixed track yet; tape it there before you cut")
    slivers, limits = [], []
    for item, need in bay_material(site, shapes, bay, progress, ("infill",)).infill:
        stock = board_stock(site.item[item])
        narrow = [width for width in _widths_m(need, stock) if width < stock.sliver_m]
        slivers += narrow
        limits += [stock.sliver_m] * bool(narrow)
    if slivers:
        yield Notice("sliver", f"{len(slivers)} pieces of infill are narrower than {{0}}, the narrowest {{1}}: hard to "
                     "cut and to hold; move an edge of the bay if you can", (max(limits), min(slivers)))


@lru_cache(maxsize=1024)
def _widths_m(need: Need2, stock: BoardStock) -> tuple[float, ...]:
    """The narrower side of every piece of a bay's infill, cut from new boards."""
    return tuple(min(cut.size_m) for board in plan_boards((need,), stock).boards for cut in board.cuts)


def _fabric_notices(site: Site, shapes: Shapes, bay: Bay, build_up: BuildUp, stock: Pool) -> Iterator[Notice]:
    if build_up.fabric is None:
        return
    cloth = site.item[build_up.fabric]
    width, height = shapes.of(bay).size_m
    across = min(width, height) if cloth.turnable else width
    if cloth.width_m is not None and across + 2 * cloth.tuck_m > cloth.width_m + DEPTH_M:
        yield Notice("fabric-too-narrow", f"{cloth.name} is {{0}} wide and the bay needs {{1}} with its tuck: the "
                     "cloth needs a joint, or the bay a joint track", (cloth.width_m, across + 2 * cloth.tuck_m))
    lots = stock.balance(cloth.name).lots
    if len(lots) > 1:
        yield Notice("mixed-dye-lots", f"{cloth.name} in stock is of lots {', '.join(lots)}: keep one wall to one lot")
