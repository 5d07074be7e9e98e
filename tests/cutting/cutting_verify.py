"""An independent check of board and stick plans: shapely and the plan's own figures, none of the planner's code."""

from __future__ import annotations

from collections import Counter

from shapely import affinity
from shapely.geometry import LineString, MultiPolygon, Polygon, box
from shapely.ops import split, unary_union

TOL_M = 2e-5
HAIRLINE_M = 0.005


def faults(plan, needs, stock) -> list[str]:
    """What is wrong with a board plan: cover, overlap, size, place, straight cuts with kerf, demand, stock."""
    return [*_cover(plan, needs), *_demand(plan, stock), *(f for b in plan.boards for f in _board(b, plan, stock))]


def _cover(plan, needs):
    for need in needs:
        net = unary_union([Polygon(outside, holes) for outside, holes in need.infill])
        shapes = [Polygon(piece.outline_m) for piece in plan.pieces if piece.bay == need.bay]
        if not all(shape.is_valid for shape in shapes):
            yield f"{need.bay}: a piece crosses itself"
        both = unary_union(shapes)
        if abs(sum(shape.area for shape in shapes) - both.area) > 1e-6:
            yield f"{need.bay}: pieces overlap"
        open_m2 = net.symmetric_difference(both).area
        if open_m2 > 1e-5:
            yield f"{need.bay}: {open_m2} m2 open or over the rim"


def _demand(plan, stock):
    wanted = Counter(piece.name for piece in plan.pieces)
    cut = Counter(one.piece for board in plan.boards for one in board.cuts)
    if wanted != cut or max(wanted.values(), default=1) > 1:
        yield f"pieces and cuts differ: {wanted - cut} {cut - wanted}"
    sources = Counter(board.source for board in plan.boards if board.source != "new")
    known = {one.id: one for one in stock.offcuts}
    if any(count > 1 or source not in known for source, count in sources.items()):
        yield f"offcuts used that are not in stock once: {sources}"
    if plan.need != sum(board.source == "new" for board in plan.boards):
        yield "need is not the number of new boards"
    if plan.need < plan.lower_bound or plan.proved_least != (plan.need == plan.lower_bound):
        yield "bound and proof do not agree"


def _board(board, plan, stock):
    known = {one.id: one for one in stock.offcuts}
    size = (stock.length_m, stock.width_m)
    if board.source != "new":
        size = (known[board.source].length_m, known[board.source].width_m)
    if max(abs(board.size_m[k] - size[k]) for k in (0, 1)) > TOL_M:
        yield f"a board from {board.source} has the wrong size"
    rim = box(0, 0, *size).buffer(TOL_M, join_style="mitre")
    drawn = {piece.name: Polygon(piece.outline_m) for piece in plan.pieces}
    shapes = []
    for cut in board.cuts:
        shape = Polygon(cut.outline_m)
        shapes.append(shape)
        if not rim.contains(shape):
            yield f"{cut.piece} leaves its board"
        bounds = (*cut.at_m, cut.at_m[0] + cut.size_m[0], cut.at_m[1] + cut.size_m[1])
        if max(abs(a - b) for a, b in zip(shape.bounds, bounds, strict=True)) > TOL_M:
            yield f"{cut.piece}: at and size are not its outline's"
        if cut.turned and not stock.turnable:
            yield f"{cut.piece} is turned and may not be"
        if cut.flipped and not stock.flippable:
            yield f"{cut.piece} is flipped and may not be"
        if not _same_shape(drawn[cut.piece], shape, cut.turned, cut.flipped):
            yield f"{cut.piece}: cut to another shape than drawn"
    for made in board.offcuts:
        shapes.append(box(*made.at_m, made.at_m[0] + made.size_m[0], made.at_m[1] + made.size_m[1]))
        if min(made.size_m) < stock.waste_below_m - TOL_M:
            yield "waste kept as an offcut"
        if not rim.contains(shapes[-1]):
            yield "an offcut leaves its board"
    if not parted([shape.convex_hull for shape in shapes], stock.kerf_m):
        yield f"no straight through cuts part {[cut.piece for cut in board.cuts]}"
    yield from _sawn(board, shapes[: len(board.cuts)], stock.kerf_m)


def _same_shape(drawn, cut, turned, flipped):
    """Is `cut` the drawn shape turned by quarter turns (odd where turned), mirrored where flipped?"""
    for mirror in (1, -1) if flipped else (1,):
        for quarter in (90, 270) if turned else (0, 180):
            moved = affinity.rotate(affinity.scale(drawn, mirror, 1), quarter, origin=(0, 0))
            moved = affinity.translate(moved, cut.bounds[0] - moved.bounds[0], cut.bounds[1] - moved.bounds[1])
            if moved.symmetric_difference(cut).area < 1e-5:
                return True
    return False


def parted(shapes, kerf_m) -> bool:
    """Can convex shapes be parted one from another by straight through cuts at least a kerf wide?"""
    if len(shapes) <= 1:
        return True
    for nx, ny in _normals(shapes):
        spans = sorted((min(nx * x + ny * y for x, y in s.exterior.coords), i) for i, s in enumerate(shapes))
        reach = -1e9
        for at, (low, _) in enumerate(spans):
            if at and low >= reach + kerf_m - TOL_M:
                one = [shapes[i] for _, i in spans[:at]]
                return parted(one, kerf_m) and parted([shapes[i] for _, i in spans[at:]], kerf_m)
            i = spans[at][1]
            reach = max(reach, max(nx * x + ny * y for x, y in shapes[i].exterior.coords))
    return False


def _normals(shapes):
    yield from ((1.0, 0.0), (0.0, 1.0))
    for shape in shapes:
        ring = list(shape.exterior.coords)
        for (x0, y0), (x1, y1) in zip(ring, ring[1:], strict=False):
            if min(abs(x1 - x0), abs(y1 - y0)) > 1e-5:
                length = LineString([(x0, y0), (x1, y1)]).length
                yield (y1 - y0) / length, (x0 - x1) / length


def _sawn(board, shapes, kerf_m):
    """Follow the saw cuts: each through cut crosses one panel that is still whole, and runs through no piece."""
    panels = [box(0, 0, *board.size_m)]
    if len(set(board.saw)) != len(board.saw):
        yield "a cut is sawn twice"
    for cut in board.saw:
        x, y = cut.panel_at_m
        panel = box(x, y, x + cut.panel_size_m[0], y + cut.panel_size_m[1])
        if not any(one.symmetric_difference(panel).area < 1e-6 for one in panels):
            if cut.kind != "line":
                yield f"a {cut.kind} cut of a panel that is not there"
            continue
        if cut.kind == "line":
            line = LineString([cut.start_m, cut.end_m])
            if not panel.buffer(TOL_M).covers(line):
                yield "a slanted cut leaves its panel"
            if any(line.intersection(shape.buffer(-10 * TOL_M - kerf_m)).length > TOL_M for shape in shapes):
                yield "a slanted cut runs through a piece"
            continue
        panels = [one for one in panels if one.symmetric_difference(panel).area >= 1e-6]
        line = LineString([cut.start_m, cut.end_m])
        slot = line
        if kerf_m:
            (x0, y0), (x1, y1) = cut.start_m, cut.end_m
            # A hair over the rim, so that a sum that floats round up leaves no bridge.
            slot = (box(x0, y0 - 1e-9, x0 + kerf_m, y1 + 1e-9) if cut.kind == "cross" else
                    box(x0 - 1e-9, y0, x1 + 1e-9, y0 + kerf_m))
            rests = panel.difference(slot)
        else:
            rests = MultiPolygon(list(split(panel, line).geoms))
        panels += [one for one in getattr(rests, "geoms", [rests]) if one.area > 1e-9]
        if any(slot.intersection(shape).area > 1e-6 for shape in shapes):
            yield f"a {cut.kind} cut runs through a piece"
    for shape in shapes:
        if not any(panel.buffer(TOL_M).contains(shape) for panel in panels):
            yield "a piece is sawn through"


def stick_faults(plan, pieces, stock) -> list[str]:
    """What is wrong with a stick plan: lengths, kerfs, demand, stock, ends."""
    found = []
    for piece in pieces:
        cuts = [cut for stick in plan.sticks for cut in stick.cuts]
        parts = [cut for cut in cuts if cut.piece == piece.name or cut.piece.startswith(piece.name + ".")]
        if abs(sum(part.length_m for part in parts) - piece.length_m) > TOL_M:
            found.append(f"{piece.name}: parts do not add up")
        ends = Counter(end for part in parts for end in part.ends)
        ends.subtract(Counter(piece.ends))
        if set(+ends) - {"square"} or -ends:
            found.append(f"{piece.name}: ends differ")
    known = {one.id: one.length_m for one in stock.offcuts}
    for stick in plan.sticks:
        if stick.length_m != (stock.length_m if stick.source == "new" else known.get(stick.source)):
            found.append(f"stick from {stick.source} has the wrong length")
        used = sum(c.length_m for c in stick.cuts) + stock.kerf_m * (len(stick.cuts) - 1)
        if used > stick.length_m + 1e-6:
            found.append("a stick is overfull")
        if abs(stick.left_m - max(0, stick.length_m - used - stock.kerf_m)) > 1e-5:
            found.append("left is not what is left")
    used_once = Counter(stick.source for stick in plan.sticks if stick.source != "new")
    if any(count > 1 for count in used_once.values()):
        found.append("an offcut is used twice")
    if plan.need != sum(stick.source == "new" for stick in plan.sticks) or plan.need < plan.lower_bound:
        found.append("need is wrong")
    return found
