"""The first schema."""

from __future__ import annotations

from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "1"
down_revision = None

WIDE = sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def _table(name: str, *columns: Any) -> None:
    op.create_table(name, *columns, sqlite_strict=True)


def _text(name: str) -> sa.Column[str]:
    return sa.Column(name, sa.Text(), nullable=False)


def _number(name: str) -> sa.Column[int]:
    return sa.Column(name, sa.Integer(), nullable=False)


def _bytes(name: str) -> sa.Column[bytes]:
    return sa.Column(name, sa.LargeBinary(), nullable=True)


def upgrade() -> None:
    """Make every table."""
    _documents()
    _attachments()
    _journal()
    _table("setting", _text("name"), _text("value"), sa.PrimaryKeyConstraint("name", name="pk_setting"))


def _documents() -> None:
    _table(
        "document",
        sa.Column("id", WIDE, autoincrement=False, nullable=False),
        _number("version"),
        sa.PrimaryKeyConstraint("id", name="pk_document"),
    )
    _table(
        "document_version",
        sa.Column("document", WIDE, nullable=False),
        *(_number("version"), _text("kind"), _text("name"), _text("path"), _bytes("salt"), _bytes("content")),
        *(
            _text("mark"),
            _text("digest"),
            _number("based_on"),
            _text("saved_at"),
            _text("saved_by"),
            _text("program"),
            _text("seal"),
        ),
        sa.ForeignKeyConstraint(["document"], ["document.id"], name="fk_document_version_document"),
        sa.PrimaryKeyConstraint("document", "version", name="pk_document_version"),
    )
    op.create_index("ix_document_version_kind_name", "document_version", ["kind", "name"])


def _attachments() -> None:
    _table(
        "attachment",
        *(_text("digest"), sa.Column("size", WIDE, nullable=False), _bytes("salt")),
        sa.PrimaryKeyConstraint("digest", name="pk_attachment"),
    )
    _table(
        "attachment_piece",
        *(_text("attachment"), _number("number"), sa.Column("content", sa.LargeBinary(), nullable=False)),
        sa.ForeignKeyConstraint(["attachment"], ["attachment.digest"], name="fk_attachment_piece_attachment"),
        sa.PrimaryKeyConstraint("attachment", "number", name="pk_attachment_piece"),
    )


def _journal() -> None:
    _table(
        "entry",
        sa.Column("leaf", WIDE, autoincrement=False, nullable=False),
        *(_text("job"), _number("number"), _text("kind"), _number("shape"), _text("who"), _text("at")),
        *(_text("program"), _text("documents"), _text("attachments"), _bytes("salt"), _bytes("content")),
        *(_text("content_digest"), _text("previous"), _text("log"), _text("digest")),
        sa.PrimaryKeyConstraint("leaf", name="pk_entry"),
    )
    op.create_index("ix_entry_job_number", "entry", ["job", "number"], unique=True)
    _table(
        "head",
        *(sa.Column("size", WIDE, autoincrement=False, nullable=False), _text("root"), _text("peaks"), _text("at")),
        sa.PrimaryKeyConstraint("size", name="pk_head"),
    )
    _table(
        "sought",
        *(_text("job"), _text("order_number"), _text("plate"), _text("vehicle"), _text("words"), _number("entries")),
        *(_text("first_at"), _text("last_at")),
        sa.PrimaryKeyConstraint("job", name="pk_sought"),
    )
