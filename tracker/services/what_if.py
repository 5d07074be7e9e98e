"""Changes that are only asked about: another thickness, gap or area of bays, as typed, without touching the plan."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from tracker.domain.errors import Refused
from tracker.domain.geometry.outline import area_m2
from tracker.domain.site import Bay, BuildUp, Item, Site
from tracker.domain.sound.build_up_report import BuildUpReport, build_up_report, change_note, changed
from tracker.domain.sound.worth import Change
from tracker.domain.work.material import Shapes
from tracker.domain.work.progress import Progress
from tracker.domain.work.targets import find_target
from tracker.measures import MeasureError, read_length, show_area, show_length
from tracker.measures.units import NUMBER, number, quoted
from tracker.services.explaining import layers_of
from tracker.services.sound_answers import ChangeView

EXAMPLE = '"wall 50: depth=100, gap=50" or "north/left: area=150%"'
_MOST_AREA = 10
_SAME_DEPTH_M = 0.001
"""Boards of a depth this near the one asked for are of that depth, m (common practice, no source)."""
_SAME_AREA_M2 = 0.005
"""Half of the last digit areas are shown to, m2."""


@dataclass(frozen=True, slots=True)
class Settings:
    """What is asked about of a bay; None leaves it."""

    depth_m: float | None = None
    gap_m: float | None = None
    area_share: float = 1.0


@dataclass(frozen=True, slots=True)
class WhatIf:
    """Changes asked about, worked out for each bay."""

    changes: Mapping[str, Change]
    """By bay key."""
    views: tuple[ChangeView, ...]
    site: Site
    """The site with boards it has of the depths asked for, for what would have to be bought."""
    unpriced: Mapping[str, str]
    """Bay key to the board it would take, where the site has none such."""


def read_changes(site: Site, texts: Sequence[str]) -> dict[str, Settings]:
    """Bay key to what is asked about it; a later text adds to an earlier one."""
    found: dict[str, Settings] = {}
    for text in texts:
        name, colon, said = text.rpartition(":")
        if not colon or not name.strip() or not said.strip():
            raise Refused(f"what if {quoted(text)}: write name and change, such as {EXAMPLE}")
        asked = dict(_figures(site, text, said))
        for bay in _bays(site, name.strip()):
            found[bay.key] = replace(found.get(bay.key, Settings()), **asked)
    return found


def _bays(site: Site, name: str) -> Sequence[Bay]:
    if name in site.build_up:
        bays: Sequence[Bay] = [bay for bay in site.bays.values() if bay.build_up == name]
    else:
        try:
            bays = find_target(site, name).bays
        except Refused as refusal:
            raise Refused("what if " + str(refusal).replace(": no bay,", ": no build-up, bay,", 1)) from refusal
    if not bays:
        raise Refused(f"what if {name}: no bay has it")
    return bays


def _figures(site: Site, text: str, said: str) -> Iterator[tuple[str, float]]:
    seen: set[str] = set()
    for part in re.split(r"[,;]\s*(?=[A-Za-z]+\s*=)|;\s*", said):
        key, sign, value = (piece.strip() for piece in part.partition("="))
        if not sign or key not in ("depth", "gap", "area"):
            raise Refused(f"what if {quoted(text)}: cannot read {quoted(part.strip())}; write depth=, gap= or area=, "
                          f"such as {EXAMPLE}")
        if key in seen:
            raise Refused(f"what if {quoted(text)}: {key} is given twice; give it once")
        seen.add(key)
        if key == "area":
            yield "area_share", _share(text, value)
            continue
        try:
            yield f"{key}_m", read_length(value, site.unit, what=key, position=key == "gap")
        except MeasureError as error:
            raise Refused(f"what if {text}: {error}") from error


def _share(text: str, value: str) -> float:
    match = re.fullmatch(rf"({NUMBER})\s*%", value)
    share = float(number(match[1])) / 100 if match else 0.0
    if not 0.0 < share <= _MOST_AREA:
        raise Refused(f"what if {quoted(text)}: area {quoted(value)}; write a share of the bay's own over 0 and up to "
                      f"{100 * _MOST_AREA} %, such as area=150%")
    return share


def work_out(site: Site, progress: Progress, asked: Mapping[str, Settings]) -> WhatIf:
    """The changes as coefficients; Refused where none of the bays has infill left to put up."""
    left = {key: one for key, one in asked.items() if progress.of(site.bays[key], "infill") < 1}
    if asked and not left:
        raise Refused(f"what if {', '.join(site.short(key) for key in asked)}: its infill is all up already")
    _fits_its_planes(site, progress, left)
    groups: dict[tuple[str, Settings], list[Bay]] = {}
    for key, one in left.items():
        groups.setdefault((site.bays[key].build_up, one), []).append(site.bays[key])
    changes: dict[str, Change] = {}
    unpriced: dict[str, str] = {}
    views = []
    build_ups, moved = list(site.build_ups), {}
    for number_, ((name, settings), bays) in enumerate(groups.items()):
        layers = layers_of(site, name)
        asked_for = changed(layers, settings.depth_m, settings.gap_m)
        before, after = build_up_report(layers, site.unit), build_up_report(asked_for, site.unit)
        other = before.used.source != after.used.source or before.used.alpha != after.used.alpha
        change = Change(after.used.alpha if other else None, after.used.source, settings.area_share)
        changes |= {bay.key: change for bay in bays}
        board = _board(site, site.build_up[name], settings)
        deep = asked_for.thickness_m != layers.thickness_m
        if deep and board is None:
            unpriced |= {bay.key: f"a board {show_length(settings.depth_m or 0.0, site.unit)} deep" for bay in bays}
        elif deep and board is not None:
            build_ups.append(replace(site.build_up[name], name=f"\0{number_}", infill=board.name))
            moved |= {bay.key: f"\0{number_}" for bay in bays}
        views.append(_view(site, name, settings, bays, before, after, board if deep else None))
    return WhatIf(changes, tuple(views), _with_boards(site, tuple(build_ups), moved), unpriced)


def _fits_its_planes(site: Site, progress: Progress, asked: Mapping[str, Settings]) -> None:
    """Refused where bays are asked about that would cover more than their plane has; a cloud covers nothing."""
    shapes = Shapes(site)
    for plane in site.planes.values():
        grown = [bay for bay in plane.bays if bay.key in asked and asked[bay.key].area_share > 1]
        if plane.kind == "cloud" or not grown:
            continue
        free_m2 = area_m2(plane.outline) - sum(area_m2(one.outline) for one in plane.openings)
        left = {bay.key: shapes.area_m2(bay) * (1 - progress.of(bay, "infill")) for bay in grown}
        kept_m2 = sum(shapes.area_m2(bay) for bay in plane.bays) - sum(left.values())
        wanted_m2 = sum(area * asked[key].area_share for key, area in left.items())
        if kept_m2 + wanted_m2 > free_m2 + _SAME_AREA_M2:
            most = int(100 * (free_m2 - kept_m2) / sum(left.values()))
            raise Refused(f"what if {', '.join(site.short(key) for key in left)}: {plane.name} has "
                          f"{show_area(free_m2, site.unit)} to cover, its openings left out; ask about no more than "
                          f"area={max(100, most)}%")


def _board(site: Site, build_up: BuildUp, settings: Settings) -> Item | None:
    """A board of the site with the depth asked for; of several the one with the same size as now."""
    now = site.item[build_up.infill]
    fits = [item for item in site.items if item.form == "board" and settings.depth_m is not None
            and item.depth_m is not None and abs(item.depth_m - settings.depth_m) <= _SAME_DEPTH_M]
    return min(fits, key=lambda item: (item.length_m, item.width_m) != (now.length_m, now.width_m), default=None)


def _with_boards(site: Site, build_ups: tuple[BuildUp, ...], moved: Mapping[str, str]) -> Site:
    if not moved:
        return site
    return replace(site, build_ups=build_ups, rooms=tuple(
        replace(room, planes=tuple(
            replace(plane, bays=tuple(replace(bay, build_up=moved.get(bay.key, bay.build_up)) for bay in plane.bays))
            for plane in room.planes)) for room in site.rooms))


def _view(site: Site, name: str, settings: Settings, bays: Sequence[Bay], before: BuildUpReport,
          after: BuildUpReport, board: Item | None) -> ChangeView:
    said = [] if settings.depth_m is None else [f"{show_length(settings.depth_m, site.unit)} deep"]
    said += [] if settings.gap_m is None else [f"{show_length(settings.gap_m, site.unit)} gap"]
    said += [] if settings.area_share == 1 else [f"{settings.area_share:.0%} of the area"]
    notes = [note for note in (change_note(before.used, after.used),) if note]
    deep = settings.depth_m
    track = site.item.get(site.build_up[name].edge or "")
    if deep is not None and track is not None and track.depth_m is not None and deep > track.depth_m + _SAME_DEPTH_M:
        notes.append(f"{track.name} holds {show_length(track.depth_m, site.unit)}: infill so deep bulges the fabric; "
                     "it takes deeper track, which is not counted here.")
    if deep is not None and board is not None:
        notes.append(f"Costs are for {board.name}, planned as if no cut list were kept.")
    if settings.area_share != 1:
        notes.append("Cost and hours go by the area.")
    return ChangeView(
        words=f"{name}: {', '.join(said) or 'as planned'}", bays=tuple(site.short(bay.key) for bay in bays),
        alpha_before=before.used.alpha, alpha_after=after.used.alpha, basis_before=before.used.basis,
        basis_after=after.used.basis, source_before=before.used.source, source_after=after.used.source,
        notes=tuple(notes))
