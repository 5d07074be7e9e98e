"""The site diary: entries, their photos, and which pieces each one cut."""

from sqlmodel import SQLModel

from tracker.store.tables.columns import STRICT, check, is_json, key, link, real, text, whole


class EntryRow(SQLModel, table=True):
    __tablename__ = "entry"
    __table_args__ = (
        check("one_target", "(bay_id IS NULL) <> (task_id IS NULL)"),
        check("step_of_bay", "(bay_id IS NULL AND step IS NULL) OR "
                             "(bay_id IS NOT NULL AND step IN ('set-out', 'track', 'infill', 'fabric', 'make-good'))"),
        check("done", "done >= 0 AND done <= 1"), check("hours", "coalesce(hours_h, 0) >= 0"),
        STRICT,
    )
    id: int | None = key()
    bay_id: int | None = link("bay", None, index=True)
    task_id: int | None = link("task", None)
    step: str | None = text(None)
    done: float = real()
    hours_h: float | None = real(None)
    note: str = text("")
    lesson: str = text("")
    on_date: str = text()
    written: str = text()
    corrects_id: int | None = link("entry", None)


class PhotoRow(SQLModel, table=True):
    __tablename__ = "photo"
    __table_args__ = (STRICT,)
    id: int | None = key()
    entry_id: int = link("entry", index=True)
    path: str = text()


class CutRow(SQLModel, table=True):
    """A piece that was cut and put up: an infill piece by its outline, a track or fabric piece by its length."""

    __tablename__ = "cut"
    __table_args__ = (is_json("outline"), STRICT)
    id: int | None = key()
    entry_id: int = link("entry", index=True)
    bay_id: int = link("bay", index=True)
    step: str = text()
    piece: str = text()
    outline: str | None = text(None)
    length_um: int | None = whole(None)
