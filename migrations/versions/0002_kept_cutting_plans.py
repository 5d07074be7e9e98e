"""Cutting plans that are kept, what is cut of them, and offcuts that wait as a named piece."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "kept_plan",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("made", sa.Text(), nullable=False),
        sa.Column("seconds", sa.REAL(), nullable=False),
        sa.Column("seed", sa.Integer(), nullable=False),
        sa.Column("plan", sa.Text(), nullable=False),
        sa.CheckConstraint("seconds >= 0", name=op.f("ck_kept_plan_seconds")),
        sa.CheckConstraint("plan IS NULL OR json_valid(plan)", name=op.f("ck_kept_plan_plan_json")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_kept_plan")),
        sqlite_strict=True,
    )
    op.create_table(
        "tick",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("piece", sa.Text(), nullable=False),
        sa.Column("at", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_tick")),
        sa.UniqueConstraint("piece", name=op.f("uq_tick_piece")),
        sqlite_strict=True,
    )
    op.create_table(
        "miscut",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("bay_id", sa.Integer(), nullable=False),
        sa.Column("item_id", sa.Integer(), nullable=False),
        sa.Column("piece", sa.Text(), nullable=False),
        sa.Column("size", sa.REAL(), nullable=False),
        sa.Column("on_date", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.CheckConstraint("size > 0", name=op.f("ck_miscut_size")),
        sa.ForeignKeyConstraint(["bay_id"], ["bay.id"], name=op.f("fk_miscut_bay_id")),
        sa.ForeignKeyConstraint(["item_id"], ["item.id"], name=op.f("fk_miscut_item_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_miscut")),
        sqlite_strict=True,
    )
    op.add_column("offcut", sa.Column("piece", sa.Text(), nullable=True))
    op.create_index(op.f("ix_miscut_bay_id"), "miscut", ["bay_id"])
