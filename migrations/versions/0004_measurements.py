"""Decay times measured in a room, typed in or read from recordings, and the signals written for them."""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "signal",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("written", sa.Text(), nullable=False),
        sa.Column("path", sa.Text(), nullable=False),
        sa.Column("sha256", sa.Text(), nullable=False),
        sa.Column("settings", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_signal")),
        sqlite_strict=True,
    )
    op.create_table(
        "measurement",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("room_id", sa.Integer(), nullable=False),
        sa.Column("phase_id", sa.Integer(), nullable=True),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("source", sa.Text(), nullable=False),
        sa.Column("on_date", sa.Text(), nullable=False),
        sa.Column("temperature_c", sa.REAL(), nullable=False),
        sa.Column("humidity_pct", sa.REAL(), nullable=False),
        sa.Column("positions", sa.Integer(), nullable=False),
        sa.Column("decay", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.CheckConstraint("source IN ('typed', 'sweep')", name=op.f("ck_measurement_source_known")),
        sa.CheckConstraint("positions > 0", name=op.f("ck_measurement_positions")),
        sa.CheckConstraint("humidity_pct >= 0 AND humidity_pct <= 100", name=op.f("ck_measurement_humidity")),
        sa.CheckConstraint("decay IS NULL OR json_valid(decay)", name=op.f("ck_measurement_decay_json")),
        sa.ForeignKeyConstraint(["room_id"], ["room.id"], name=op.f("fk_measurement_room_id")),
        sa.ForeignKeyConstraint(["phase_id"], ["phase.id"], name=op.f("fk_measurement_phase_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_measurement")),
        sa.UniqueConstraint("room_id", "name", name=op.f("uq_measurement_room_id_name")),
        sqlite_strict=True,
    )
    op.create_table(
        "recording",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("measurement_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("path", sa.Text(), nullable=False),
        sa.Column("sha256", sa.Text(), nullable=False),
        sa.Column("settings", sa.Text(), nullable=False),
        sa.Column("analysis", sa.Text(), nullable=False),
        sa.CheckConstraint("position > 0", name=op.f("ck_recording_position")),
        sa.CheckConstraint("analysis IS NULL OR json_valid(analysis)", name=op.f("ck_recording_analysis_json")),
        sa.ForeignKeyConstraint(["measurement_id"], ["measurement.id"], name=op.f("fk_recording_measurement_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_recording")),
        sa.UniqueConstraint("measurement_id", "position", name=op.f("uq_recording_measurement_id_position")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_recording_measurement_id"), "recording", ["measurement_id"])
