"""Files on their way: sent whole or in pieces, in a folder of the server's that ends with it. Never opened here."""

from __future__ import annotations

import shutil
import tempfile
import threading
import time
from collections.abc import AsyncIterator, Callable
from hashlib import sha256
from pathlib import Path

from attrs import define, field

from standtrue.web.problems import RefusedError

MOST_BYTES = 40_000_000
"""A file that is larger is not taken."""

MOST_OPEN = 10
"""So many files may be on their way from one person."""

KEPT_S = 3600.0
"""A file to which nothing comes any more is let go after so long, seconds."""


@define(eq=False)
class Upload:
    """A file of which the first `received` bytes are here."""

    who: str
    key: str
    size: int
    file: Path
    at: float
    received: int = 0
    busy: bool = False


@define(eq=False)
class Uploads:
    """All of them."""

    clock: Callable[[], float] = time.monotonic
    _folder: Path | None = None
    _open: dict[tuple[str, str], Upload] = field(factory=dict)
    _lock: threading.Lock = field(factory=threading.Lock)
    _made: int = 0

    def known(self, who: str, key: str) -> Upload | None:
        """A file that somebody sends; None where it is not here, or no more."""
        with self._lock:
            return self._open.get((who, key))

    def find(self, who: str, key: str) -> Upload:
        """The same. Raises RefusedError for none."""
        found = self.known(who, key)
        if found is None:
            raise RefusedError("not-found")
        return found

    def begin(self, who: str, key: str, size: int) -> Upload:
        """The file that is sent under this key, new if it is not there. Raises RefusedError."""
        if size > MOST_BYTES:
            raise RefusedError("too-large")
        with self._lock:
            self._forget()
            found = self._open.get((who, key))
            if found is None:
                if sum(one.who == who for one in self._open.values()) >= MOST_OPEN:
                    raise RefusedError("slow-down", {"Retry-After": "60"})
                found = self._open[who, key] = Upload(who, key, size, self._new_file(), self.clock())
        if found.size != size:
            raise RefusedError("used-otherwise")
        return found

    def alone(self, who: str) -> Upload:
        """A file that comes whole with one request, and goes with it."""
        with self._lock:
            return Upload(who, "", MOST_BYTES, self._new_file(), self.clock())

    async def take(self, upload: Upload, offset: int, pieces: AsyncIterator[bytes]) -> None:
        """Write what comes behind the bytes that are here. Raises RefusedError where it is not the next piece."""
        if upload.busy or offset != upload.received:
            raise RefusedError("out-of-turn", received=upload.received)
        upload.busy = True
        try:
            with upload.file.open("r+b") as opened:
                opened.seek(offset)
                async for piece in pieces:
                    if upload.received + len(piece) > upload.size:
                        raise RefusedError("too-large")
                    opened.write(piece)
                    upload.received += len(piece)
        finally:
            upload.busy, upload.at = False, self.clock()

    def end(self, upload: Upload) -> None:
        """Let a file go."""
        with self._lock:
            self._open.pop((upload.who, upload.key), None)
        upload.file.unlink(missing_ok=True)

    def close(self) -> None:
        """Let all go."""
        if self._folder is not None:
            shutil.rmtree(self._folder, ignore_errors=True)

    def _forget(self) -> None:
        for key, one in list(self._open.items()):
            if self.clock() - one.at > KEPT_S and not one.busy:
                one.file.unlink(missing_ok=True)
                del self._open[key]

    def _new_file(self) -> Path:
        if self._folder is None:
            self._folder = Path(tempfile.mkdtemp(prefix="standtrue-"))
        self._made += 1
        file = self._folder / str(self._made)
        file.touch()
        return file


def digest_of(file: Path) -> bytes:
    """The SHA-256 of a file."""
    told = sha256()
    with file.open("rb") as opened:
        while piece := opened.read(1 << 20):
            told.update(piece)
    return told.digest()
