"""Reads the package's own source: its modules, functions, and texts."""

from __future__ import annotations

import ast
import gc
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from attrs import frozen

from standtrue.show.words.extract import Message, messages

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


@cache
def modules() -> tuple[Module, ...]:
    """Every module of the package, read once."""
    texts = ((file, file.read_text(encoding="utf-8")) for file in sorted(SOURCE.rglob("*.py")))
    read = tuple(Module(file.relative_to(SOURCE).as_posix(), text, ast.parse(text)) for file, text in texts)
    # Millions of nodes that stay: the collector of garbage need not look through them again and again.
    gc.freeze()
    return read


@cache
def sentences() -> tuple[Message, ...]:
    """Every sentence of the package, read once."""
    return tuple(messages())


def functions(module: Module) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    """Every function of a module, inner ones and methods too."""
    for node in ast.walk(module.tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node


def is_docstring(node: ast.Constant, parents: dict[ast.AST, ast.AST]) -> bool:
    """Whether a text stands alone: a docstring, or one behind a constant."""
    return isinstance(parents.get(node), ast.Expr)


@cache
def parents_of(tree: ast.AST) -> dict[ast.AST, ast.AST]:
    """Every node's parent."""
    return {child: node for node in ast.walk(tree) for child in ast.iter_child_nodes(node)}
