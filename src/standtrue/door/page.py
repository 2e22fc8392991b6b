"""Runs a page of `docs/` that asks from Python, and writes what it prints and draws: `python -m standtrue.door.page`.

Its Python blocks run one after another, in one session. The text block behind one is what it printed; what it refuses
is printed, too. A picture that it saves is the one of that name in `docs/pictures`.
"""

from __future__ import annotations

import contextlib
import io
import re
import sys
import tempfile
from pathlib import Path

from standtrue.door.refused import Refused

DOCS = Path(__file__).parents[3] / "docs"
PAGE, PICTURES = "how-to/from-python.md", "pictures"

BLOCK = re.compile(r"```python\n(.*?)```\n(\n```text\n.*?```\n)?", re.DOTALL)


def page_run(text: str) -> dict[str, str]:
    """The page with what its blocks print now, and the pictures they save, by path below `docs`."""
    session: dict[str, object] = {}

    def ran(block: re.Match[str]) -> str:
        said = io.StringIO()
        with contextlib.redirect_stdout(said):
            try:
                exec(compile(block[1], PAGE, "exec"), session)
            except Refused as refused:
                print(f"{type(refused).__module__}.{type(refused).__name__}: {refused}")
        shown = f"\n```text\n{said.getvalue().rstrip()}\n```\n" if said.getvalue() else ""
        return f"```python\n{block[1]}```\n{shown}"

    with tempfile.TemporaryDirectory() as home, contextlib.chdir(home):
        files = {PAGE: BLOCK.sub(ran, text)}
        pictures = sorted(Path(home).glob("*.svg"))
        return files | {f"{PICTURES}/{file.name}": file.read_text(encoding="utf-8") for file in pictures}


if __name__ == "__main__":
    docs = Path(sys.argv[1]) if len(sys.argv) > 1 else DOCS
    for name, made in page_run((docs / PAGE).read_text(encoding="utf-8")).items():
        (docs / name).write_text(made, encoding="utf-8")
