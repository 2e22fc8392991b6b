"""People, who of them is signed in, with which codes they sign up, and who came in."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "3"
down_revision = "2"


def upgrade() -> None:
    """Make the four tables."""
    _table("account", "key", "name", "role", "password", "pin", "made_at")
    of_account = sa.ForeignKeyConstraint(["account"], ["account.key"], name="fk_session_account")
    _table("session", "digest", "account", "begun_at", "seen_at", "ends_at", "address", more=(of_account,))
    op.create_index("ix_session_account", "session", ["account"])
    _table("code", "digest", "account", "ends_at", "used_at")
    op.create_table(
        "sign_in",
        sa.Column("number", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), autoincrement=False, nullable=False),
        *_texts("at", "what", "key", "name", "by", "address"),
        sa.PrimaryKeyConstraint("number", name="pk_sign_in"),
        sqlite_strict=True,
    )
    op.create_index("ix_sign_in_key", "sign_in", ["key"])
    op.create_index("ix_sign_in_address_at", "sign_in", ["address", "at"])


def _table(name: str, *columns: str, more: tuple[sa.ForeignKeyConstraint, ...] = ()) -> None:
    """A table of texts, the first of which is its key."""
    primary = sa.PrimaryKeyConstraint(columns[0], name=f"pk_{name}")
    op.create_table(name, *_texts(*columns), *more, primary, sqlite_strict=True)


def _texts(*names: str) -> list[sa.Column[str]]:
    return [sa.Column(name, sa.Text(), nullable=False) for name in names]
