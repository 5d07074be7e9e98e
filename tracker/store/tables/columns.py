"""Column kinds that SQLite's strict tables know, and one naming rule for constraints."""

from typing import Any

import sqlalchemy as sa
from sqlmodel import Field, SQLModel

SQLModel.metadata.naming_convention = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s",
    "pk": "pk_%(table_name)s",
}

STRICT: dict[str, Any] = {"sqlite_strict": True}


def key() -> Any:
    """The primary key."""
    return Field(default=None, primary_key=True, sa_type=sa.Integer)


def text(default: Any = ..., *, unique: bool = False) -> Any:
    return Field(default=default, sa_type=sa.Text, unique=unique, nullable=default is None)


def whole(default: Any = ..., *, index: bool = False) -> Any:
    return Field(default=default, sa_type=sa.Integer, nullable=default is None, index=index)


def real(default: Any = ...) -> Any:
    return Field(default=default, sa_type=sa.REAL, nullable=default is None)


def link(table: str, default: Any = ..., *, index: bool = False) -> Any:
    """A reference to another table's row."""
    return Field(default=default, sa_type=sa.Integer, foreign_key=f"{table}.id", nullable=default is None, index=index)


def check(name: str, rule: str) -> sa.CheckConstraint:
    return sa.CheckConstraint(rule, name=name)


def one_of(column: str, *values: str) -> sa.CheckConstraint:
    listed = ", ".join(f"'{value}'" for value in values)
    return sa.CheckConstraint(f"{column} IN ({listed})", name=f"{column}_known")


def is_json(column: str) -> sa.CheckConstraint:
    return sa.CheckConstraint(f"{column} IS NULL OR json_valid({column})", name=f"{column}_json")
