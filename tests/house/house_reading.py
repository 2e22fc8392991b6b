"""Reads the package's own source: its modules, functions, and texts."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

from attrs import frozen

SOURCE = Path(__file__).parents[2] / "src" / "standtrue"


@frozen
class Module:
    """One file of the package: its path below it, its text and its tree."""

    name: str
    text: str
    tree: ast.Module

    @property
    def lines(self) -> list[str]:
        return self.text.splitlines()


def modules() -> Iterator[Module]:
    """Every module of the package."""
    for file in sorted(SOURCE.rglob("*.py")):
        text = file.read_text(encoding="utf-8")
        yield Module(file.relative_to(SOURCE).as_posix(), text, ast.parse(text))


def functions(module: Module) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    """Every function of a module, inner ones and methods too."""
    for node in ast.walk(module.tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node


def is_docstring(node: ast.Constant, parents: dict[ast.AST, ast.AST]) -> bool:
    """Whether a text stands alone: a docstring, or one behind a constant."""
    return isinstance(parents.get(node), ast.Expr)


def parents_of(tree: ast.AST) -> dict[ast.AST, ast.AST]:
    """Every node's parent."""
    return {child: node for node in ast.walk(tree) for child in ast.iter_child_nodes(node)}
