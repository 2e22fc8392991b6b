"""Compiled functions stand in kernel folders only: the compile cache is kept by what those files say."""

from __future__ import annotations

import ast
from pathlib import Path

import standtrue

HERE = Path(standtrue.__file__).parent
WRAPPERS = {"compiled", "compiled_bare", "inlined"}


def compiled_in(path: Path) -> list[str]:
    found = []
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.FunctionDef):
            marks = {ast.unparse(d).split("(")[0] for d in node.decorator_list}
            found += [node.name] if marks & WRAPPERS else []
    return found


def test_what_is_compiled_is_what_the_cache_is_kept_by() -> None:
    sources = set(standtrue._kernel_sources(HERE))
    engines = [path for folder in ("place", "drive", "plane") for path in HERE.glob(f"{folder}/**/*.py")]
    assert not {str(path): compiled_in(path) for path in engines if path not in sources and compiled_in(path)}


def test_kernels_import_kernels_only() -> None:
    """A constant of another file would be compiled in, and stay so when that file changes."""
    for path in standtrue._kernel_sources(HERE):
        for node in ast.walk(ast.parse(path.read_text())):
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("standtrue."):
                assert node.module is not None
                assert ".kernels" in node.module or node.module.startswith("standtrue.plane."), (path, node.module)
