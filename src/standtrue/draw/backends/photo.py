"""A photo on paper: what is in the file is looked at, and what says where and by what it was taken is left out.

JPEG (ITU-T T.81, annex B) and PNG (ISO/IEC 15948) only; anything else, or what is cut short, is refused. Of a JPEG all
application segments and comments go, but for the one way up that Exif tells; of a PNG all chunks but those that make
the picture.
"""

from __future__ import annotations

import base64
import struct
import zlib

from attrs import frozen

from standtrue.draw.backends.pdf import Picture
from standtrue.draw.backends.svg import n, xml

MOST_BYTES = 6 << 20
"""A larger file is not printed."""

MOST_PIXELS = 40_000_000

_PNG = b"\x89PNG\r\n\x1a\n"
_KEPT_CHUNKS = (b"IHDR", b"PLTE", b"tRNS", b"IDAT", b"IEND")
_SAMPLES = {0: 1, 2: 3, 3: 1, 4: 2, 6: 4}
"""By a PNG's color type, samples in a pixel."""

_TURNS = {3: 180, 6: 90, 8: 270}
"""By Exif's orientation, how far the picture is turned clockwise to stand upright, degrees; mirrored ones are left."""

_FRAMES = {*range(0xC0, 0xD0)} - {0xC4, 0xC8, 0xCC}
_APPLICATION = {*range(0xE1, 0xEE), 0xEF, 0xFE}
"""Segments that are left out: all applications' but the two that say how colors are coded (APP0, APP14); comments."""


@frozen
class Photo:
    """What is printed of a photo: its bytes, as `kind`, and its size in pixels as it lies in the file."""

    kind: str
    content: bytes
    width: int
    height: int
    turn: int = 0


def read_photo(content: bytes) -> Photo | None:
    """The photo in a file; None where there is none that can be printed."""
    if len(content) > MOST_BYTES:
        return None
    try:
        found = _png(content) if content.startswith(_PNG) else _jpeg(content)
    except (IndexError, ValueError, struct.error, zlib.error):
        return None
    if found is None or not 0 < found.width * found.height <= MOST_PIXELS:
        return None
    return found


def photo_picture(photo: Photo, wide_mm: float, high_mm: float, alternative: str) -> Picture:
    """The photo upright, as large as it gets within this size."""
    upright = photo.turn % 180 == 0
    w, h = (photo.width, photo.height) if upright else (photo.height, photo.width)
    k = min(wide_mm / w, high_mm / h)
    data = base64.b64encode(photo.content).decode()
    x, y = k * photo.width, k * photo.height
    shift = f"translate({n((k * w - x) / 2)} {n((k * h - y) / 2)}) rotate({photo.turn} {n(x / 2)} {n(y / 2)})"
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{n(k * w)}mm" height="{n(k * h)}mm" '
        f'viewBox="0 0 {n(k * w)} {n(k * h)}"><title>{xml(alternative)}</title>'
        f'<image transform="{shift}" width="{n(x)}" height="{n(y)}" preserveAspectRatio="none" '
        f'href="data:image/{photo.kind};base64,{data}"/></svg>'
    )
    return Picture(svg, alternative)


def _png(content: bytes) -> Photo | None:
    """A PNG without its texts and times. Every chunk's checksum and the length of its lines must be right."""
    at, kept, packed, header = len(_PNG), [_PNG], b"", b""
    while True:
        (size,) = struct.unpack_from(">I", content, at)
        whole = content[at : at + 12 + size]
        name, body = whole[4:8], whole[8 : 8 + size]
        if len(whole) != 12 + size or zlib.crc32(whole[4 : 8 + size]) != struct.unpack(">I", whole[-4:])[0]:
            return None
        header = body if name == b"IHDR" else header
        packed += body if name == b"IDAT" else b""
        if name in _KEPT_CHUNKS:
            kept.append(whole)
        at += len(whole)
        if name == b"IEND":
            break
    width, height, depth, color, _, _, interlaced = struct.unpack(">IIBBBBB", header)
    if not 0 < width * height <= MOST_PIXELS or interlaced:
        return None
    line = 1 + (width * depth * _SAMPLES.get(color, 0) + 7) // 8
    lines = zlib.decompressobj().decompress(packed, line * height + 1)
    return Photo("png", b"".join(kept), width, height) if len(lines) == line * height else None


def _jpeg(content: bytes) -> Photo | None:
    """A JPEG without its application segments and comments; None for what is not whole."""
    if not content.startswith(b"\xff\xd8"):
        return None
    at, kept, size, turn = 2, [content[:2]], (0, 0), 0
    while True:
        if content[at] != 0xFF:
            return None
        marker = content[at + 1]
        (length,) = struct.unpack_from(">H", content, at + 2)
        segment = content[at : at + 2 + length]
        if len(segment) != 2 + length:
            return None
        if marker in _FRAMES:
            high, wide = struct.unpack_from(">HH", segment, 5)
            size = (wide, high)
        if marker == 0xE1:
            turn = _turn(segment[4:]) or turn
        if marker not in _APPLICATION:
            kept.append(segment)
        at += len(segment)
        if marker == 0xDA:
            break
    end = content.rfind(b"\xff\xd9")
    if end < at or 0 in size:
        return None
    return Photo("jpeg", b"".join((*kept, content[at : end + 2])), *size, turn)


def _turn(exif: bytes) -> int:
    """The turn that Exif tells in its first directory (tag 0x0112); 0 for none."""
    if not exif.startswith(b"Exif\0\0"):
        return 0
    tiff = exif[6:]
    order = {b"II": "<", b"MM": ">"}.get(tiff[:2])
    if order is None:
        return 0
    (first,) = struct.unpack_from(f"{order}I", tiff, 4)
    (count,) = struct.unpack_from(f"{order}H", tiff, first)
    for i in range(count):
        tag, _, _, value = struct.unpack_from(f"{order}HHIH", tiff, first + 2 + 12 * i)
        if tag == 0x0112:
            return _TURNS.get(value, 0)
    return 0
