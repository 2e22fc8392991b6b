"""What was answered to requests that may come again."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "2"
down_revision = "1"


def upgrade() -> None:
    """Make the table of what was answered."""
    texts = [sa.Column(name, sa.Text(), nullable=False) for name in ("who", "key", "job", "request")]
    op.create_table(
        "answered",
        *texts,
        sa.Column("status", sa.Integer(), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.Column("at", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("who", "key", name="pk_answered"),
        sqlite_strict=True,
    )
    op.create_index("ix_answered_job", "answered", ["job"])
    op.create_index("ix_answered_at", "answered", ["at"])
