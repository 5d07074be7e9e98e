"""What is known of a build-up's absorption: test figures, handbook rows and both layer models, side by side."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal

from tracker.domain.bands import BANDS_HZ, PerBand
from tracker.domain.errors import Refused
from tracker.domain.sound.build_up import BuildUpAlpha, alike_rows, build_up_alpha, flow_resistivity
from tracker.domain.sound.catalogue import BoardRow
from tracker.domain.sound.layers import RESISTIVITY_PA_S_M2, LayerAlpha, Layers, Resistivity, random_alpha
from tracker.domain.sound.ratings import Rating, noise_reduction_coefficient, rating
from tracker.measures import SiteUnit, show_length

CLEAR_FABRIC_PA_S_M = 200.0
"""A fabric up to this specific flow resistance costs no more than 0.02 (worked out, 50 mm of 20 000 Pa s/m2)."""
SAME_LENGTH_M = 0.0001
"""Lengths this near are one and the same: a tape reads no finer (common practice, no source)."""
LABORATORIES: PerBand = (0.17, 0.09, 0.08, 0.08, 0.09, 0.13)
"""Expanded uncertainty between laboratories of a coefficient of 0.36 to 0.81 (ISO 12999-2:2020, table 4, k = 2)."""


@dataclass(frozen=True, slots=True)
class BuildUpLayers:
    """A build-up's layers: board m, kg/m3 and Pa s/m2, air gap behind m, fabric Pa s/m, its own test figures."""

    thickness_m: float
    density_kg_m3: float | None = None
    flow_resistivity_pa_s_m2: float | None = None
    gap_m: float = 0.0
    fabric_pa_s_m: float = 0.0
    given: PerBand | None = None


@dataclass(frozen=True, slots=True)
class BuildUpReport:
    """The coefficients counted with, beside what the other sources say; per octave band."""

    used: BuildUpAlpha
    rows: tuple[BoardRow, ...]
    """Handbook rows of this thickness and gap, of any density."""
    low: PerBand
    """Over every source there is: test figures, handbook rows and both models."""
    high: PerBand
    resistivity: Resistivity | None
    miki: LayerAlpha | None
    """None where neither flow resistivity nor density is known, or the models do not hold for it."""
    delany_bazley: LayerAlpha | None
    rating: Rating
    nrc: Decimal
    notes: tuple[str, ...]

    @property
    def spread(self) -> PerBand:
        """Highest less lowest over the sources."""
        return tuple(high - low for low, high in zip(self.low, self.high, strict=True))


def build_up_report(build_up: BuildUpLayers, unit: SiteUnit = "mm") -> BuildUpReport:
    """Which coefficients a build-up is counted with, and what test figures, handbooks and models say of it.

    Refused as in `build_up_alpha`; the models' ranges are guarded and named in the notes, lengths in the site's unit.

    Source: as in the result: boards.toml, layers.py (Miki 1990; Delany and Bazley 1970), ratings.py.
    """
    found = build_up_alpha(
        build_up.thickness_m, build_up.density_kg_m3, build_up.flow_resistivity_pa_s_m2, build_up.gap_m,
        build_up.given, build_up.fabric_pa_s_m,
    )  # fmt: skip
    rows = alike_rows(build_up.thickness_m, build_up.gap_m)
    flow = _resistivity(build_up)
    miki = delany = None
    if flow is not None:
        layers = Layers(build_up.thickness_m, flow.value, build_up.gap_m, build_up.fabric_pa_s_m)
        miki, delany = random_alpha(layers, "miki"), random_alpha(layers, "delany-bazley")
    sources = [row.alpha for row in rows] + [one.alpha for one in (miki, delany) if one is not None]
    if build_up.given is not None:
        sources.insert(0, build_up.given)
    ends = [found.low, found.high] if found.basis == "layers" else []  # a guessed flow resistivity spreads the model
    columns = list(zip(*sources, *ends, strict=True))
    return BuildUpReport(
        used=found,
        rows=rows,
        low=tuple(min(column) for column in columns),
        high=tuple(max(column) for column in columns),
        resistivity=flow,
        miki=miki,
        delany_bazley=delany,
        rating=rating(found.alpha[1:]),
        nrc=noise_reduction_coefficient(found.alpha[1:5]),
        notes=_notes(build_up, found, len(rows), len(sources), columns, miki, delany, unit),
    )


def changed(build_up: BuildUpLayers, thickness_m: float | None = None, gap_m: float | None = None) -> BuildUpLayers:
    """The same build-up with another board thickness or gap in m; its test figures hold for neither and are dropped.

    Refused for a thickness not above 0 or a gap below 0.

    Source: definition: test figures hold for the specimen tested.
    """
    thick = _same_or(build_up.thickness_m, thickness_m)
    gap = _same_or(build_up.gap_m, gap_m)
    if not thick > 0.0 or gap < 0.0:
        raise Refused("what if: thickness must be above 0 and the gap 0 or more, such as 75 mm and 50 mm")
    same = thick == build_up.thickness_m and gap == build_up.gap_m
    return replace(build_up, thickness_m=thick, gap_m=gap, given=build_up.given if same else None)


def _same_or(now_m: float, asked_m: float | None) -> float:
    return now_m if asked_m is None or abs(asked_m - now_m) < SAME_LENGTH_M else asked_m


def change_note(before: BuildUpAlpha, after: BuildUpAlpha) -> str | None:
    """Why two coefficients can't be set side by side without a grain of salt: they are from unlike sources.

    Source: definition.
    """
    if before.basis == after.basis:
        return None
    return (
        f"The plan's coefficients: {before.source}; with the change: {after.source}. Part of the difference is between "
        "the sources, not the build-ups."
    )


def _resistivity(build_up: BuildUpLayers) -> Resistivity | None:
    """None where the models do not hold: such a board may still have test figures or handbook rows."""
    try:
        found = flow_resistivity(build_up.density_kg_m3, build_up.flow_resistivity_pa_s_m2)
    except Refused:
        return None
    low, high = RESISTIVITY_PA_S_M2
    return found if found is not None and low <= found.value <= high else None


def _notes(
    build_up: BuildUpLayers, found: BuildUpAlpha, rows: int, sources: int, columns: list[tuple[float, ...]],
    miki: LayerAlpha | None, delany: LayerAlpha | None, unit: SiteUnit,
) -> tuple[str, ...]:  # fmt: skip
    notes, thick = [f"Counted: {found.source}."], show_length(build_up.thickness_m, unit)
    widths = [max(column) - min(column) for column in columns]
    band = widths.index(max(widths))
    if widths[band] > 0.0:
        guessed = found.basis == "layers" and build_up.flow_resistivity_pa_s_m2 is None
        flow = ", flow resistivity within a factor 2," if guessed else ""
        notes.append(
            f"The {sources} sources for {thick}{flow} differ most at {BANDS_HZ[band]} Hz: "
            f"{min(columns[band]):.2f} to {max(columns[band]):.2f}."
        )
    if found.basis != "layers":
        notes.append(
            f"Even one and the same board comes out {min(LABORATORIES):.2f} to {max(LABORATORIES):.2f} apart from one "
            "laboratory to the next (ISO 12999-2)."
        )
    if not rows:
        notes.append(f"No handbook row was found for {thick} before {show_length(build_up.gap_m, unit)} of air.")
    for name, model in (("Miki", miki), ("Delany-Bazley", delany)):
        if model is not None and model.outside_hz:
            bands = ", ".join(f"{hz:g}" for hz in model.outside_hz)
            notes.append(f"{name} was not fitted for this board at {bands} Hz; there it is a guess.")
    if any(alpha > 1.0 for alpha in found.alpha):
        notes.append(
            "Coefficients over 1 come from the edges of a test specimen; a wall covered from corner to corner does not "
            "earn them."
        )
    if build_up.fabric_pa_s_m > CLEAR_FABRIC_PA_S_M and found.basis != "layers":
        notes.append(
            f"The figures are without the fabric; its {build_up.fabric_pa_s_m:g} Pa s/m takes more than 0.02 off at "
            "high frequencies."
        )
    return tuple(notes)
