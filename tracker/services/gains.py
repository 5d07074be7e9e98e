"""What each bay adds, as all figures of sound have it: by handbooks, or by a measurement where there is one."""

from __future__ import annotations

from collections.abc import Callable

from tracker.domain.bands import PerBand
from tracker.domain.site import Bay
from tracker.domain.sound.rooms import bay_gain
from tracker.domain.work.material import Shapes
from tracker.services.desk import Desk, Standing
from tracker.services.sounding import bay_gain_m2
from tracker.store.measurements import any_measured

Gains = Callable[[Bay], PerBand]
"""Absorption area a bay adds once its infill is up, m2 by band."""


def gains_of(desk: Desk, now: Standing, shapes: Shapes) -> Gains:
    """What each bay adds: on the surfaces as measured where their room was."""
    with desk.store.read() as session:
        measured = any_measured(session)
    if not measured:
        return lambda bay: bay_gain_m2(now.site, shapes, bay)
    from tracker.services.calibrating import room_basis  # late: most sites have nothing measured
    from tracker.services.measurements import read_in

    known = read_in(desk)
    found = {bay.key: bay_gain(bay, now.site.cap) for room in now.site.rooms
             for _, bay in room_basis(now, room, known).surfaces.bays}
    return lambda bay: found[bay.key]
