"""Half-typed entries of forms, kept in the store until they are stored or cleared; no undo touches them."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

import sqlalchemy as sa

from tracker.services.desk import Desk
from tracker.store.site_reader import rows_of


@dataclass(frozen=True, slots=True)
class Draft:
    """What was typed into a form and not yet stored."""

    form: str
    fields: Mapping[str, str]
    saved: datetime
    """UTC."""


def read_drafts(desk: Desk) -> tuple[Draft, ...]:
    """All half-typed entries, the newest last."""
    with desk.store.read() as session:
        return tuple(Draft(row.form, json.loads(row.fields), datetime.fromisoformat(row.saved))
                     for row in rows_of(session, "draft", "saved, id"))


def keep_drafts(desk: Desk, fields: Mapping[str, Mapping[str, str] | None]) -> None:
    """Keeps the fields of each form named, all in one transaction; None or no field at all drops its draft."""
    from tracker.store.tables import DraftRow

    saved = desk.now().isoformat()
    with desk.store.fill() as session:
        session.execute(sa.delete(DraftRow).where(DraftRow.form.in_(list(fields))))
        session.add_all(DraftRow(form=form, fields=json.dumps(dict(said), ensure_ascii=False), saved=saved)
                        for form, said in fields.items() if said)
