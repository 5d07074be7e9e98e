"""Clouds: what their faces can absorb with the gap they hang at, and what they weigh."""

from __future__ import annotations

from tracker.domain.site import Bay, Room, Site
from tracker.domain.sound.clouds import CloudSound, cloud_sound, cloud_weight
from tracker.domain.work.material import Shapes
from tracker.services.sound_answers import CloudView
from tracker.services.sounding import bay_alpha

HANGERS = 4
"""Hangers a cloud is taken to have where none are said (common practice, no source)."""


def cloud_view(site: Site, bay: Bay, hangers: int = HANGERS) -> CloudView:
    """A cloud's absorption with and without the limit of its opening, and the weight on each hanger."""
    shapes = Shapes(site)
    infill = site.item[site.build_up[bay.build_up].infill]
    sound = _sound(site, shapes, bay)
    build_up = site.build_up[bay.build_up]
    cloth, track = (site.item[name] if name else None for name in (build_up.fabric, build_up.edge))
    weight = cloud_weight(
        shapes.area_m2(bay), infill.depth_m or 0.0, infill.density_kg_m3, hangers,
        fabric_kg_m2=0.0 if cloth is None else cloth.weight_kg, fabric_area_m2=shapes.area_m2(bay),
        track_kg_m=0.0 if track is None else track.weight_kg, track_m=shapes.of(bay).edge_track_m)
    known = weight.board_kg is not None
    return CloudView(
        bay=site.short(bay.key), counted_m2=sound.counted_m2, limited_m2=sound.limited_m2, opening_m2=sound.opening_m2,
        weight_kg=weight.total_kg if known else None, hangers=hangers,
        per_hanger_kg=weight.per_hanger_kg if known else None, one_fails_kg=weight.one_fails_kg if known else None,
        unknown=weight.unknown, notes=sound.notes, caution=weight.caution)


def cloud_notes(site: Site, room: Room) -> tuple[str, ...]:
    """How a room's clouds are counted, and which hang too near the ceiling for it; the assumption once."""
    shapes = Shapes(site)
    said = [f"{site.short(bay.key)}: {note}" if place else note
            for plane in room.planes if plane.kind == "cloud" for bay in plane.bays
            for place, note in enumerate(_sound(site, shapes, bay).notes)]
    return tuple(dict.fromkeys(said))


def _sound(site: Site, shapes: Shapes, bay: Bay) -> CloudSound:
    """Sound comes in round the whole cloud: each of its bays has the share of the edge that it has of the area."""
    bays = shapes.plane(bay).bays
    share = shapes.area_m2(bay) / sum(shapes.area_m2(one) for one in bays)
    edge_m = share * sum(shapes.of(one).edge_track_m for one in bays)
    return cloud_sound(shapes.area_m2(bay), edge_m, site.build_up[bay.build_up].gap_m, bay_alpha(site, bay).alpha,
                       site.cap, site.unit)
