"""Standard output and standard error that never end the program: whoever reads may have gone, or lack a sign.

Signs that the encoding lacks are written plainly. What cannot be written, because the device is full, is kept to be
told at the end; a pipe that was closed, as by `head`, is no fault: the answer's files and exit status stay the same.
"""

from __future__ import annotations

import io
import os
import sys
from contextlib import suppress
from typing import Any, TextIO

from standtrue.show.words.plain import ERRORS


class _Device(io.FileIO):
    """A stream of the system; what goes wrong in writing is kept, and nothing is written after it."""

    fault: OSError | None = None

    def write(self, data: Any) -> int:
        """Write, or keep why it cannot be."""
        size = memoryview(data).nbytes
        if self.fault is not None:
            return size
        try:
            return super().write(data) or 0
        except OSError as error:
            self.fault = error
            return size


class Streams:
    """Both streams while the program runs."""

    def __init__(self) -> None:
        self.devices: list[_Device] = []
        self.before = (sys.stdout, sys.stderr)
        sys.stdout, sys.stderr = self._made(sys.stdout, sys.__stdout__), self._made(sys.stderr, sys.__stderr__)

    def _made(self, stream: TextIO | None, systems: TextIO | None) -> TextIO:
        """The stream made safe; one that somebody put in the system's place stays as it is."""
        if stream is None:
            return open(os.devnull, "w", encoding="utf-8")
        if stream is not systems:
            return stream
        with suppress(OSError):
            stream.flush()
        device = _Device(stream.fileno(), "w", closefd=False)
        self.devices.append(device)
        at_once = device.isatty() or stream is sys.__stderr__
        return io.TextIOWrapper(io.BufferedWriter(device), stream.encoding, ERRORS, line_buffering=at_once)

    def end(self) -> OSError | None:
        """Write what is left, and give the streams back; why standard output could not be written, if it is full."""
        for stream, before in zip((sys.stdout, sys.stderr), self.before, strict=True):
            if stream is not before:
                with suppress(OSError, ValueError):
                    stream.close()
        sys.stdout, sys.stderr = self.before
        faults = [device.fault for device in self.devices if device.fault is not None]
        return next((fault for fault in faults if not isinstance(fault, BrokenPipeError)), None)
