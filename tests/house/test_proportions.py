"""How large the rooms of the house are, and that nothing stands in two of them."""

from __future__ import annotations

import ast
import re
from collections import defaultdict
from collections.abc import Iterator

from house_reading import Module, functions, modules

LONGEST_FILE, LONGEST_FUNCTION = 400, 40
ALIKE = 6
"""So many lines in a row that stand in two places are a duplicate."""

REASON = re.compile(r"# long: \S+")
PARAMETERS = r"\w+,|\w+: [^(]*[,=]( [^(]*,)?|def \w+\(|\) -> .*:|\*,"
THIN = re.compile(r"[\s()\[\]{},:]*|from .*|import .*|@\w+.*|#.*|return|else:|try:|\"\"\".*|" + PARAMETERS)


def test_a_long_file_says_why() -> None:
    long = [f"{m.name}: {len(m.lines)}" for m in modules() if len(m.lines) > LONGEST_FILE and not _reason(m, 1, 12)]
    assert not long, "\n".join(long)


def test_a_long_function_says_why() -> None:
    found = [
        f"{m.name}:{f.lineno}: {f.name}: {_length(f)}"
        for m in modules()
        if "kernels" not in m.name
        for f in functions(m)
        if _length(f) > LONGEST_FUNCTION and not _reason(m, f.lineno, f.body[0].lineno)
    ]
    assert not found, "\n".join(found)


def test_nothing_stands_twice_to_the_letter() -> None:
    seen: dict[tuple[str, ...], list[str]] = defaultdict(list)
    for module in modules():
        told = list(_solid_lines(module))
        for i in range(len(told) - ALIKE + 1):
            window = told[i : i + ALIKE]
            seen[tuple(text for _, text in window)].append(f"{module.name}:{window[0][0]}")
    twice = [f"{places}: {lines[0]} ..." for lines, places in seen.items() if len(places) > 1]
    assert not twice, "\n".join(twice)


def test_whoever_saves_a_version_keeps_the_entry_that_tells_of_it() -> None:
    """Else `verify` finds a version that no entry brought: `work/keep/versions.py` does both."""
    found = [m.name for m in modules() if "save" in _from_documents_of_the_store(m) and "note_saved(" not in m.text]
    assert not found, found


def _from_documents_of_the_store(module: Module) -> set[str]:
    imports = (node for node in ast.walk(module.tree) if isinstance(node, ast.ImportFrom))
    return {a.name for one in imports if one.module == "standtrue.store.documents" for a in one.names}


def _reason(module: Module, first: int, last: int) -> bool:
    return any(REASON.search(line) for line in module.lines[first - 1 : last])


def _length(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """The lines of a function without its docstring."""
    assert function.end_lineno is not None
    doc = function.body[0]
    told = doc.end_lineno - doc.lineno + 1 if _is_doc(doc) and doc.end_lineno is not None else 0
    return function.end_lineno - function.lineno + 1 - told


def _is_doc(node: ast.stmt) -> bool:
    return isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant) and isinstance(node.value.value, str)


def _solid_lines(module: Module) -> Iterator[tuple[int, str]]:
    """The lines that say something, without blanks, comments, imports, docstrings and lone brackets."""
    told = {
        n
        for node in ast.walk(module.tree)
        if isinstance(node, ast.stmt) and _is_doc(node) and node.end_lineno is not None
        for n in range(node.lineno, node.end_lineno + 1)
    }
    for number, line in enumerate(module.lines, start=1):
        if number not in told and not THIN.fullmatch(line.strip()):
            yield number, line.strip()
