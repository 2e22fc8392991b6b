"""Pictures as their standards write them: only what says their size is true, as with whoever wants to fill a memory."""

from __future__ import annotations

import struct
import zlib


def png(width: int, height: int, lines: bytes = zlib.compress(b"\0\0")) -> bytes:
    """ISO/IEC 15948."""

    def chunk(name: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))

    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", lines) + chunk(b"IEND", b"")


def jpeg(*sizes: tuple[int, int], thumbnail: bytes = b"") -> bytes:
    """ITU-T T.81, annex B: a frame for each size, baseline and progressive, behind what a camera says of itself."""

    def segment(marker: int, body: bytes) -> bytes:
        return struct.pack(">BBH", 0xFF, marker, len(body) + 2) + body

    frames = (
        segment(0xC0 + 2 * (number % 2), struct.pack(">BHHB", 8, high, wide, 1) + b"\x01\x11\x00")
        for number, (wide, high) in enumerate(sizes)
    )
    camera = segment(0xE1, b"Exif\0\0" + thumbnail)
    scan = segment(0xDA, b"\x01\x01\x00\x00\x3f\x00")
    return b"\xff\xd8" + camera + b"\xff" * 3 + b"".join(frames) + scan + b"\0\xff\xd9"


def webp(form: str, wide: int, high: int) -> bytes:
    """RFC 9649: a canvas (2.7), a lossy picture (RFC 6386, 9.1), or one without loss (3.4)."""
    told = {
        "VP8X": bytes(4) + (wide - 1).to_bytes(3, "little") + (high - 1).to_bytes(3, "little"),
        "VP8 ": b"\x10\0\0\x9d\x01\x2a" + struct.pack("<HH", wide, high),
        "VP8L": b"\x2f" + struct.pack("<I", (wide - 1) | (high - 1) << 14),
    }[form]
    chunk = form.encode() + struct.pack("<I", len(told)) + told + bytes(len(told) % 2)
    return b"RIFF" + struct.pack("<I", 4 + len(chunk)) + b"WEBP" + chunk
