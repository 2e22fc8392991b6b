"""What a file is, by its first bytes: what it is called, and who sends it, is never believed."""

from __future__ import annotations

import struct
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any, BinaryIO

MOST_PIXELS = 100_000_000
"""A picture that says it is larger is not taken as a photo: it is small in its file and fills a tablet's memory."""

FIRST = 32
"""By so many bytes a kind is told."""

MOST_PARTS = 4096
"""A picture of more parts before its first line is not taken as a photo: nobody's camera writes one."""

_PNG = b"\x89PNG\r\n\x1a\n"
_SIGNS = (
    (_PNG, "image/png"),  # ISO/IEC 15948, 5.2
    (b"\xff\xd8\xff", "image/jpeg"),  # ITU-T T.81, B.1.1.3
    (b"%PDF-", "application/pdf"),  # ISO 32000-1, 7.5.2
)
OTHER = "application/octet-stream"


def kind_of(first: bytes) -> str:
    """The media type of a file by its first bytes; `OTHER` for all that a browser might run, too."""
    if first[:4] == b"RIFF" and first[8:12] == b"WEBP":  # RFC 9649, 2.4
        return "image/webp"
    return next((kind for sign, kind in _SIGNS if first.startswith(sign)), OTHER)


def is_photo(file: Path) -> bool:
    """Whether a file is a photo, and of no more pixels than anybody can show: by what its parts say, none unpacked.

    Of several sizes that it says the largest counts. One that says none, or breaks off before it, is no photo.
    """
    with file.open("rb") as opened:
        sizes = _SIZES.get(kind_of(opened.read(FIRST)))
        found: list[tuple[int, int]] = []
        opened.seek(0)
        with suppress(struct.error):  # it breaks off
            found.extend(() if sizes is None else sizes(opened))
    return bool(found) and all(0 < wide * high <= MOST_PIXELS for wide, high in found)


def _png_sizes(file: BinaryIO) -> Iterator[tuple[int, int]]:
    """ISO/IEC 15948, 11.2.2: the first chunk says the size."""
    length, name, wide, high = _read(file, ">8xI4sII")
    if (length, name) == (13, b"IHDR"):
        yield wide, high


def _jpeg_sizes(file: BinaryIO) -> Iterator[tuple[int, int]]:
    """ITU-T T.81, B.2.2: each frame's header says a size; before the first scan there is one at least."""
    file.seek(2)
    for _ in range(MOST_PARTS):
        sign, marker = _read(file, ">BB")
        if sign == marker == 0xFF:  # some of these may stand before a marker (B.1.1.2)
            file.seek(-1, 1)
            continue
        if sign == 0xFF and marker == _SCAN:
            return
        (length,) = _read(file, ">H")
        if marker in _FRAMES:
            _, high, wide = _read(file, ">BHH")
            yield wide, high
            length -= 5
        if sign != 0xFF or length < 2:
            break
        file.seek(length - 2, 1)
    yield _NONE


def _webp_sizes(file: BinaryIO) -> Iterator[tuple[int, int]]:
    """RFC 9649, 2.5 to 2.7: the canvas says a size, and so does each picture on it."""
    file.seek(12)
    for _ in range(MOST_PARTS):
        begins = file.read(8)
        if len(begins) < 8:
            return
        name, length = struct.unpack("<4sI", begins)
        begun = file.tell()
        if name == b"VP8X":
            _, wide, high = (int.from_bytes(part, "little") for part in _read(file, "<4s3s3s"))
            yield wide + 1, high + 1
        elif name == b"VP8 ":
            sign, wide, high = _read(file, "<3x3sHH")  # RFC 6386, 9.1
            yield (wide & 0x3FFF, high & 0x3FFF) if sign == b"\x9d\x01\x2a" else _NONE
        elif name == b"VP8L":
            sign, bits = _read(file, "<BI")
            yield ((bits & 0x3FFF) + 1, (bits >> 14 & 0x3FFF) + 1) if sign == 0x2F else _NONE
        file.seek(begun + length + length % 2)
    yield _NONE


def _read(file: BinaryIO, form: str) -> tuple[Any, ...]:
    """Numbers as they lie in a file. Raises struct.error where it breaks off."""
    return struct.unpack(form, file.read(struct.calcsize(form)))


_FRAMES = frozenset({*range(0xC0, 0xD0)} - {0xC4, 0xC8, 0xCC})
_SCAN = 0xDA
_NONE = (0, 0)
"""What is written otherwise than its standard says has no size."""

_SIZES = {"image/png": _png_sizes, "image/jpeg": _jpeg_sizes, "image/webp": _webp_sizes}
