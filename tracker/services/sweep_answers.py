"""What the services of the sweep answer: frozen values whose field names are the JSON keys scripts rely on. SI."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from tracker.domain.bands import BANDS_HZ

Times = tuple[float | None, ...]
"""One figure for each octave band, None where there is none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BandFigures:
    """What was read in each octave band; decay times that do not count are there too, `valid` says why they don't."""

    edt_s: Times
    t20_s: Times
    t30_s: Times
    valid: tuple[tuple[str, ...], ...]
    """Reasons why a decay time does not count, by its name; empty is good."""
    edt_valid: tuple[bool, ...]
    t20_valid: tuple[bool, ...]
    t30_valid: tuple[bool, ...]
    noise_db: Times
    """Level of the noise against the start of the decay."""
    c80_db: Times
    d50: Times
    curvature_pct: Times
    xi20_permille: Times
    xi30_permille: Times
    bt: Times
    """Bandwidth times decay time."""
    notes: tuple[tuple[str, ...], ...]
    """What to know beside a figure that counts."""
    sd_t20_s: Times
    """Standard deviation over the positions; None for one position."""
    sd_t30_s: Times


@dataclass(frozen=True, slots=True, kw_only=True)
class OuterBands(BandFigures):
    """The octave bands beside the six."""

    hz: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Response:
    """Levels of the one-third octaves, 0 dB the mean of those from 200 Hz to 4 kHz."""

    hz: tuple[int, ...]
    db: tuple[float, ...]
    sd_db: tuple[float, ...]
    """Standard deviation over the positions; empty for one position."""


@dataclass(frozen=True, slots=True)
class Problem:
    code: str
    text: str
    remedy: str
    position: int | None = None
    """Of the measurement's recording; None for one that is not stored."""


@dataclass(frozen=True, slots=True)
class MaskFit:
    """How the response lies in the mask of a standard."""

    name: str
    judged: int
    outside_hz: tuple[int, ...]
    worst_db: float
    source: str


@dataclass(frozen=True, slots=True)
class ModeHeard:
    hz: float
    decay_s: float
    level_db: float
    """Under the loudest."""


@dataclass(frozen=True, slots=True)
class RecordingView:
    """The file that was read."""

    path: str
    channel: int
    channels: int
    rate_hz: float
    length_s: float
    settings: str
    delay_s: float | None
    """From the start of the recording to that of the signal."""
    clock_ppm: float | None
    """How much longer the recorder's second is than the player's."""
    level_change_db: float | None
    """The second marker against the first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SweepReading(BandFigures):
    """What a recording of the sweep says, or several positions together."""

    response: Response
    flatness_db: float
    """Standard deviation of the response's levels; neither standard has a single figure."""
    peak_to_peak_db: float
    masks: tuple[MaskFit, ...]
    modes: tuple[ModeHeard, ...]
    problems: tuple[Problem, ...]
    outer: OuterBands
    positions: int
    clock_ppm: float | None = None
    recording: RecordingView | None = None
    """None for several positions together."""
    stored: str | None = None
    """The sentence undo will show; None where nothing was stored."""
    cautions: tuple[str, ...] = ()
    together: SweepReading | None = None
    """All positions of the measurement it was kept in, decay curves averaged; None for the only one."""
    bands_hz: tuple[int, ...] = BANDS_HZ


@dataclass(frozen=True, slots=True)
class SweepWritten:
    """A signal file that was written, and what to do with it."""

    sentence: str
    lines: tuple[str, ...]
    """A caution and what comes next, one sentence each."""
    noted: bool
    """Are its settings in the store too?"""


@dataclass(frozen=True, slots=True)
class SignalView:
    path: str
    written: str
    seconds: float
    rate_hz: int
    level_db: float


@dataclass(frozen=True, slots=True)
class PositionView:
    position: int
    path: str
    sha256: str
    problems: tuple[Problem, ...]


@dataclass(frozen=True, slots=True)
class SweepMeasurement:
    """A measurement read from recordings."""

    name: str
    room: str
    date: date
    state: str
    """What was up, in words."""
    up_m2: float
    """Of infill."""
    metric: str
    t_s: Times
    """What is counted with; None where it does not count."""
    temperature_c: float
    humidity_pct: float
    positions: tuple[PositionView, ...]


@dataclass(frozen=True, slots=True)
class SweepList:
    site: str
    signals: tuple[SignalView, ...]
    measurements: tuple[SweepMeasurement, ...]
    bands_hz: tuple[int, ...] = BANDS_HZ


@dataclass(frozen=True, slots=True)
class BandChange:
    """One octave band before and after: the gain measured, the span it lies in 95 times in 100, and that predicted."""

    hz: int
    metric: str | None
    """The same before and after."""
    before_s: float | None
    after_s: float | None
    gain_m2: float | None
    sd_m2: float | None
    low_m2: float | None
    high_m2: float | None
    predicted_m2: float | None
    told_apart: bool
    agrees: bool | None
    """Does the predicted gain lie in the span?"""
    verdict: str
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Stage:
    """One of the two measurements compared."""

    name: str
    date: date
    state: str
    positions: int
    temperature_c: float | None
    """None where it was not noted."""
    humidity_pct: float | None
    reading: SweepReading


@dataclass(frozen=True, slots=True)
class SweepComparison:
    """Two measurements of a room, band by band."""

    site: str
    room: str
    volume_m3: float
    before: Stage
    after: Stage
    changes: tuple[BandChange, ...]
    """Of all octave bands both hold."""
    gain_m2: Times
    uncertainty_m2: Times
    """Half the span that holds the gain 95 times in 100."""
    predicted_m2: tuple[float, ...]
    verdicts: tuple[str, ...]
    response_change_db: Response
    sentence: str
    notes: tuple[str, ...]
    bands_hz: tuple[int, ...] = BANDS_HZ
