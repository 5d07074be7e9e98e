"""From the site's bays and surfaces to what the sound computation asks for."""

from __future__ import annotations

from functools import lru_cache

from tracker.domain.bands import PerBand
from tracker.domain.errors import Refused
from tracker.domain.geometry.outline import area_m2
from tracker.domain.site import Bay, BuildUp, Plane, Room, Site, Surface
from tracker.domain.sound.build_up import BuildUpAlpha, build_up_alpha
from tracker.domain.sound.catalogue import bare_surfaces
from tracker.domain.sound.rooms import bay_gain
from tracker.domain.sound.surfaces import BaySound, Patch, PlaneSound, RoomSurfaces
from tracker.domain.work.material import Shapes
from tracker.domain.work.progress import Progress


def surface_of(site: Site, name: str) -> Surface:
    """A bare surface by name: the site's own, else the built-in catalogue's."""
    for surface in site.surfaces:
        if surface.name == name:
            return surface
    found = bare_surfaces().get(name)
    if found is None:
        raise Refused(f"{name}: no surface of that name in the site or the catalogue; add it as [[surface]]")
    return found


def surface_alpha(site: Site, name: str) -> PerBand:
    """Coefficients of a surface: the site's own, else the built-in catalogue's."""
    return surface_of(site, name).alpha


@lru_cache(maxsize=64)
def _alpha_of(depth_m: float, density: float | None, resistivity: float | None, gap_m: float,
              given: PerBand | None, fabric_pa_s_m: float) -> BuildUpAlpha:
    return build_up_alpha(depth_m, density, resistivity, gap_m, given, fabric_pa_s_m)


def bay_alpha(site: Site, bay: Bay) -> BuildUpAlpha:
    """Coefficients of a bay's build-up: its test figures, else a handbook's, else worked out from its layers."""
    build_up = site.build_up[bay.build_up]
    infill = site.item[build_up.infill]
    return _alpha_of(infill.depth_m or 0.0, infill.density_kg_m3, infill.flow_resistivity_pa_s_m2, build_up.gap_m,
                     build_up.alpha, fabric_pa_s_m(site, build_up))


def fabric_pa_s_m(site: Site, build_up: BuildUp) -> float:
    """Specific flow resistance of a build-up's fabric, Pa s/m; one of which it is not said is taken as clear."""
    return (site.item[build_up.fabric].flow_resistance_pa_s_m or 0.0) if build_up.fabric else 0.0


def bay_sound(site: Site, shapes: Shapes, bay: Bay, installed: float = 0.0) -> BaySound:
    """A bay as the sound computation sees it; `installed` is the fraction of its infill that is up."""
    plane = shapes.plane(bay)
    cloud = plane.kind == "cloud"
    new = bay_alpha(site, bay)
    return BaySound(key=bay.key, phase=bay.phase, area_m2=shapes.area_m2(bay), alpha_new=new.alpha,
                    alpha_covered=surface_alpha(site, plane.surface), faces=2 if cloud else 1,
                    installed_fraction=installed, build_up=bay.build_up, source=new.source,
                    alpha_span=None if new.low == new.high else (new.low, new.high))


def bay_gain_m2(site: Site, shapes: Shapes, bay: Bay) -> PerBand:
    """Absorption area a bay adds, m2 by band."""
    return bay_gain(bay_sound(site, shapes, bay), site.cap)


def mean_m2(by_band: PerBand) -> float:
    """Mean over the bands, m2."""
    return sum(by_band) / len(by_band)


def room_surfaces(site: Site, room: Room, progress: Progress) -> RoomSurfaces:
    """A room as the sound computation sees it, with what is up now."""
    shapes = Shapes(site)
    return RoomSurfaces(
        name=room.name, volume_m3=room.volume_m3, temperature_c=room.temperature_c, humidity_pct=room.humidity_pct,
        planes=tuple(_plane_sound(site, shapes, plane, progress) for plane in room.planes),
        absorbers=room.absorbers)


def _plane_sound(site: Site, shapes: Shapes, plane: Plane, progress: Progress) -> PlaneSound:
    openings = tuple(_patch(site, one.surface, area_m2(one.outline)) for one in plane.openings)
    rest_m2 = area_m2(plane.outline) - sum(one.area_m2 for one in openings)
    axis = plane.axis or ("z" if plane.kind in ("ceiling", "slope", "floor") else None)
    return PlaneSound(
        name=plane.name, kind=plane.kind, axis=axis, patches=(_patch(site, plane.surface, rest_m2), *openings),
        bays=tuple(bay_sound(site, shapes, bay, progress.of(bay, "infill")) for bay in plane.bays))


def _patch(site: Site, surface: str, area: float) -> Patch:
    found = surface_of(site, surface)
    return Patch(area, found.alpha, found.name, found.source)
