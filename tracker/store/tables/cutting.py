"""The cutting plan that is kept, what has been cut of it, and what was cut wrong."""

from sqlmodel import SQLModel

from tracker.store.tables.columns import STRICT, check, is_json, key, link, real, text, whole


class KeptPlanRow(SQLModel, table=True):
    """What the cut list says; one row. Which of it still stands is worked out from the diary and the rack."""

    __tablename__ = "kept_plan"
    __table_args__ = (check("seconds", "seconds >= 0"), is_json("plan"), STRICT)
    id: int | None = key()
    made: str = text()
    seconds: float = real()
    seed: int = whole()
    plan: str = text()


class TickRow(SQLModel, table=True):
    """A piece ticked off the cut list: cut, and not yet logged."""

    __tablename__ = "tick"
    __table_args__ = (STRICT,)
    id: int | None = key()
    piece: str = text(unique=True)
    at: str = text()


class MiscutRow(SQLModel, table=True):
    """A piece cut wrong, to be cut again; its size in m2 of board or m of track."""

    __tablename__ = "miscut"
    __table_args__ = (check("size", "size > 0"), STRICT)
    id: int | None = key()
    bay_id: int = link("bay", index=True)
    item_id: int = link("item")
    piece: str = text()
    size: float = real()
    on_date: str = text()
    note: str = text("")
