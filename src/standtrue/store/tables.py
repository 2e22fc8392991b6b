"""Every table of a store. What changes here needs a migration (`store/migrations`): a test holds the two together.

Times are UTC in ISO 8601, digests SHA-256 in hexadecimal. In SQLite all tables are STRICT.
"""

from __future__ import annotations

from typing import Any

from sqlalchemy import BigInteger, Column, ForeignKey, Index, Integer, LargeBinary, MetaData, Table, Text

metadata = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "fk": "fk_%(table_name)s_%(column_0_N_name)s",
        "pk": "pk_%(table_name)s",
    }
)

Wide = BigInteger().with_variant(Integer(), "sqlite")
"""A whole number of 64 bits: what SQLite calls INTEGER."""


def _table(name: str, *columns: Any) -> Table:
    return Table(name, metadata, *columns, sqlite_strict=True)


document = _table(
    "document",
    Column("id", Wide, primary_key=True, autoincrement=False),
    Column("version", Integer, nullable=False),
)
"""A document: its latest version. What it is called and where it lies is said by that."""

document_version = _table(
    "document_version",
    Column("document", Wide, ForeignKey("document.id"), primary_key=True),
    Column("version", Integer, primary_key=True),
    Column("kind", Text, nullable=False),
    Column("name", Text, nullable=False),
    Column("path", Text, nullable=False),
    Column("salt", LargeBinary),
    Column("content", LargeBinary),
    Column("mark", Text, nullable=False),
    Column("digest", Text, nullable=False),
    Column("based_on", Integer, nullable=False),
    Column("saved_at", Text, nullable=False),
    Column("saved_by", Text, nullable=False),
    Column("program", Text, nullable=False),
    Column("seal", Text, nullable=False),
    Index(None, "kind", "name"),
)
"""A version of a document, from 1, never changed: its bytes as written (none, and no digest: it was removed by this).

`kind` and `name` are "" where they could not be told. `mark` is the digest of what the document says, by which answers
name it ("" where it could not be read). `digest` is that of salt, mark and content. `based_on` is the version that
whoever saved it had seen (0: none). `seal` is the digest of all that is told of it, and of the seal before it.
"""

attachment = _table(
    "attachment",
    Column("digest", Text, primary_key=True),
    Column("size", Wide, nullable=False),
    Column("salt", LargeBinary),
)
"""A file that belongs to a job, by the digest of its salt and its content. Without salt: its content was removed."""

attachment_piece = _table(
    "attachment_piece",
    Column("attachment", Text, ForeignKey("attachment.digest"), primary_key=True),
    Column("number", Integer, primary_key=True),
    Column("content", LargeBinary, nullable=False),
)
"""A file's content in pieces of 1 MB, from 0."""

entry = _table(
    "entry",
    Column("leaf", Wide, primary_key=True, autoincrement=False),
    Column("job", Text, nullable=False),
    Column("number", Integer, nullable=False),
    Column("kind", Text, nullable=False),
    Column("shape", Integer, nullable=False),
    Column("who", Text, nullable=False),
    Column("at", Text, nullable=False),
    Column("program", Text, nullable=False),
    Column("documents", Text, nullable=False),
    Column("attachments", Text, nullable=False),
    Column("salt", LargeBinary),
    Column("content", LargeBinary),
    Column("content_digest", Text, nullable=False),
    Column("previous", Text, nullable=False),
    Column("log", Text, nullable=False),
    Column("digest", Text, nullable=False),
    Index(None, "job", "number", unique=True),
)
"""An entry of the journal: `leaf` counts those of the shop, `number` those of the job, both from 0.

`shape` is the version of the shape of its content, `documents` a JSON list of what it rests on, `attachments` one of
the digests of the files that it brings, `previous` the digest of the job's entry before it, `log` the root of the log
before it. Without salt and content: they were removed, and their digest stayed.
"""

head = _table(
    "head",
    Column("size", Wide, primary_key=True, autoincrement=False),
    Column("root", Text, nullable=False),
    Column("peaks", Text, nullable=False),
    Column("at", Text, nullable=False),
)
"""The state of the log of all entries: how many there are, its Merkle root, and the roots of its full subtrees."""

sought = _table(
    "sought",
    Column("job", Text, primary_key=True),
    Column("order_number", Text, nullable=False),
    Column("plate", Text, nullable=False),
    Column("vehicle", Text, nullable=False),
    Column("words", Text, nullable=False),
    Column("entries", Integer, nullable=False),
    Column("first_at", Text, nullable=False),
    Column("last_at", Text, nullable=False),
)
"""By what a job with entries is found: derived from them, and digested by nothing."""

answered = _table(
    "answered",
    Column("who", Text, primary_key=True),
    Column("key", Text, primary_key=True),
    Column("job", Text, nullable=False),
    Column("request", Text, nullable=False),
    Column("status", Integer, nullable=False),
    Column("content", LargeBinary, nullable=False),
    Column("at", Text, nullable=False),
    Index(None, "job"),
    Index(None, "at"),
)
"""What was answered to a request that may come again, by who asked and a key that the request brought: `request` is the
digest of what was asked, `status` and `content` are the answer. It is kept for a while, and digested by nothing."""

setting = _table("setting", Column("name", Text, primary_key=True), Column("value", Text, nullable=False))
"""What the shop set for the store itself."""

account = _table(
    "account",
    Column("key", Text, primary_key=True),
    Column("name", Text, nullable=False),
    Column("role", Text, nullable=False),
    Column("password", Text, nullable=False),
    Column("pin", Text, nullable=False),
    Column("made_at", Text, nullable=False),
)
"""A person of the shop, by a key that is the same however the name is capitalized or spaced. `password` and `pin` are
hashes, "" where there is none yet."""

session = _table(
    "session",
    Column("digest", Text, primary_key=True),
    Column("account", Text, ForeignKey("account.key"), nullable=False),
    Column("begun_at", Text, nullable=False),
    Column("seen_at", Text, nullable=False),
    Column("ends_at", Text, nullable=False),
    Column("address", Text, nullable=False),
    Index(None, "account"),
)
"""Somebody who is signed in, by the digest of the number that the browser keeps."""

code = _table(
    "code",
    Column("digest", Text, primary_key=True),
    Column("account", Text, nullable=False),
    Column("ends_at", Text, nullable=False),
    Column("used_at", Text, nullable=False),
)
"""A code that somebody signs up with once, by its digest; `account` "": whoever has it becomes the first owner."""

sign_in = _table(
    "sign_in",
    Column("number", Wide, primary_key=True, autoincrement=False),
    Column("at", Text, nullable=False),
    Column("what", Text, nullable=False),
    Column("key", Text, nullable=False),
    Column("name", Text, nullable=False),
    Column("by", Text, nullable=False),
    Column("address", Text, nullable=False),
    Index(None, "key"),
    Index(None, "address", "at"),
)
"""Who came in, who tried to, and what was done to the accounts, from 0. `key` is the digest of an account's key, of a
name that nobody has, too; `name` is "" then, since people type passwords where names belong."""
