"""Where compiled kernels are kept: by what their sources say, wherever the package lies."""

from __future__ import annotations

import os
from collections.abc import Callable

from numba.core.caching import UserProvidedCacheLocator


class ByModule(UserProvidedCacheLocator):
    """Keeps a kernel under its module's name, so that every copy of the same sources finds what one of them compiled.

    The folder itself is named by a digest of the kernels' sources (see `standtrue.__init__`); numba's own locator would
    add the path of the checkout.
    """

    def __init__(self, py_func: Callable[..., object], py_file: str) -> None:
        super().__init__(py_func, py_file)  # type: ignore[no-untyped-call]  # numba has no types
        self._cache_path = os.path.join(os.environ["NUMBA_CACHE_DIR"], py_func.__module__)
