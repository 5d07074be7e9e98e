"""Half-typed entries and the running clock, so that neither is lost with the program."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "draft",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("form", sa.Text(), nullable=False),
        sa.Column("fields", sa.Text(), nullable=False),
        sa.Column("saved", sa.Text(), nullable=False),
        sa.CheckConstraint("fields IS NULL OR json_valid(fields)", name=op.f("ck_draft_fields_json")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_draft")),
        sa.UniqueConstraint("form", name=op.f("uq_draft_form")),
        sqlite_strict=True,
    )
    op.create_table(
        "clock",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("started", sa.Text(), nullable=True),
        sa.Column("banked_s", sa.Integer(), nullable=False),
        sa.Column("target", sa.Text(), nullable=False),
        sa.Column("step", sa.Text(), nullable=False),
        sa.CheckConstraint("id = 1", name=op.f("ck_clock_single")),
        sa.CheckConstraint("banked_s >= 0", name=op.f("ck_clock_banked")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_clock")),
        sqlite_strict=True,
    )
