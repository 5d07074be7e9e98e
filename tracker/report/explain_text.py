"""What is behind a figure as text: the sum of a band, the modes of a room, the sources of a build-up."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import RenderableType
from rich.text import Text

from tracker.domain.bands import BANDS_HZ
from tracker.measures import show_length
from tracker.report.sound_figures import BANDS, adding_up, span
from tracker.report.sound_text import room_head
from tracker.report.text import figures, heading, stacked, table
from tracker.services.sound_answers import BuildUpView, CloudView, ExplainedRow, ExplainedView, ModesView, SoundReport

RIGHT = range(1, 1 + len(BANDS_HZ))
MOST_MODES = 20
"""Modes of a kind that are written out; `--json` has all of them."""


def explained_text(report: SoundReport, unit: str) -> RenderableType:
    """What was asked for of each room and build-up."""
    parts: list[RenderableType] = [heading(report.site)]
    for room in report.rooms:
        if room.explained is not None or room.modes is not None:
            parts += [Text(""), room_head(room, unit)]
        if room.explained is not None:
            parts += _explained(room.explained)
        if room.modes is not None:
            parts += _modes(room.modes, unit)
    for one in report.build_ups:
        parts += _build_up(one)
    return stacked(*parts)


def _explained(found: ExplainedView) -> Iterator[RenderableType]:
    yield Text(f"The sum behind {found.band_hz} Hz, {found.state}")
    products = adding_up([row.product_m2 for row in found.rows])
    rows = [[row.name, _kind(row), f"{row.area_m2:.2f}", f"{row.coefficient:.2f}", product,
             row.source + ("" if row.published == row.coefficient else f"; published {row.published:.2f}")]
            for row, product in zip(found.rows, products, strict=True)]
    yield table(["", "", "m2", "coefficient", "product m2", "source"],
                [*rows, ["in all", "", "", "", f"{found.total_m2:.2f}", ""]], right=(2, 3, 4))
    yield Text(found.sentence)
    yield Text(f"Over all the models: {span(found.low_s, found.high_s)} s.")


def _kind(row: ExplainedRow) -> str:
    return {"surface": "bare surface", "covered": "what it covers", "bay": "infill", "cloud": "infill, both faces",
            "absorber": "pieces"}[row.kind]


def _modes(found: ModesView, unit: str) -> Iterator[RenderableType]:
    yield Text(found.sentence)
    if found.sides_m is not None:
        yield Text(f"Sides of the box: {' x '.join(show_length(side, unit) for side in found.sides_m)}.")
    for kind in ("axial", "tangential", "oblique"):
        of_kind = [one for one in found.modes if one.kind == kind]
        if not of_kind:
            continue
        first = ", ".join(f"{one.hz:.1f} ({' '.join(map(str, one.order))})" for one in of_kind[:MOST_MODES])
        more = f" and {len(of_kind) - MOST_MODES} more" if len(of_kind) > MOST_MODES else ""
        yield Text(f"{kind}, Hz and half waves along each of these sides: {first}{more}.")


def _build_up(found: BuildUpView) -> Iterator[RenderableType]:
    yield Text("")
    yield Text(f"Build-up {found.name}: counted with {found.basis}", style="bold")
    rows = [[one.name, *figures(one.alpha), one.note] for one in found.sources]
    ends = [f"{low:.2f}-{high:.2f}" for low, high in zip(found.low, found.high, strict=True)]
    yield table(["", *BANDS, "from"], [["counted", *figures(found.alpha), found.source], *rows,
                                       ["between sources", *ends, "lowest and highest"]], right=RIGHT)
    shape = f"({found.shape})" if found.shape else ""
    klass = found.sound_class if found.sound_class == "not classified" else f"class {found.sound_class}"
    yield Text(f"NRC {found.nrc:.2f}; weighted coefficient {found.weighted:.2f}{shape}, {klass} (ISO 11654).")
    if found.flow_resistivity_pa_s_m2 is not None:
        yield Text(f"Layer models: flow resistivity {round(found.flow_resistivity_pa_s_m2, -2):.0f} Pa s/m2, random "
                   "incidence 0 to 78 degrees, fabric taken as clear.")
    yield from (Text(note) for note in found.notes)
    for cloud in found.clouds:
        yield from _cloud(cloud)


def _cloud(found: CloudView) -> Iterator[RenderableType]:
    yield Text(f"Cloud {found.bay}")
    yield table(["", *BANDS], [["both faces in full, m2", *figures(found.counted_m2, 1)],
                               ["upper face by its opening, m2", *figures(found.limited_m2, 1)]], right=RIGHT)
    yield from (Text(note) for note in found.notes)
    if found.weight_kg is None or found.per_hanger_kg is None:
        yield Text("Weight unknown: give the board's density.")
    else:
        fails = "" if found.one_fails_kg is None else f", {found.one_fails_kg:.1f} kg where one fails"
        without = f", without {' and '.join(found.unknown)}" if found.unknown else ""
        yield Text(f"Weight {found.weight_kg:.1f} kg{without}: {found.per_hanger_kg:.1f} kg on each of "
                   f"{found.hangers} hangers{fails}.")
    yield Text(found.caution)
