"""What lies on the desk: half-typed entries and the running clock. No undo takes these back."""

from sqlmodel import SQLModel

from tracker.store.tables.columns import STRICT, check, is_json, key, text, whole


class DraftRow(SQLModel, table=True):
    __tablename__ = "draft"
    __table_args__ = (is_json("fields"), STRICT)
    id: int | None = key()
    form: str = text(unique=True)
    fields: str = text()
    saved: str = text()


class ClockRow(SQLModel, table=True):
    """The one clock: running since `started` where that is set, with what ran before it in `banked_s`."""

    __tablename__ = "clock"
    __table_args__ = (check("single", "id = 1"), check("banked", "banked_s >= 0"), STRICT)
    id: int | None = key()
    started: str | None = text(None)
    banked_s: int = whole(0)
    target: str = text("")
    step: str = text("")
