"""The usual caution for each kind of work, in one line. Local codes and licensed practice decide.

Source: OSHA's pages on mineral wool, HSE INDG402 and 29 CFR 1926.1053 on ladders; the rest: common practice, no source.
"""

from __future__ import annotations

from tracker.domain.site import Bay, Plane, Step

_BY_STEP: dict[Step, str] = {
    "set-out": "Find cables and pipes before you fix anything; wiring is for licensed practice, local codes decide.",
    "track": "Eye protection when you fix track; overhead, work from a platform rather than a ladder.",
    "infill": "Fibre dust: gloves, sleeves, mask; cut with a knife, ventilate, no dry sweeping.",
    "fabric": "Keep detectors, vents, lights and sockets clear of fabric; fire rules are your local code's.",
    "make-good": "Uncover and test detectors, and leave the way out clear, before the room goes back into use.",
}
_CLOUD = "Hung load: weigh it, hang it from structure with a second retention; ask an engineer if in doubt."


def cautions(bay: Bay, plane: Plane, step: Step) -> tuple[str, ...]:
    """The caution lines for one step of a bay."""
    if plane.kind == "cloud":
        return (_BY_STEP[step], _CLOUD)
    return (_BY_STEP[step],)
