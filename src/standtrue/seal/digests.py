"""The digests, each with a first byte of its own, so that what one means can never be taken for another.

SHA-256 (FIPS 180-4) throughout. 0x00 and 0x01 are the log's leaves and nodes (RFC 9162, section 2.1.1); the others are
ours. Contents are salted: once content and salt are deleted, nobody can tell by trying whether a guess was it.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable

LEAF, NODE, CONTENT, ENTRY, ATTACHMENT = b"\x00", b"\x01", b"\x10", b"\x11", b"\x12"
VERSION, SEAL = b"\x13", b"\x14"
"""Of a version of a document: its content, and all that is told of it."""


SALT_BYTES = 16
NOTHING = bytes(32)
"""Stands where the first entry of a job names the one before it."""


def sha256(*parts: bytes) -> bytes:
    """The digest of these bytes one behind the other, 32 bytes."""
    return hashlib.sha256(b"".join(parts)).digest()


def content_digest(salt: bytes, content: bytes) -> bytes:
    """The digest of what an entry holds. Raises ValueError for a salt of another length."""
    return sha256(CONTENT, _salt(salt), content)


def attachment_digest(salt: bytes, pieces: Iterable[bytes]) -> bytes:
    """The digest of a file given in pieces, however it is cut. Raises ValueError for a salt of another length."""
    found = hashlib.sha256(ATTACHMENT + _salt(salt))
    for piece in pieces:
        found.update(piece)
    return found.digest()


def _salt(salt: bytes) -> bytes:
    if len(salt) != SALT_BYTES:
        raise ValueError(f"a salt has {SALT_BYTES} bytes, not {len(salt)}")
    return salt
