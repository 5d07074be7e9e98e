"""How narrow a piece and a gap of a board may be, and whether it may be cut face down."""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    for name in ("sliver_um", "hairline_um", "face_down"):
        op.add_column("item", sa.Column(name, sa.INTEGER(), nullable=True))
