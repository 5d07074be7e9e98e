"""Worth as text: what remains, best first."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import RenderableType
from rich.text import Text

from tracker.domain.bands import BANDS_HZ
from tracker.measures import show_area, show_hours, show_money
from tracker.report.sound_figures import BANDS, listed, spans
from tracker.report.text import figures, heading, stacked, table
from tracker.services.sound_answers import ChangeView, WorthReport, WorthRow

RANKED = {"money": "by gain for each unit of money", "hour": "by gain an hour", "gain": "by gain"}
UNKNOWN = "unknown"


def worth_text(report: WorthReport, unit: str) -> RenderableType:
    """The rows best first, each as if put up alone on what is up now; what the changes asked about rest on."""
    if not report.remaining:
        return stacked(heading(report.site), Text("Nothing is left to put up."))
    what = "With the change, the plan as it was" if report.what_if else "What remains"
    return stacked(
        heading(report.site), *(line for one in report.what_if for line in _change(one)),
        Text(f"{what}, {RANKED[report.by]}; each row as if put up alone on what is up now. Cost is what must still be "
             "bought, in packs."),
        _rows(report, unit), Text(""), Text("Decay time after it, s (the span over the models)"),
        table(["", *BANDS], [[one.target, *spans(one.low_s, one.high_s)] for one in report.remaining],
              right=range(1, 1 + len(BANDS_HZ))),
        *_changed_rows(report), *_closing(report))


def _rows(report: WorthReport, unit: str) -> RenderableType:
    several = len({row.room for row in report.remaining}) > 1
    rows = [[row.target, row.kind, *([row.room] if several else []), show_area(row.area_m2, unit),
             f"{row.mean_gain_m2:.1f}", _bands(row), cost_words(row, report.currency), show_hours(row.hours_h),
             _rate(row.per_cost, 100), _rate(row.per_hour)] for row in report.remaining]
    first = 5 if several else 4
    return table(["target", "", *(["room"] if several else []), "area", "gain m2 (mean)", "comes into target", "cost",
                  "hours", f"m2 for 100 {report.currency}", "m2 an hour"], rows,
                 right=(first - 2, first - 1, first + 1, first + 2, first + 3, first + 4))


def cost_words(row: WorthRow, currency: str) -> str:
    """What is still to be paid; unknown where an item has no price."""
    if row.cost is None:
        return UNKNOWN
    return "nothing to buy" if row.cost == 0 else show_money(row.cost, currency)


def _rate(rate: float | None, times: float = 1.0) -> str:
    return "-" if rate is None else f"{rate * times:.2f}"


def _bands(row: WorthRow) -> str:
    said = listed(row.bands_into_target) if row.bands_into_target else "none"
    return said + (f"; out of it {listed(row.bands_out_of_target)}" if row.bands_out_of_target else "")


def _change(one: ChangeView) -> Iterator[RenderableType]:
    yield Text(f"What if {one.words} ({', '.join(one.bays)})")
    yield table(["coefficients", *BANDS, "from"],
                [["  before", *figures(one.alpha_before), one.source_before],
                 ["  after", *figures(one.alpha_after), one.source_after]], right=range(1, 1 + len(BANDS_HZ)))
    yield from (Text(f"Note: {note}") for note in one.notes)


def _changed_rows(report: WorthReport) -> Iterator[RenderableType]:
    """The gain beside that of the plan, for rows the change touches."""
    planned = {(row.room, row.kind, row.target): row for row in report.as_planned}
    rows = []
    for row in report.remaining:
        before = planned.get((row.room, row.kind, row.target))
        if before is not None and before.gain_m2 != row.gain_m2:
            rows += [[f"{row.target}, planned", *figures(before.gain_m2, 1), cost_words(before, report.currency)],
                     ["  with the change", *figures(row.gain_m2, 1), cost_words(row, report.currency)]]
    if rows:
        yield Text("")
        yield Text("Gain, m2, before and after the change")
        yield table(["", *BANDS, "cost"], rows, right=range(1, 2 + len(BANDS_HZ)))


def _closing(report: WorthReport) -> Iterator[RenderableType]:
    unpriced = dict.fromkeys(item for row in report.remaining for item in row.unpriced)
    if unpriced:
        yield Text(f"Without a price, so that costs are unknown: {', '.join(unpriced)}.")
    for room, name in report.calibrated_on:
        yield Text(f"{room}: all figures follow from the measurement \"{name}\".")
    yield from (Text(f"Caution: {one}") for one in report.notes)
