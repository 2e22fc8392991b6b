"""Documents, version by version, never overwritten. A save names the version it was based on; a stale one is refused.

What is sealed: a version's bytes, where it lay, what it was called, who saved it, when, by which program, on which
version it was based, and all versions of that document before it. A seal is no signature: who may write the whole store
can write other seals. The journal, and its head in another hand, say whether that happened.
"""

from __future__ import annotations

import secrets
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import PurePosixPath

from attrs import evolve, field, frozen
from sqlalchemy import Connection, and_, func, insert, select, update

from standtrue.model.basics import Fault, UnansweredError
from standtrue.model.reason import Reason, because
from standtrue.seal.canonical import canonical
from standtrue.seal.digests import SALT_BYTES, SEAL, VERSION, sha256
from standtrue.store.tables import document, document_version, setting


@frozen
class Version:
    """A version of a document as it is kept. `content` is None where the document was removed by it.

    `kind` and `name` are "" where they could not be told, and `mark` where the document could not be read. Salt,
    content and mark can be taken away later, for a customer's sake: `digest` stays, and the seal still holds.
    """

    document: int
    version: int
    kind: str
    name: str
    path: str
    salt: bytes | None
    content: bytes | None
    mark: str
    digest: str
    based_on: int
    saved_at: str
    saved_by: str
    program: str
    seal: str


@frozen
class Draft:
    """What is to be saved: of a document that is there, or (None) a new one. `based_on` 0: its writer saw none."""

    document: int | None
    based_on: int
    kind: str
    name: str
    path: str
    content: bytes | None
    mark: str


@frozen
class Saving:
    """Who saves, when (UTC, ISO 8601), and by which program; and where salt comes from."""

    by: str
    at: str
    program: str
    salt: Callable[[], bytes] = field(default=partial(secrets.token_bytes, SALT_BYTES), repr=False)


class StaleError(Exception):
    """A save was based on another version than the latest: `draft` is what was to be saved, `latest` what is there."""

    def __init__(self, draft: Draft, latest: Version) -> None:
        super().__init__(f"based on {draft.based_on}, latest {latest.version}")
        self.draft, self.latest = draft, latest


def save(connection: Connection, draft: Draft, saving: Saving) -> Version:
    """Keep a version, within the writer's transaction. Raises StaleError, and UnansweredError for a path that leads out
    of the shop's folder."""
    if not _is_inside(draft.path):
        what, remedy = because("path-leads-out"), because("name-path-inside")
        raise UnansweredError([Fault("unwritable", what, draft.path, "", "", remedy)])
    before = None if draft.document is None else _latest(connection, draft.document)
    if before is not None and before.version != draft.based_on:
        raise StaleError(draft, before)
    number = _next_document(connection) if before is None else before.document
    made = _sealed(draft, saving, number, before)
    if before is None:
        connection.execute(insert(document).values(id=number, version=made.version))
    else:
        connection.execute(update(document).where(document.c.id == number).values(version=made.version))
    connection.execute(insert(document_version).values(_row(made)))
    return made


def identity(connection: Connection) -> str:
    """By what this store is told from every other; "" before anything was saved in it."""
    return connection.execute(select(setting.c.value).where(setting.c.name == IDENTITY)).scalar() or ""


def identified(connection: Connection, saving: Saving) -> str:
    """The store's identity, made if it has none, within the writer's transaction."""
    found = identity(connection)
    if not found:
        found = saving.salt().hex()
        connection.execute(insert(setting).values(name=IDENTITY, value=found))
    return found


def revision(connection: Connection) -> int:
    """How many versions of documents were ever saved: by it one sees that another was."""
    return connection.execute(select(func.count()).select_from(document_version)).scalar() or 0


def latest_versions(connection: Connection) -> tuple[Version, ...]:
    """The latest version of every document, removed ones too, in the order of their paths.

    Raises UnansweredError where bytes are no longer those that were saved.
    """
    found = connection.execute(_LATEST.order_by(document_version.c.path, document_version.c.document)).all()
    versions = tuple(Version(*row) for row in found)
    altered = [_altered(one) for one in versions if not _is_whole(one)]
    if altered:
        raise UnansweredError(altered)
    return versions


def called(connection: Connection, kind: str, name: str) -> Version | None:
    """The latest version of the document of this kind and name; of a removed one, if there is no other."""
    query = _LATEST.where(document_version.c.kind == kind, document_version.c.name == name)
    found = [Version(*row) for row in connection.execute(query.order_by(document_version.c.document))]
    return max(found, key=lambda one: (one.content is not None, one.document), default=None)


def lies_at(connection: Connection, path: str) -> Version | None:
    """The document that lies at a path."""
    query = _LATEST.where(document_version.c.path == path, document_version.c.content.is_not(None))
    row = connection.execute(query).first()
    return None if row is None else Version(*row)


def history(connection: Connection, kind: str | None = None, name: str | None = None) -> tuple[Version, ...]:
    """Every version of the documents that ever had this kind and name, in the order in which they were saved."""
    columns = document_version.c
    asked = [column == said for column, said in ((columns.kind, kind), (columns.name, name)) if said is not None]
    called = select(columns.document).where(and_(True, *asked))
    query = select(document_version).where(columns.document.in_(called))
    return tuple(Version(*row) for row in connection.execute(query.order_by(columns.saved_at, *_IN_ORDER)))


def wrong_with(connection: Connection) -> Iterator[Reason]:
    """Whatever is not as it was saved: bytes, or what is told of them; a version that is gone, or out of turn."""
    heads = {row.id: row.version for row in connection.execute(select(document))}
    before: Version | None = None
    for row in connection.execute(select(document_version).order_by(*_IN_ORDER)):
        one = Version(*row)
        if before is None or before.document != one.document:
            yield from _ends(before, heads)
            before = None
        expected = 1 if before is None else before.version + 1
        if one.version != expected:
            yield because("version-lost", document=_called(one), version=expected)
        elif not _is_whole(one) or not _is_sealed(one, "" if before is None else before.seal):
            yield _altered(one).what
        before = one
    yield from _ends(before, heads)
    for number in heads:
        yield because("document-lost", number=number)


def digest_of(salt: bytes, mark: str, content: bytes) -> str:
    """The digest of a document's bytes and its mark, salted, so that none can be guessed once they are gone."""
    told = mark.encode()
    return sha256(VERSION, salt, bytes([len(told)]), told, content).hex()


def seal_of(one: Version, before: str) -> str:
    """The seal of a version behind one with the seal `before` ("": it is the first)."""
    told = [before, one.document, one.version, one.kind, one.name, one.path, one.digest, one.based_on]
    return sha256(SEAL, canonical([*told, one.saved_at, one.saved_by, one.program])).hex()


IDENTITY = "identity"

_IN_ORDER = (document_version.c.document, document_version.c.version)

_LATEST = select(document_version).join(
    document,
    and_(document.c.id == document_version.c.document, document.c.version == document_version.c.version),
)


def _latest(connection: Connection, number: int) -> Version | None:
    row = connection.execute(_LATEST.where(document.c.id == number)).first()
    return None if row is None else Version(*row)


def _next_document(connection: Connection) -> int:
    return int(connection.execute(select(func.coalesce(func.max(document.c.id), 0))).scalar_one()) + 1


def _sealed(draft: Draft, saving: Saving, number: int, before: Version | None) -> Version:
    content, salt = draft.content, None if draft.content is None else saving.salt()
    made = Version(
        document=number,
        version=1 if before is None else before.version + 1,
        kind=_storable(draft.kind),
        name=_storable(draft.name),
        path=draft.path,
        salt=salt,
        content=content,
        mark=draft.mark,
        digest="" if content is None or salt is None else digest_of(salt, draft.mark, content),
        based_on=draft.based_on,
        saved_at=saving.at,
        saved_by=_storable(saving.by),
        program=saving.program,
        seal="",
    )
    return evolve(made, seal=seal_of(made, "" if before is None else before.seal))


def _row(one: Version) -> dict[str, object]:
    return {column.name: getattr(one, column.name) for column in document_version.columns}


def _storable(text: str) -> str:
    """A text that any database takes: a document with a fault may call itself by half a character, or by none."""
    return text.replace("\0", "\N{REPLACEMENT CHARACTER}").encode("utf-8", "replace").decode()


def _is_inside(path: str) -> bool:
    parts = PurePosixPath(path)
    return path == parts.as_posix() and path != "." and not parts.is_absolute() and ".." not in parts.parts


def _is_whole(one: Version) -> bool:
    """Whether what is there of a version is what was saved; what was taken away counts as whole."""
    if one.salt is None or one.content is None:
        return one.salt is None and one.content is None
    try:
        return one.digest == digest_of(one.salt, one.mark, one.content)
    except UnicodeEncodeError:  # bytes that were no text any more
        return False


def _is_sealed(one: Version, before: str) -> bool:
    """Whether a version is behind the one with this seal, and all that is told of it as it was."""
    try:
        return one.seal == seal_of(one, before)
    except UnicodeEncodeError:
        return False


def _called(one: Version) -> str:
    return f"{one.kind}/{one.name}" if one.kind and one.name else one.path


def _altered(one: Version) -> Fault:
    what = because("version-altered", document=_called(one), version=one.version)
    return Fault("store-damaged", what, one.path, "", "", because("restore-from-backup"))


def _ends(last: Version | None, heads: dict[int, int]) -> Iterator[Reason]:
    """What is wrong where the versions of a document end: the document should say the last one."""
    if last is not None and heads.pop(last.document, None) != last.version:
        yield because("version-lost", document=_called(last), version=last.version + 1)
