"""Over the Sound view: typing in measured decay times, and asking what another build-up would do."""

from __future__ import annotations

from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType

from tracker.domain.bands import BANDS_HZ
from tracker.domain.errors import Refused
from tracker.report.sound_figures import span
from tracker.services.answers import Outcome
from tracker.services.sound_answers import ChangeView, WorthReport
from tracker.ui import ask
from tracker.ui.forms.behind_sound import coefficients, two_places
from tracker.ui.forms.form import Form
from tracker.ui.ink import Line, Sheet, fit, spans, wrapped
from tracker.ui.widgets.curves import band_name


class MeasuredForm(Form):
    """Decay times measured in the room on show; a band left empty was not measured."""

    NAME = "measured"
    TITLE_TEXT = "Measured decay times, s"
    ACCEPT = "store"
    WORDS = (("phase", "after", "bare, a phase's name; empty: what the diary says of the day"),
             ("date", "on", "today, or e.g. 2026-03-20"), ("positions", "positions", "1, places it is averaged over"),
             ("temperature", "degC", "as the room's"), ("humidity", "humidity %", "as the room's"),
             ("name", "name", "e.g. bare; found for you if empty"), ("note", "note", ""))

    @property
    def title_words(self) -> str:
        room = self.over.room
        return f"{self.TITLE_TEXT}: {room.name}" if room is not None else self.TITLE_TEXT

    def content(self) -> ComposeResult:
        for hz in BANDS_HZ:
            yield self.field(f"band-{hz}", f"{band_name(hz)} Hz", "e.g. 0.62" if hz == BANDS_HZ[0] else "")
        for name, word, hint in self.WORDS:
            yield self.field(name, word, hint)
        yield self.trouble

    def on_mount(self) -> None:
        self.set_focus(self.fields[f"band-{BANDS_HZ[0]}"])

    async def save(self) -> Outcome:
        room = self.over.room
        if room is None:
            raise Refused("there is no room: a site file names them")
        typed = {hz: self.text(f"band-{hz}") for hz in BANDS_HZ}
        if not any(typed.values()):
            raise Refused(f"band-{BANDS_HZ[0]}: type at least one decay time, such as 0.62")
        for hz, text in typed.items():
            if text:
                await self._check(hz, text)
        words = {name: self.text(name) for name, _, _ in self.WORDS}
        words["on"] = words.pop("date")
        decay = " ".join(f"{hz}={text}" for hz, text in typed.items() if text)
        return await self.app.db(ask.type_measurement, {"decay": decay, "room": room.name, **words})

    async def _check(self, hz: int, text: str) -> None:
        """Refuses a decay time in the words of its field."""
        try:
            await self.app.db(ask.check_decay, hz, text)
        except Refused as refusal:
            raise Refused(f"band-{hz}: cannot read that; type seconds, such as 0.62, or leave it empty") from refusal


class WhatIfForm(Form):
    """Another thickness, gap or area of a build-up or bay: what it would bring, without touching the plan."""

    NAME = "what-if"
    TITLE_TEXT = "What if: the plan stays as it is"
    ACCEPT = "show"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "choose(-1)", "which", id="what-if.previous", show=False, tooltip="The build-up or bay before"),
        Binding("down", "choose(1)", "which", id="what-if.next", show=False, tooltip="The next build-up or bay"),
    ]

    def __init__(self, over: object) -> None:
        super().__init__(over)
        self.result = Sheet(id="what-if-result")
        self._names: tuple[str, ...] = ()

    def content(self) -> ComposeResult:
        yield self.field("which", "which", "a build-up, a phase or plane/bay")
        yield self.field("depth", "depth", "infill thickness, e.g. 100 mm; empty: as planned")
        yield self.field("gap", "gap", "air behind it, e.g. 50 mm; empty: as planned")
        yield self.field("area", "area", "e.g. 150%; empty: as planned")
        yield self.trouble
        yield self.result

    def on_mount(self) -> None:
        self.set_focus(self.fields["depth"])
        self.follow()

    @work(exclusive=True, group="begin", exit_on_error=False)
    async def begin(self) -> None:
        """Reads what can be asked about; the first stands in the form unless something was typed."""
        self._names = await self.app.db(ask.changeable)
        if self._names:
            self.given["which"] = self.text("which") if self.text("which") in self._names else self._names[0]
            self.fill_in()

    def action_choose(self, way: int) -> None:
        """Goes to another build-up or bay."""
        if self._names:
            now = self.text("which")
            place = self._names.index(now) + way if now in self._names else 0
            self.fields["which"].value = self._names[place % len(self._names)]

    def action_accept(self) -> None:
        """Shows what the change would bring."""
        self._show()

    @work(exclusive=True, group="accept", exit_on_error=False)
    async def _show(self) -> None:
        room = self.over.room
        said = ", ".join(f"{key}={self.text(key)}" for key in ("depth", "gap", "area") if self.text(key))
        try:
            if room is None:
                raise Refused("there is no room: a site file names them")
            if not said:
                raise Refused("depth: type a thickness, a gap or an area to ask about")
            found = await self.app.db(ask.what_if, room.name, f"{self.text('which')}: {said}")
        except Refused as refusal:
            self.refuse(str(refusal))
            return
        self.trouble.show(lambda width: [])
        most = 3 if self.app.size.height < 30 else 10
        self.result.show(lambda width: before_and_after(found, self.over.band, most, width))

    async def save(self) -> Outcome:
        raise Refused("what if: nothing is stored")


CELLS = (14, 24, 18)
"""Cells of the gain, of the decay time as a span, and of the cost."""


def before_and_after(found: WorthReport, band: int, most: int, width: int) -> list[Line]:
    """Coefficients, gains, decay times and costs before and after a change, of at most so many phases and bays."""
    lines: list[Line] = []
    for one in found.what_if:
        lines.append(spans((fit(f" {one.words}", width), "strong")))
        lines += [coefficients("", [band_name(hz) for hz in BANDS_HZ], "title", width),
                  coefficients(f"now {one.basis_before}", two_places(one.alpha_before), "muted", width),
                  coefficients(f"then {one.basis_after}", two_places(one.alpha_after), "plain", width)]
    planned = {(row.kind, row.target): row for row in found.as_planned}
    rows = [(planned[row.kind, row.target], row) for row in found.remaining
            if (row.kind, row.target) in planned and planned[row.kind, row.target].gain_m2 != row.gain_m2]
    rows.sort(key=lambda pair: pair[1].kind != "phase")
    name = max(14, width - sum(CELLS))
    lines.append(spans((fit("", name), "plain"), *((fit(word, cell, right=True), "title") for word, cell in zip((
        "gain m2", f"T {band_name(BANDS_HZ[band])} after, s", f"cost {found.currency}"), CELLS, strict=True))))
    for before, after in rows[:most]:
        figures = (_to(f"{before.mean_gain_m2:.1f}", f"{after.mean_gain_m2:.1f}"),
                   _to(span(before.low_s[band], before.high_s[band]), span(after.low_s[band], after.high_s[band])),
                   _to(_money(before.cost), _money(after.cost)))
        lines.append(spans((fit(f" {after.target}", name), "plain"),
                           *((fit(figure, cell, right=True), "way")
                             for figure, cell in zip(figures, CELLS, strict=True))))
    if len(rows) > most:
        lines.append(spans((f" and {len(rows) - most} more: `sabinry worth --what-if` lists them all", "muted")))
    notes = dict.fromkeys(_short(note, one) for one in found.what_if for note in one.notes)
    return [*lines, *(line for note in notes for line in wrapped(note, "note", width - 2, spans(" ")))]


def _short(note: str, one: ChangeView) -> str:
    """Where the sources stand above already, that they differ is enough."""
    if one.source_before in note and one.source_after in note:
        return "Unlike sources: part of the difference is between them, not the build-ups."
    return note


def _to(before: str, after: str) -> str:
    """One figure where the change does not show in it."""
    return after if before == after else f"{before} to {after}"


def _money(amount: float | None) -> str:
    return "unknown" if amount is None else f"{amount:.0f}"


FORMS = {"measured": MeasuredForm, "what-if": WhatIfForm}
