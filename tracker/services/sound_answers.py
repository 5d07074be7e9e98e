"""What the services of sound answer: frozen values whose field names are the JSON keys scripts rely on. SI."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from tracker.domain.bands import BANDS_HZ, PerBand

Times = tuple[float | None, ...]
"""One figure for each octave band, None where there is none."""


@dataclass(frozen=True, slots=True)
class SoundState:
    area_m2: PerBand
    sabine_s: Times
    eyring_s: Times
    low_s: Times
    high_s: Times
    area_low_m2: PerBand = ()
    """With each build-up's coefficients as low as any of its sources has them; and as high."""
    area_high_m2: PerBand = ()


@dataclass(frozen=True, slots=True)
class TargetView:
    name: str
    low_s: PerBand
    high_s: PerBand
    source: str
    area_low_m2: PerBand = ()
    """Absorption area at the longest decay time that passes, air left out; and at the shortest, None for no end."""
    area_high_m2: Times = ()


@dataclass(frozen=True, slots=True)
class PhaseSound:
    name: str
    gain_planned_m2: PerBand
    gain_installed_m2: PerBand
    after: SoundState


@dataclass(frozen=True, slots=True)
class TrustView:
    """How far a state's figures can be trusted."""

    ratio: Times
    """Longest decay time over the shortest of the models."""
    reasons: tuple[str, ...]
    sentence: str


@dataclass(frozen=True, slots=True)
class MeasuredView:
    """Decay times measured at one stage beside those predicted for it."""

    name: str
    date: date
    source: str
    """typed or sweep."""
    state: str
    """What was up, in words."""
    up: tuple[tuple[str, float], ...]
    """(bay, share of its infill that was up)."""
    metric: str
    positions: int
    temperature_c: float
    humidity_pct: float
    note: str
    measured_s: Times
    expanded_s: Times
    """Expanded uncertainty of the measured times, about 95 %."""
    predicted: SoundState
    off_pct: Times
    """Predicted by Sabine less measured, % of measured."""
    agrees: tuple[bool | None, ...]
    area_m2: Times
    """Absorption area behind the measured times, air taken off."""
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class GainView:
    """The gain between two measurements beside the one predicted."""

    before: str
    after: str
    gain_m2: Times
    expanded_m2: Times
    resolved: tuple[bool | None, ...]
    """False where the change is smaller than its uncertainty."""
    predicted_m2: PerBand
    agrees: tuple[bool | None, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CalibrationView:
    """What the bare surfaces absorb by a measurement."""

    name: str
    bare_m2: Times
    factor: Times
    """Times the handbooks' coefficients; None where the handbooks' stay."""
    uncertainty_m2: Times
    warnings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ExplainedRow:
    kind: str
    name: str
    area_m2: float
    coefficient: float
    published: float
    product_m2: float
    source: str


@dataclass(frozen=True, slots=True)
class ExplainedView:
    """The sum behind a figure."""

    band_hz: int
    state: str
    """bare, now or planned."""
    rows: tuple[ExplainedRow, ...]
    total_m2: float
    air_m2: float
    sabine_s: float | None
    low_s: float | None
    high_s: float | None
    sentence: str


@dataclass(frozen=True, slots=True)
class ModeView:
    hz: float
    order: tuple[int, int, int]
    kind: str


@dataclass(frozen=True, slots=True)
class ModesView:
    """The standing waves of a room below its crossover frequency."""

    sides_m: tuple[float, float, float] | None
    """Length, width and height; None where the room is no plain box."""
    to_hz: float
    modes: tuple[ModeView, ...]
    sentence: str


@dataclass(frozen=True, slots=True)
class RoomSound:
    name: str
    volume_m3: float
    surface_m2: float
    mean_free_path_m: float
    crossover_hz: float
    bare: SoundState
    now: SoundState
    planned: SoundState
    target: TargetView | None
    in_target: tuple[int, ...]
    phases: tuple[PhaseSound, ...]
    cautions: tuple[str, ...]
    """Why the figures may mislead, one sentence each."""
    trust: TrustView
    trust_planned: TrustView
    calibrated_on: str | None = None
    """Name of the measurement all figures follow from; None: they follow from handbooks."""
    calibration: CalibrationView | None = None
    measured: tuple[MeasuredView, ...] = ()
    gains: tuple[GainView, ...] = ()
    notes: tuple[str, ...] = ()
    """How its clouds are counted."""
    explained: ExplainedView | None = None
    modes: ModesView | None = None


@dataclass(frozen=True, slots=True)
class SourceView:
    """One source's coefficients for a build-up."""

    name: str
    alpha: PerBand
    note: str


@dataclass(frozen=True, slots=True)
class CloudView:
    """A cloud of a build-up: what its faces can absorb, and its weight."""

    bay: str
    counted_m2: PerBand
    limited_m2: PerBand
    opening_m2: float
    weight_kg: float | None
    """Of the layers that are known; None where the board's density is not."""
    hangers: int
    per_hanger_kg: float | None
    one_fails_kg: float | None
    unknown: tuple[str, ...]
    notes: tuple[str, ...]
    caution: str


@dataclass(frozen=True, slots=True)
class BuildUpView:
    """What is known of a build-up's absorption."""

    name: str
    alpha: PerBand
    """The coefficients counted with, as published."""
    basis: str
    """test figures, handbook or layers."""
    source: str
    sources: tuple[SourceView, ...]
    low: PerBand
    high: PerBand
    spread: PerBand
    flow_resistivity_pa_s_m2: float | None
    nrc: float
    weighted: float
    shape: str
    sound_class: str
    notes: tuple[str, ...]
    clouds: tuple[CloudView, ...]


@dataclass(frozen=True, slots=True)
class SoundReport:
    site: str
    rooms: tuple[RoomSound, ...]
    build_ups: tuple[BuildUpView, ...] = ()
    """Those asked for."""
    bands_hz: tuple[int, ...] = BANDS_HZ


# --- worth -------------------------------------------------------------------------------------------------------

@dataclass(frozen=True, slots=True)
class WorthRow:
    """What a phase or bay still brings, put up alone on what is up now."""

    target: str
    kind: str
    """phase or bay."""
    room: str
    phase: str
    area_m2: float
    """Of infill still to be put up."""
    gain_m2: PerBand
    mean_gain_m2: float
    decay_s: Times
    """After it, by Sabine."""
    low_s: Times
    high_s: Times
    change_s: Times
    """Of the decay time, against now; below nothing where it gets shorter."""
    bands_into_target: tuple[int, ...]
    bands_out_of_target: tuple[int, ...]
    cost: float | None
    """Of what must still be bought for it; None: not known."""
    hours_h: float
    per_cost: float | None
    """Mean gain in m2 for each unit of money; None where the cost is not known or nothing."""
    per_hour: float | None
    unpriced: tuple[str, ...]
    """Items to buy that have no price."""


@dataclass(frozen=True, slots=True)
class ChangeView:
    """A change that was asked about."""

    words: str
    bays: tuple[str, ...]
    alpha_before: PerBand
    alpha_after: PerBand
    basis_before: str
    basis_after: str
    source_before: str
    source_after: str
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class WorthReport:
    site: str
    currency: str
    by: str
    """money, hour or gain: what the rows are ranked by."""
    remaining: tuple[WorthRow, ...]
    """Best first; with the changes asked about."""
    as_planned: tuple[WorthRow, ...]
    """The same without the changes; empty where none was asked about."""
    what_if: tuple[ChangeView, ...]
    calibrated_on: tuple[tuple[str, str], ...]
    """(room, the measurement its figures follow from)."""
    notes: tuple[str, ...]
    bands_hz: tuple[int, ...] = BANDS_HZ
