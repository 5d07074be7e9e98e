"""What each operation changed, row by row, so that it can be taken back."""

from sqlmodel import SQLModel

from tracker.store.tables.columns import STRICT, check, is_json, key, link, text, whole


class OperationRow(SQLModel, table=True):
    __tablename__ = "operation"
    __table_args__ = (check("undone_flag", "undone IN (0, 1)"), STRICT)
    id: int | None = key()
    at: str = text()
    sentence: str = text()
    undone: int = whole(0)


class ChangeRow(SQLModel, table=True):
    """One row's image before and after; no image before means it was added, none after that it was removed."""

    __tablename__ = "change"
    __table_args__ = (check("some_image", "before IS NOT NULL OR after IS NOT NULL"), is_json("before"),
                      is_json("after"), STRICT)
    id: int | None = key()
    operation_id: int = link("operation", index=True)
    table_name: str = text()
    row_id: int = whole()
    before: str | None = text(None)
    after: str | None = text(None)
