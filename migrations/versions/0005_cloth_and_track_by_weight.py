"""The flow resistance of a cloth, and what cloth and track weigh."""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("item", sa.Column("flow_resistance_pa_s_m", sa.REAL(), nullable=True))
    op.add_column("item", sa.Column("weight_kg", sa.REAL(), nullable=True))
