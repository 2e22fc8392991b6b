"""What a file is, by its first bytes: what it is called, and who sends it, is never believed."""

from __future__ import annotations

import struct

MOST_PIXELS = 100_000_000
"""A picture that says it is larger is not taken as a photo: it is small in its file and fills a tablet's memory."""

FIRST = 32
"""So many bytes are looked at."""

_PNG = b"\x89PNG\r\n\x1a\n"
_SIGNS = (
    (0, _PNG, "image/png"),  # ISO/IEC 15948, 5.2
    (0, b"\xff\xd8\xff", "image/jpeg"),  # ITU-T T.81, B.1.1.3
    (8, b"WEBP", "image/webp"),  # RFC 9649, 2.4
    (0, b"%PDF-", "application/pdf"),  # ISO 32000-1, 7.5.2
)
OTHER = "application/octet-stream"
PHOTOS = frozenset({"image/png", "image/jpeg", "image/webp"})


def kind_of(first: bytes) -> str:
    """The media type of a file by its first bytes; `OTHER` for all that a browser might run, too."""
    return next((kind for at, sign, kind in _SIGNS if first[at : at + len(sign)] == sign), OTHER)


def is_photo(first: bytes) -> bool:
    """Whether a file is a photo, and of no more pixels than anybody can show."""
    kind = kind_of(first)
    if kind != "image/png":
        return kind in PHOTOS
    if len(first) < 24:
        return False
    width, height = struct.unpack(">II", first[16:24])
    return 0 < int(width) * int(height) <= MOST_PIXELS
