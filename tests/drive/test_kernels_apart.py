"""Compiled functions of driving live in `drive/kernels`, and nothing else does."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import standtrue

WRAPPERS = ("compiled", "compiled_bare", "inlined")
DRIVE = Path(standtrue.__file__).parent / "drive"


def functions(file: Path) -> Iterator[tuple[str, bool]]:
    """Every function of a file, and whether it is compiled."""
    for node in ast.parse(file.read_text(encoding="utf-8")).body:
        if isinstance(node, ast.FunctionDef):
            yield node.name, any(ast.unparse(d) in WRAPPERS for d in node.decorator_list)


def test_what_is_compiled_is_a_kernel_and_a_kernel_is_compiled() -> None:
    for file in sorted(DRIVE.rglob("*.py")):
        kernel = file.parent.name == "kernels"
        assert [name for name, compiled in functions(file) if compiled != kernel] == [], file.name
