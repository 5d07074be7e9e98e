"""The tables of a site file as pydantic models: which keys there are, which kinds of value they take."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Annotated, Any, Final, Literal

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Discriminator,
    Field,
    StringConstraints,
    Tag,
    field_validator,
)

from tracker.measures import MeasureError, read_hours

TARGET_TAGS = ("built-in", "own")


class _Unread:
    def __repr__(self) -> str:
        return "UNREAD"

    def __deepcopy__(self, memo: object) -> _Unread:
        return self


UNREAD: Final = _Unread()
"""Stands where the file has something that can't be read, so that all else still can be judged."""


def _figure_or_text(value: Any) -> Any:
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise ValueError("must be a number, or text in quotes with its unit")
    return value


def _hours(most_h: float) -> BeforeValidator:
    def read(value: Any) -> float:
        try:
            return read_hours(value, most=most_h)
        except MeasureError as error:
            raise ValueError(error.reason) from None
    return BeforeValidator(read)


Length = Annotated[Any, BeforeValidator(_figure_or_text)]
"""A length, volume or quantity as written; read where its unit and kind are known."""
Pair = Annotated[list[Length], Field(min_length=2, max_length=2)]
Corners = Annotated[list[Pair], Field(min_length=3)]
Name = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=80, pattern=r"^[^\n]+$")]
PartName = Annotated[Name, StringConstraints(pattern=r"^[^/]+$")]
"""Of what a target names as room/plane/bay."""
ItemName = Annotated[Name, StringConstraints(pattern=r"^[^=;]+$")]
"""Of what a log writes as ITEM=QTY."""
Coefficient = Annotated[float, Field(ge=0, le=1.5, allow_inf_nan=False)]
PerBand = Annotated[list[Coefficient], Field(min_length=6, max_length=6)]
Figure = Annotated[float, Field(ge=0, allow_inf_nan=False)]
Day = Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"]


class Table(BaseModel):
    """A table that takes no key it does not know."""

    model_config = ConfigDict(extra="forbid", strict=True)

    @field_validator("*", mode="wrap")
    @classmethod
    def _left_unread(cls, value: Any, read: Callable[[Any], Any]) -> Any:
        return value if value is UNREAD else read(value)


class SiteTable(Table):
    name: Name
    unit: Literal["mm", "in"]
    currency: Annotated[str, StringConstraints(pattern=r"^[A-Z]{3}$")]
    start: date
    hours: dict[Day, Annotated[float, _hours(24)]] = {}
    cap: bool = True


class ItemTable(Table):
    name: ItemName
    form: Literal["board", "stick", "roll", "each", "bulk"]
    size: Pair | None = None
    length: Length | None = None
    width: Length | None = None
    depth: Length | None = None
    density: Annotated[float, Field(gt=0, le=3000, allow_inf_nan=False)] | None = None
    flow_resistivity: Annotated[float, Field(gt=0, le=1e7, allow_inf_nan=False)] | None = None
    face: Length = 0
    kerf: Length = 0
    tuck: Length = 0
    waste_below: Length = 0
    pack: Annotated[float, Field(gt=0, allow_inf_nan=False)] = 1
    price: Figure | None = None
    lead_days: Annotated[int, Field(ge=0, le=1000)] = 0
    on_hand: Length = 0
    turnable: bool = True
    dye_lot: str | None = None
    unit: Name | None = None
    flow_resistance: Annotated[float, Field(gt=0, le=1e5, allow_inf_nan=False)] | None = None
    weight: Annotated[float, Field(gt=0, le=100, allow_inf_nan=False)] | None = None
    sliver: Length | None = None
    hairline: Length | None = None
    face_down: bool | None = None


class BuildUpTable(Table):
    name: Name
    infill: str
    gap: Length = 0
    fabric: str | None = None
    edge: str | None = None
    joint: str | None = None
    each: dict[str, Length] = {}
    alpha: PerBand | None = None


class SurfaceTable(Table):
    name: Name
    alpha: PerBand
    source: Annotated[str, StringConstraints(min_length=1)]


class TapeTable(Table):
    bottom: Length
    top: Length
    left: Length
    right: Length
    diagonal: Length | None = None
    check: Length | None = None
    middle: Length | None = None
    centre: Length | None = None


class Shaped(Table):
    """Something with a shape: an outline, a size or a tape set."""

    name: PartName
    outline: Corners | None = None
    size: Pair | None = None
    tape: TapeTable | None = None
    at: Pair | None = None


class OpeningTable(Shaped):
    surface: str


class BayTable(Shaped):
    phase: str
    build_up: str
    whole: bool = False
    fitted: TapeTable | None = None
    after: list[str] = []


class PlaneTable(Shaped):
    kind: Literal["wall", "ceiling", "slope", "floor", "cloud"]
    surface: str
    axis: Literal["x", "y", "z"] | None = None
    opening: list[OpeningTable] = []
    bay: list[BayTable] = []


class AbsorberTable(Table):
    name: Name
    area: Annotated[list[Figure], Field(min_length=6, max_length=6)]
    count: Annotated[int, Field(ge=0, le=10_000)] = 1


class TargetTable(Table):
    t: Annotated[list[Annotated[float, Field(gt=0, le=60, allow_inf_nan=False)]], Field(min_length=6, max_length=6)]
    tolerance: Annotated[float, Field(ge=0, le=60, allow_inf_nan=False)] = 0.05


AnyTarget = Annotated[Annotated[str, Tag("built-in")] | Annotated[TargetTable, Tag("own")],
                      Discriminator(lambda value: "own" if isinstance(value, dict) else "built-in")]


class RoomTable(Table):
    name: PartName
    volume: Length | None = None
    temperature: Annotated[float, Field(ge=-20, le=50, allow_inf_nan=False)] = 20
    humidity: Annotated[float, Field(ge=0, le=100, allow_inf_nan=False)] = 50
    target: AnyTarget | None = None
    absorbers: list[AbsorberTable] = []
    plane: Annotated[list[PlaneTable], Field(min_length=1)]


class TaskTable(Table):
    name: Name
    after: list[str] = []
    hours: Annotated[float, _hours(1000)] | None = None
    needs: dict[str, Length] = {}


class PhaseTable(Table):
    name: Name
    task: list[TaskTable] = []


class FileTables(Table):
    site: SiteTable
    item: Annotated[list[ItemTable], Field(min_length=1)]
    build_up: list[BuildUpTable] = []
    surface: list[SurfaceTable] = []
    room: Annotated[list[RoomTable], Field(min_length=1)]
    phase: list[PhaseTable] = []


def table_at(path: tuple[Any, ...]) -> type[BaseModel] | None:
    """The table at `path` of the file; None where there is none with keys of its own."""
    model: type[BaseModel] = FileTables
    for step in path:
        field = model.model_fields.get(step) if isinstance(step, str) else None
        if field is None:
            continue
        inner = _table_in(field.annotation)
        if inner is None:
            return None
        model = inner
    return model


def _table_in(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for part in getattr(annotation, "__args__", ()):
        if (found := _table_in(part)) is not None:
            return found
    return None
