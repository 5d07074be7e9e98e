"""What is behind a figure of sound: the sum of a band, and the sources of each build-up."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import work
from textual.binding import Binding, BindingType

from tracker.domain.bands import BANDS_HZ
from tracker.report.sound_figures import adding_up, span
from tracker.services.sound_answers import BuildUpView, ExplainedRow, ExplainedView
from tracker.ui import ask
from tracker.ui.forms.behind import ListPanel
from tracker.ui.ink import Line, fit, spans, wrapped
from tracker.ui.widgets.curves import band_name
from tracker.ui.widgets.row_list import Row

STATES = ("bare", "now", "planned")
KINDS = {"surface": "bare", "covered": "covers", "bay": "infill", "cloud": "2 faces", "absorber": "pieces"}


class SumPanel(ListPanel):
    """Every term of a band's absorption area, with the source of the one under the cursor."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "band(-1)", "band", id="sum.previous-band", show=False, tooltip="The band before"),
        Binding("right", "band(1)", "band", id="sum.next-band", show=False, tooltip="The next band"),
        Binding("s", "state", "state", id="sum.state", tooltip="Bare, now or planned"),
    ]

    def __init__(self, over: object) -> None:
        super().__init__(over)
        self.band = over.band
        self.state = "now"
        self._found: ExplainedView | None = None

    @property
    def heading(self) -> str:
        return f"The sum behind {BANDS_HZ[self.band]} Hz, {self.state}"

    def on_mount(self) -> None:
        self.follow()

    @work(exclusive=True, group="begin", exit_on_error=False)
    async def begin(self) -> None:
        """Reads the sum of the band and state on show."""
        room = self.over.room
        if room is None:
            return
        found = await self.app.db(ask.explain_band, room.name, BANDS_HZ[self.band], self.state)
        if found is None:
            return
        self._found = found
        self.title_row.show(lambda width: [spans((fit(f" {self.heading}", width), "tape-name"))])
        self.head.show(lambda width: [spans((fit(" ", width - 34), "plain"), *((fit(word, size, right=True), "title")
                                      for word, size in (("", 8), ("m2", 8), ("coef", 8), ("m2", 9))))])
        products = adding_up([row.product_m2 for row in found.rows])
        self.rows.show([Row(str(place), lambda width, row=row, product=product: _term(row, product, width))
                        for place, (row, product) in enumerate(zip(found.rows, products, strict=True))])
        self.rows.styles.height = max(1, min(len(found.rows), self.app.size.height - 14))
        self._said()

    def on_row_list_pointed(self) -> None:
        self._said()

    def _said(self) -> None:
        found = self._found
        if found is None:
            return
        place = int(self.rows.key or 0)
        row = found.rows[min(place, len(found.rows) - 1)] if found.rows else None
        source = "" if row is None else row.source
        if row is not None and row.published != row.coefficient:
            source += f"; published {row.published:.2f}, counted {row.coefficient:.2f}"

        def foot(width: int) -> list[Line]:
            total = spans((fit(f"in all {found.total_m2:.2f} ", width, right=True), "strong"))
            return [total, *wrapped(source, "note", width - 2, spans(" ")),
                    *wrapped(found.sentence, "strong", width - 2, spans(" ")),
                    *wrapped(f"Over all the models: {span(found.low_s, found.high_s)} s.", "plain", width - 2,
                             spans(" "))]

        self.foot.show(foot)

    def keys(self) -> Line:
        return spans((" ←→", "accent"), (" band ", "muted"), (" s", "accent@screen.state"),
                     (" state ", "muted@screen.state"), (" esc", "accent@screen.leave"),
                     (" leave", "muted@screen.leave"))

    def action_band(self, way: int) -> None:
        """Shows the sum of another band."""
        self.band = min(max(self.band + way, 0), len(BANDS_HZ) - 1)
        self.over.action_band(self.band - self.over.band)
        self.begin()

    def action_state(self) -> None:
        """Shows the sum of the next state."""
        self.state = STATES[(STATES.index(self.state) + 1) % len(STATES)]
        self.begin()


def _term(row: ExplainedRow, product: str, width: int) -> Line:
    role = "muted" if row.kind in ("surface", "covered") else "plain"
    return spans((fit(f" {row.name}", width - 33), role), (fit(KINDS[row.kind], 8, right=True), "muted"),
                 (fit(f"{row.area_m2:.2f}", 8, right=True), role), (fit(f"{row.coefficient:.3g}", 8, right=True), role),
                 (fit(product, 9, right=True), "strong"))


class BuildUpPanel(ListPanel):
    """Every build-up with the coefficients it is counted with, and what the other sources say."""

    TITLE_TEXT = "Build-ups: what is counted with, and what each source says"

    def __init__(self, over: object) -> None:
        super().__init__(over)
        self._notes: dict[str, tuple[str, ...]] = {}

    def on_mount(self) -> None:
        self.follow()

    @work(exclusive=True, group="begin", exit_on_error=False)
    async def begin(self) -> None:
        """Reads the build-ups."""
        found = await self.app.kept(ask.build_ups)
        self.head.show(lambda width: [coefficients("", [band_name(hz) for hz in BANDS_HZ], "title", width)])
        rows: list[Row] = []
        for one in found:
            self._notes[one.name] = _said_of(one)
            rows.append(Row(one.name, lambda width, one=one: coefficients(
                f"{one.name}: {one.basis}", two_places(one.alpha), "strong", width)))
            for place, source in enumerate(one.sources):
                key = f"{one.name}\0{place}"
                self._notes[key] = (source.name, source.note or "worked out from the layers")
                rows.append(Row(key, lambda width, source=source: coefficients(
                    f"  {source.name}", two_places(source.alpha), "muted", width)))
        self.show(rows)
        self.rows.styles.height = max(1, min(len(rows), self.app.size.height - 17))
        self._told()

    def on_row_list_pointed(self) -> None:
        self._told()

    def _told(self) -> None:
        notes = self._notes.get(self.rows.key or "", ())
        self.foot.show(lambda width: [line for note in notes for line in wrapped(note, "note", width - 2, spans(" "))])


def _said_of(one: BuildUpView) -> tuple[str, ...]:
    band = one.spread.index(max(one.spread))
    shape = f"({one.shape})" if one.shape else ""
    said = [f"Counted with {one.basis}: {one.source}.",
            f"Between the sources most at {BANDS_HZ[band]} Hz: {one.low[band]:.2f} to {one.high[band]:.2f}. "
            f"NRC {one.nrc:.2f}, weighted {one.weighted:.2f}{shape}, {one.sound_class}."]
    for cloud in one.clouds:
        if cloud.per_hanger_kg is not None:
            said.append(f"Cloud {cloud.bay}: {cloud.weight_kg:.1f} kg of board, {cloud.per_hanger_kg:.1f} kg on each "
                        f"of {cloud.hangers} hangers.")
        said.append(cloud.caution)
    return tuple(said)


def coefficients(words: str, cells: Sequence[str], role: str, width: int) -> Line:
    """A row of words and six figures."""
    return spans((fit(f"  {words}", width - 50), role), *((fit(cell, 8, right=True), role) for cell in cells))


def two_places(alpha: Sequence[float]) -> list[str]:
    """Coefficients as they are written."""
    return [f"{value:.2f}" for value in alpha]


FORMS = {"sum": SumPanel, "build-ups": BuildUpPanel}
