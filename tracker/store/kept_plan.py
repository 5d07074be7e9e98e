"""The cutting plan that is kept, and the ticks on its cut list."""

from __future__ import annotations

from datetime import UTC, datetime
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import sqlalchemy as sa
from sqlmodel import Session

from tracker.domain.work.cut_list import KeptPlan
from tracker.store.site_reader import rows_of

if TYPE_CHECKING:
    from tracker.store.store import WriteSession


@lru_cache(maxsize=1)
def _form() -> Any:
    from pydantic import TypeAdapter

    return TypeAdapter(KeptPlan)


@lru_cache(maxsize=4)
def _read(text: str) -> KeptPlan:
    return _form().validate_json(text)


def read_kept_plan(session: Session) -> KeptPlan | None:
    """The plan that is kept; None where none is."""
    rows = rows_of(session, "kept_plan")
    return _read(rows[-1].plan) if rows else None


def put_plan(session: WriteSession, plan: KeptPlan) -> None:
    """Puts a plan in the place of the one that is kept; undo takes it back like any other change."""
    from tracker.store.tables import KeptPlanRow

    for row in session.exec(sa.select(KeptPlanRow)).scalars().all():
        session.delete(row)
    session.add(KeptPlanRow(made=datetime.now(UTC).isoformat(timespec="seconds"), seconds=plan.seconds, seed=plan.seed,
                            plan=_form().dump_json(plan).decode()))


def read_ticks(session: Session) -> frozenset[str]:
    """Names of the pieces ticked off the cut list."""
    return frozenset(row.piece for row in rows_of(session, "tick"))
