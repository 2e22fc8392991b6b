"""One entry of the record: what is said of it, its digest, and how it is chained.

An entry's digest is over its header, a canonical JSON object of all that is said of the entry, the digest of its
content among it. It names the entry before it of the same job (the job's chain) and the root of the shop's log as it
was before it, so that an entry that was changed with all its digests is told by the very next one.
"""

from __future__ import annotations

from collections.abc import Sequence
from json.encoder import encode_basestring

from attrs import frozen

from standtrue.seal.canonical import canonical
from standtrue.seal.digests import ENTRY, content_digest, sha256


@frozen
class Mark:
    """A document that an entry rests on. `version` counts from 1; 0: read from a file, not from the store.

    Its digest stands in the entry's content, which is salted: what is left of an entry that was removed tells nobody
    whether a guess of the document was it.
    """

    kind: str
    name: str
    version: int


@frozen
class Entry:
    """All that is said of an entry, but for its content.

    `index` counts over the shop from 0, `number` over the job from 0; `documents` and `attachments` are canonical JSON
    texts, as they are digested: lists of `Mark`s and of hex digests. `before` is the digest of the job's entry before
    it, `log` the root of the shop's log before it. `shape` is the version of the shape that `kind`'s content has.
    """

    index: int
    job: str
    number: int
    kind: str
    shape: int
    who: str
    at: str
    program: str
    documents: str
    attachments: str
    content: bytes
    before: bytes
    log: bytes

    @property
    def header(self) -> bytes:
        """The bytes that are digested. The lists stand in them as they are kept, to the byte."""
        parts = (
            ("at", _text(self.at)),
            ("attachments", self.attachments.encode("utf-8", "surrogatepass")),
            ("before", b'"%s"' % self.before.hex().encode()),
            ("content", b'"%s"' % self.content.hex().encode()),
            ("documents", self.documents.encode("utf-8", "surrogatepass")),
            ("index", b"%d" % self.index),
            ("job", _text(self.job)),
            ("kind", _text(self.kind)),
            ("log", b'"%s"' % self.log.hex().encode()),
            ("number", b"%d" % self.number),
            ("program", _text(self.program)),
            ("shape", b"%d" % self.shape),
            ("who", _text(self.who)),
        )
        return b"{%s}" % b",".join(b'"%s":%s' % (name.encode(), told) for name, told in parts)

    @property
    def digest(self) -> bytes:
        """The entry's digest, which is what the log has as its leaf."""
        return sha256(ENTRY, self.header)


@frozen
class Kept:
    """An entry as it is kept: with the digest that was kept with it, its salt and its content.

    Salt and content are None together where the content was removed by the shop's rule.
    """

    entry: Entry
    digest: bytes
    salt: bytes | None
    content: bytes | None

    @property
    def whole(self) -> bool:
        """Whether the content is what the entry says, or was removed with its salt."""
        if self.content is None or self.salt is None:
            return self.content is None and self.salt is None
        try:
            return content_digest(self.salt, self.content) == self.entry.content
        except ValueError:
            return False


def _text(text: str) -> bytes:
    """A text as canonical JSON; this way as a store of 100,000 entries is proven by it."""
    return encode_basestring(text).encode("utf-8")


def sealed(entry: Entry, salt: bytes, content: bytes) -> Kept:
    """The entry with its digest. Raises ValueError where its content is another than it says."""
    kept = Kept(entry, entry.digest, salt, content)
    if not kept.whole:
        raise ValueError("the entry says another content")
    return kept


def listed(marks: Sequence[Mark]) -> str:
    """Documents as an entry keeps them: in the order given, as canonical JSON."""
    return canonical([{"kind": m.kind, "name": m.name, "version": m.version} for m in marks]).decode("utf-8")
