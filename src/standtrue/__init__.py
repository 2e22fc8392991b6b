"""Standtrue: what must be calibrated on a car, and where in the shop it can stand for it."""

from __future__ import annotations

import hashlib
import os
from pathlib import Path


def _kernel_sources(here: Path) -> list[Path]:
    """Every file that holds a compiled function: those in the folders named `kernels`, and those of `plane`."""
    engines = [path for folder in ("place", "drive") for path in here.glob(f"{folder}/**/kernels/*.py")]
    return sorted([*engines, *(here / "plane" / name for name in ("kernels.py", "compiled.py"))])


def _keep_compiled_kernels_apart() -> None:
    """Give every version of the kernels' sources a compile cache of its own.

    The compiler's cache looks at the file of a function, not at the files of those it calls: after a change to
    one kernel the others would go on with the old one inside, and answer wrongly.
    """
    if "NUMBA_CACHE_DIR" in os.environ:
        return
    digest = hashlib.sha256()
    for source in _kernel_sources(Path(__file__).parent):
        digest.update(source.read_bytes())
    home = Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache")
    os.environ["NUMBA_CACHE_DIR"] = str(home / "standtrue" / f"kernels-{digest.hexdigest()[:16]}")
    os.environ.setdefault("NUMBA_CACHE_LOCATOR_CLASSES", "standtrue.compiled.ByModule")


_keep_compiled_kernels_apart()
