"""What is behind a figure: the sum of a band, the modes of a room, the sources of a build-up."""

from __future__ import annotations

import re
from dataclasses import replace

from tracker.domain.bands import BANDS_HZ
from tracker.domain.errors import Refused
from tracker.domain.site import Site
from tracker.domain.sound.air import speed_of_sound
from tracker.domain.sound.build_up_report import BuildUpLayers, BuildUpReport, build_up_report
from tracker.domain.sound.explain import explain
from tracker.domain.sound.modes import MODES_TO_HZ, box_modes
from tracker.measures.units import NUMBER, number, quoted
from tracker.services.calibrating import RoomBasis, refuse_unknown, room_basis
from tracker.services.clouds import HANGERS, cloud_view
from tracker.services.desk import Desk, Standing
from tracker.services.measurements import read_in, room_named
from tracker.services.sound import room_view
from tracker.services.sound_answers import (
    BuildUpView,
    ExplainedRow,
    ExplainedView,
    ModesView,
    ModeView,
    RoomSound,
    SoundReport,
    SourceView,
)
from tracker.services.sounding import fabric_pa_s_m

STATES = ("bare", "now", "planned")
LEAST_MODES_HZ = 120.0
"""Modes are listed to the crossover frequency, and at least this far (common practice, no source)."""


def explained_report(desk: Desk, band: str | None = None, state: str = "now", modes: bool = False,
                     build_ups: tuple[str, ...] = (), room: str | None = None, calibrate: str | None = None,
                     hangers: int = HANGERS) -> SoundReport:
    """The sound of the rooms with the sum behind one band, the modes, or the sources of build-ups, as asked for."""
    hz = None if band is None else read_band(band)
    now, known = desk.standing(), read_in(desk)
    refuse_unknown(known, calibrate)
    rooms = now.site.rooms if room is None else (room_named(now.site, room),)
    found = []
    for one in rooms:
        basis = room_basis(now, one, known, calibrate)
        view = room_view(now, basis)
        found.append(replace(view, explained=None if hz is None else explained_view(now, basis, hz, state),
                             modes=_modes(basis, view) if modes else None))
    return SoundReport(now.site.name, tuple(found),
                       tuple(build_up_view(now.site, name, hangers) for name in build_ups))


def read_band(text: str) -> int:
    """An octave band as written: `500`, `500 Hz`, `1k`, `1 kHz`."""
    match = re.fullmatch(rf"\s*({NUMBER})\s*(k?)\s*(?:hz)?\s*", text, re.I)
    hz = number(match[1]) * (1000 if match[2] else 1) if match else None
    if hz is None or hz not in BANDS_HZ:
        raise Refused(f"band {quoted(text)}: figures are given for {', '.join(map(str, BANDS_HZ))} Hz; write one of "
                      "them")
    return int(hz)


def explained_view(now: Standing, basis: RoomBasis, band_hz: int, state: str) -> ExplainedView:
    """The sum behind a room's figure in one band and state."""
    if state not in STATES:
        raise Refused(f"state {state}: write one of {', '.join(STATES)}")
    order = tuple(phase.name for phase in now.site.phases)
    done = {"bare": None, "now": (), "planned": order}[state]
    found = explain(basis.surfaces, band_hz, done, now.site.cap)
    band = BANDS_HZ.index(band_hz)
    rows = tuple(ExplainedRow(row.kind, now.site.short(row.name), row.area_m2, row.coefficient, row.published,
                              row.product_m2, row.source) for row in found.rows)
    return ExplainedView(band_hz, state, rows, found.total_m2, found.air_m2, found.sabine_s,
                         found.state.low_s[band], found.state.high_s[band], found.sentence)


def _modes(basis: RoomBasis, view: RoomSound) -> ModesView:
    from tracker.services.site_file.box import box_sides_m  # late: reads the forms of a site file

    crossover = view.crossover_hz
    sides = box_sides_m(basis.room.planes)
    rule = (f"Below {crossover:.0f} Hz single modes rule, and areas and decay times no longer describe the room: they "
            "only hint.")
    if sides is None:
        return ModesView(None, 0.0, (), f"{rule} The room is no plain box, so its modes are not listed.")
    to_hz = min(MODES_TO_HZ, max(LEAST_MODES_HZ, crossover))
    found = box_modes(*sides, speed_of_sound(basis.room.temperature_c), to_hz)
    said = f"{rule} {len(found)} modes of a box with hard walls lie below {to_hz:.0f} Hz."
    return ModesView(sides, to_hz, tuple(ModeView(one.frequency_hz, one.order, one.kind) for one in found), said)


def layers_of(site: Site, build_up: str) -> BuildUpLayers:
    """The layers of a build-up; a fabric whose flow resistance is not said is taken as clear."""
    found = site.build_up[build_up]
    infill = site.item[found.infill]
    return BuildUpLayers(infill.depth_m or 0.0, infill.density_kg_m3, infill.flow_resistivity_pa_s_m2, found.gap_m,
                         fabric_pa_s_m(site, found), given=found.alpha)


def build_up_view(site: Site, name: str, hangers: int = HANGERS) -> BuildUpView:
    """What test figures, handbooks and layer models say of a build-up, and which of them is counted with."""
    if name not in site.build_up:
        raise Refused(f"build-up {name}: none of that name; they are {', '.join(site.build_up)}")
    layers = layers_of(site, name)
    found = build_up_report(layers, site.unit)
    rate = found.rating
    clouds = [bay for plane in site.planes.values() if plane.kind == "cloud" for bay in plane.bays
              if bay.build_up == name]
    return BuildUpView(
        name=name, alpha=found.used.alpha, basis=found.used.basis, source=found.used.source,
        sources=tuple(_sources(layers, found)), low=found.low, high=found.high, spread=found.spread,
        flow_resistivity_pa_s_m2=None if found.resistivity is None else found.resistivity.value,
        nrc=float(found.nrc), weighted=float(rate.weighted), shape=rate.shape, sound_class=rate.sound_class,
        notes=found.notes, clouds=tuple(cloud_view(site, bay, hangers) for bay in clouds))


def _sources(layers: BuildUpLayers, found: BuildUpReport) -> list[SourceView]:
    sources = [] if layers.given is None else [SourceView("test figures", layers.given, "the site's own")]
    sources += [SourceView(row.name, row.alpha, row.source) for row in found.rows]
    for name, model in (("Miki", found.miki), ("Delany-Bazley", found.delany_bazley)):
        if model is not None:
            beyond = ", ".join(f"{hz:g}" for hz in model.outside_hz)
            sources.append(SourceView(name, model.alpha, f"beyond its range at {beyond} Hz" if beyond else ""))
    return sources
