"""What is still to be cut for a bay: infill, track, fabric and fixings, less what is already up."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace
from functools import lru_cache

from tracker.domain.cutting.plans import Cloth, Need2, StickPiece
from tracker.domain.geometry.bays import (
    BayFaces,
    BayShape,
    bay_area_m2,
    bay_shapes,
    fitted_infill,
    track_faces,
)
from tracker.domain.geometry.outline import extent_m
from tracker.domain.geometry.regions import Part, less, without_strips
from tracker.domain.site import STEPS, Bay, Plane, Site, Step, Task
from tracker.domain.takeoff.fixings import fixing_count
from tracker.domain.takeoff.runs import Run, track_runs
from tracker.domain.work.progress import Progress

GAP_M = 0.010
"""A rest beside pieces that are up and narrower than this is a gap, not a piece, m. Common practice, no source."""


@dataclass(frozen=True)
class Material:
    """What one bay or task still needs, in finished work."""

    key: str
    infill: tuple[tuple[str, Need2], ...] = ()
    """(board item, net infill)."""
    sticks: tuple[tuple[str, StickPiece, float], ...] = ()
    """(stick item, piece, finished length in m)."""
    cloths: tuple[tuple[str, Cloth, float], ...] = ()
    """(roll item, cloth, finished area in m2)."""
    fixings: tuple[tuple[str, float], ...] = ()
    """(item, one every so many m of the bay's own runs)."""
    needs: tuple[tuple[str, float], ...] = ()
    """(item, quantity in its unit): a task's."""

    @property
    def counts(self) -> tuple[tuple[str, float], ...]:
        """(item, quantity in its unit): the fixings of the runs still to go up, and a task's needs."""
        track_m = sum(net_m for _, _, net_m in self.sticks)
        fixings = ((item, float(fixing_count(track_m, spacing_m))) for item, spacing_m in self.fixings)
        return (*((item, count) for item, count in fixings if count), *self.needs)


class Shapes:
    """Shapes and track runs of every bay of a site, each plane worked out when it is first asked for."""

    def __init__(self, site: Site) -> None:
        self._site = site
        self._on: dict[str, dict[str, BayShape]] = {}
        self._runs: dict[str, dict[str, tuple[Run, ...]]] = {}
        self._areas_m2: dict[str, float] = {}

    def of(self, bay: Bay) -> BayShape:
        """The bay with its openings cut out, its tracks and its net infill as surveyed."""
        return self.on(self.plane(bay))[bay.name]

    def on(self, plane: Plane) -> dict[str, BayShape]:
        """Shapes of every bay of a plane, by bay name."""
        if plane.key not in self._on:
            self._on[plane.key] = _shapes_of(plane, tuple(track_faces(self._site, plane).items()))
        return self._on[plane.key]

    def area_m2(self, bay: Bay) -> float:
        """Area of the bay less its openings, m2: what needs no track to be known."""
        if bay.key not in self._areas_m2:
            self._areas_m2[bay.key] = _area_m2(bay.outline, self.plane(bay).openings)
        return self._areas_m2[bay.key]

    def infill(self, bay: Bay) -> tuple[Part, ...]:
        """The net infill to cut, outlines in m: inside the fixed track once that is measured, else as surveyed."""
        shape = self.of(bay)
        return shape.infill if bay.fitted is None else fitted_infill(shape, bay.fitted)

    def runs(self, bay: Bay) -> tuple[Run, ...]:
        """Every run of track that encloses the bay, the joints it shares included."""
        plane = self.plane(bay)
        if plane.key not in self._runs:
            runs = _runs_of(plane, tuple(track_faces(self._site, plane).items()), self._order(plane))
            self._runs[plane.key] = {one.name: tuple(run for run in runs if one.name in (run.bay, run.shared_with))
                                     for one in plane.bays}
        return self._runs[plane.key][bay.name]

    def plane(self, bay: Bay) -> Plane:
        """The plane a bay lies on."""
        return self._site.planes[f"{bay.room}/{bay.plane}"]

    def _order(self, plane: Plane) -> tuple[str, ...]:
        phases = {phase.name: number for number, phase in enumerate(self._site.phases)}
        return tuple(bay.name for bay in sorted(plane.bays, key=lambda bay: phases[bay.phase]))


Faces = tuple[tuple[str, BayFaces], ...]


_area_m2 = lru_cache(maxsize=4096)(bay_area_m2)


@lru_cache(maxsize=512)
def _shapes_of(plane: Plane, faces: Faces) -> dict[str, BayShape]:
    return bay_shapes(plane, dict(faces))


@lru_cache(maxsize=512)
def _runs_of(plane: Plane, faces: Faces, order: tuple[str, ...]) -> tuple[Run, ...]:
    return track_runs(_shapes_of(plane, faces), order)


def bay_material(site: Site, shapes: Shapes, bay: Bay, progress: Progress,
                 steps: Collection[Step] = STEPS) -> Material:
    """What the named steps of a bay still need."""
    build_up = site.build_up[bay.build_up]
    short_name = site.short(bay.key)
    wanted = {step for step in steps if progress.of(bay, step) < 1}
    infill: tuple[tuple[str, Need2], ...] = ()
    sticks: tuple[tuple[str, StickPiece, float], ...] = ()
    cloths: tuple[tuple[str, Cloth, float], ...] = ()
    fixings: tuple[tuple[str, float], ...] = ()
    if "infill" in wanted:
        whole = shapes.infill(bay)
        left = infill_left(whole, progress, bay)
        if left:
            region = tuple((part.exterior, part.holes) for part in left)
            corners = tuple(corner for part in whole for corner in part.exterior)
            infill = ((build_up.infill, Need2(short_name, region, anchor_m=extent_m(corners)[0])),)
    if "track" in wanted:
        runs = runs_left(site, shapes, bay, progress)
        sticks = tuple((item, StickPiece(run_name(site, bay, run), short_name, run.length_m, run.ends), run.net_m)
                       for run in runs if (item := track_item(site, bay, run)) is not None)
        fixings = tuple((fixing.item, fixing.spacing_m) for fixing in build_up.each)
    if "fabric" in wanted and build_up.fabric and not progress.pieces(bay, "fabric"):
        shape = shapes.of(bay)
        cloths = ((build_up.fabric, Cloth(short_name, *shape.size_m, bay.outline), shape.area_m2),)
    return Material(bay.key, infill, sticks, cloths, fixings)


def task_material(task: Task, progress: Progress) -> Material:
    """What a free task still needs."""
    return Material(task.key) if progress.task_done(task) else Material(task.key, needs=task.needs)


def track_item(site: Site, bay: Bay, run: Run) -> str | None:
    """The stick a run is cut from: the bay's edge track, or the joint track of the bay that owns the joint."""
    owner = site.bays[f"{bay.room}/{bay.plane}/{run.bay}"]
    build_up = site.build_up[owner.build_up]
    return build_up.edge if run.kind == "edge" else build_up.joint


def run_name(site: Site, bay: Bay, run: Run) -> str:
    """The short name of a run: its owner's name and its mark."""
    return f"{site.short(f'{bay.room}/{bay.plane}/{run.bay}')} {run.mark}"


def runs_left(site: Site, shapes: Shapes, bay: Bay, progress: Progress) -> tuple[Run, ...]:
    """Runs of track around the bay that are not up yet; a joint is up as soon as either bay has put it up."""
    up = progress.track_up
    around = {name for run in shapes.runs(bay) for name in (run.bay, run.shared_with) if name}
    beside = [site.bays[f"{bay.room}/{bay.plane}/{name}"] for name in around]
    # Where no pieces were written down, the word of the diary is all there is.
    done = {one.name for one in beside if progress.of(one, "track") >= 1 and not progress.pieces(one, "track")}
    return tuple(run for run in shapes.runs(bay)
                 if run_name(site, bay, run) not in up and not {run.bay, run.shared_with} & done)


def infill_left(infill: tuple[Part, ...], progress: Progress, bay: Bay) -> tuple[Part, ...]:
    """The net infill less the pieces that are up, outlines in m."""
    up = [piece.outline for piece in progress.pieces(bay, "infill") if piece.outline]
    if not up:
        return infill
    # A bay taped again a little wider than it was cut leaves a gap beside what is up, not a strip to cut.
    return without_strips(less(infill, up), GAP_M)


class Materials:
    """What bays and tasks still need, worked out once for each as the work stands."""

    def __init__(self, site: Site, shapes: Shapes, progress: Progress) -> None:
        self._site, self._shapes, self._progress = site, shapes, progress
        self._of: dict[tuple[str, tuple[Step, ...]], Material] = {}
        self._runs: dict[str, frozenset[str]] = {}

    def of(self, unit: Bay | Task, steps: Collection[Step] = STEPS) -> Material:
        """What the named steps of a bay, or a task, still need."""
        name = unit.key, tuple(steps)
        if name not in self._of:
            self._of[name] = (task_material(unit, self._progress) if isinstance(unit, Task) else
                              bay_material(self._site, self._shapes, unit, self._progress, steps))
        return self._of[name]

    def together(self, units: Iterable[Bay | Task], steps: Collection[Step] = STEPS,
                 but_not: Collection[str] = ()) -> tuple[Material, ...]:
        """What several bays and tasks still need; a joint two of them share is taken once, runs `but_not` never."""
        found = []
        taken = set(but_not)
        for unit in units:
            material = self.of(unit, steps)
            sticks = tuple(one for one in material.sticks if one[1].name not in taken)
            taken |= {piece.name for _, piece, _ in sticks}
            found.append(material if len(sticks) == len(material.sticks) else replace(material, sticks=sticks))
        return tuple(found)

    def runs(self, unit: Bay | Task) -> frozenset[str]:
        """Names of the runs of track around a bay that are not up yet; a task has none."""
        if unit.key not in self._runs:
            self._runs[unit.key] = frozenset() if isinstance(unit, Task) else frozenset(
                run_name(self._site, unit, run) for run in
                runs_left(self._site, self._shapes, unit, self._progress))
        return self._runs[unit.key]


def all_material(site: Site, shapes: Shapes, units: Iterable[Bay | Task], progress: Progress,
                 steps: Collection[Step] = STEPS) -> tuple[Material, ...]:
    """What several bays and tasks still need; a joint two of them share is taken once."""
    return Materials(site, shapes, progress).together(units, steps)
