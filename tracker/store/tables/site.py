"""What the person described: the site, its items and build-ups, rooms, planes, bays, phases and tasks."""

import sqlalchemy as sa
from sqlmodel import SQLModel

from tracker.store.tables.columns import STRICT, check, is_json, key, link, one_of, real, text, whole


class SiteRow(SQLModel, table=True):
    __tablename__ = "site"
    __table_args__ = (check("single", "id = 1"), one_of("unit", "mm", "in"), is_json("hours"),
                      check("cap_flag", "cap IN (0, 1)"), STRICT)
    id: int | None = key()
    name: str = text()
    unit: str = text()
    currency: str = text()
    start: str = text()
    hours: str = text()
    cap: int = whole(1)


class SurfaceRow(SQLModel, table=True):
    __tablename__ = "surface"
    __table_args__ = (is_json("alpha"), STRICT)
    id: int | None = key()
    name: str = text(unique=True)
    alpha: str = text()
    source: str = text()


class ItemRow(SQLModel, table=True):
    __tablename__ = "item"
    __table_args__ = (
        one_of("form", "board", "stick", "roll", "each", "bulk"),
        check("sizes", "coalesce(length_um, 1) > 0 AND coalesce(width_um, 1) > 0 AND coalesce(depth_um, 1) > 0"),
        check("allowances", "face_um >= 0 AND kerf_um >= 0 AND tuck_um >= 0 AND waste_below_um >= 0"),
        check("pack", "pack > 0"), check("price", "coalesce(price_cents, 0) >= 0"), check("lead", "lead_days >= 0"),
        STRICT,
    )
    id: int | None = key()
    name: str = text(unique=True)
    form: str = text()
    unit: str = text()
    length_um: int | None = whole(None)
    width_um: int | None = whole(None)
    depth_um: int | None = whole(None)
    density_kg_m3: float | None = real(None)
    flow_resistivity_pa_s_m2: float | None = real(None)
    face_um: int = whole(0)
    kerf_um: int = whole(0)
    tuck_um: int = whole(0)
    waste_below_um: int = whole(0)
    turnable: int = whole(1)
    pack: float = real(1.0)
    price_cents: int | None = whole(None)
    lead_days: int = whole(0)
    dye_lot: str | None = text(None)
    flow_resistance_pa_s_m: float | None = real(None)
    weight_kg: float | None = real(None)
    sliver_um: int | None = whole(None)
    hairline_um: int | None = whole(None)
    face_down: int | None = whole(None)


class BuildUpRow(SQLModel, table=True):
    __tablename__ = "build_up"
    __table_args__ = (is_json("alpha"), check("gap", "gap_um >= 0"), STRICT)
    id: int | None = key()
    name: str = text(unique=True)
    gap_um: int = whole(0)
    infill_id: int = link("item")
    fabric_id: int | None = link("item", None)
    edge_id: int | None = link("item", None)
    joint_id: int | None = link("item", None)
    alpha: str | None = text(None)


class FixingRow(SQLModel, table=True):
    __tablename__ = "fixing"
    __table_args__ = (check("spacing", "spacing_um > 0"), STRICT)
    id: int | None = key()
    build_up_id: int = link("build_up")
    item_id: int = link("item")
    spacing_um: int = whole()


class RoomRow(SQLModel, table=True):
    __tablename__ = "room"
    __table_args__ = (check("volume", "volume_m3 > 0"), is_json("target"), STRICT)
    id: int | None = key()
    name: str = text(unique=True)
    volume_m3: float = real()
    temperature_c: float = real()
    humidity_pct: float = real()
    target: str | None = text(None)


class AbsorberRow(SQLModel, table=True):
    __tablename__ = "absorber"
    __table_args__ = (is_json("area_m2"), check("count", "count >= 0"), STRICT)
    id: int | None = key()
    room_id: int = link("room")
    name: str = text()
    area_m2: str = text()
    count: int = whole()


class PlaneRow(SQLModel, table=True):
    __tablename__ = "plane"
    __table_args__ = (sa.UniqueConstraint("room_id", "name"), is_json("outline"),
                      one_of("kind", "wall", "ceiling", "slope", "floor", "cloud"),
                      check("axis_known", "axis IS NULL OR axis IN ('x', 'y', 'z')"), STRICT)
    id: int | None = key()
    room_id: int = link("room")
    name: str = text()
    kind: str = text()
    outline: str = text()
    surface: str = text()
    axis: str | None = text(None)


class OpeningRow(SQLModel, table=True):
    __tablename__ = "opening"
    __table_args__ = (sa.UniqueConstraint("plane_id", "name"), is_json("outline"), STRICT)
    id: int | None = key()
    plane_id: int = link("plane")
    name: str = text()
    outline: str = text()
    surface: str = text()


class PhaseRow(SQLModel, table=True):
    __tablename__ = "phase"
    __table_args__ = (STRICT,)
    id: int | None = key()
    name: str = text(unique=True)


class BayRow(SQLModel, table=True):
    __tablename__ = "bay"
    __table_args__ = (sa.UniqueConstraint("plane_id", "name"), is_json("outline"), STRICT)
    id: int | None = key()
    plane_id: int = link("plane")
    phase_id: int = link("phase")
    build_up_id: int = link("build_up")
    name: str = text()
    outline: str = text()


class TapeRow(SQLModel, table=True):
    """One tape set of a plane or a bay; the newest of its kind counts, earlier ones stay."""

    __tablename__ = "tape"
    __table_args__ = (
        check("one_place", "(plane_id IS NULL) <> (bay_id IS NULL)"),
        check("fitted_bay", "fitted IN (0, 1) AND (fitted = 0 OR bay_id IS NOT NULL)"),
        check("sizes", "bottom_um > 0 AND top_um > 0 AND left_um > 0 AND right_um > 0"),
        STRICT,
    )
    id: int | None = key()
    plane_id: int | None = link("plane", None)
    bay_id: int | None = link("bay", None)
    fitted: int = whole(0)
    taken: str = text()
    bottom_um: int = whole()
    top_um: int = whole()
    left_um: int = whole()
    right_um: int = whole()
    diagonal_um: int | None = whole(None)
    check_um: int | None = whole(None)
    middle_um: int | None = whole(None)
    centre_um: int | None = whole(None)


class TaskRow(SQLModel, table=True):
    __tablename__ = "task"
    __table_args__ = (sa.UniqueConstraint("phase_id", "name"), check("hours", "coalesce(hours_h, 0) >= 0"), STRICT)
    id: int | None = key()
    phase_id: int = link("phase")
    name: str = text()
    hours_h: float | None = real(None)


class TaskNeedRow(SQLModel, table=True):
    __tablename__ = "task_need"
    __table_args__ = (check("quantity", "quantity_u > 0"), STRICT)
    id: int | None = key()
    task_id: int = link("task")
    item_id: int = link("item")
    quantity_u: int = whole()


class PredecessorRow(SQLModel, table=True):
    """A bay or a task that waits until another bay or task is done."""

    __tablename__ = "predecessor"
    __table_args__ = (check("one_follower", "(bay_id IS NULL) <> (task_id IS NULL)"),
                      check("one_before", "(on_bay_id IS NULL) <> (on_task_id IS NULL)"), STRICT)
    id: int | None = key()
    bay_id: int | None = link("bay", None)
    task_id: int | None = link("task", None)
    on_bay_id: int | None = link("bay", None)
    on_task_id: int | None = link("task", None)
