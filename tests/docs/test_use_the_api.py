"""The page that asks by the API prints what it shows, block by block, against the served demonstration."""

from __future__ import annotations

import contextlib
import io
import re
from pathlib import Path
from typing import Any

from web_fixtures import serving

PAGE = Path(__file__).parents[2] / "docs" / "how-to" / "use-the-api.md"
BLOCK = re.compile(r"```python\n(.*?)```\n(?:\n```text\n(.*?)```)?", re.DOTALL)


def test_the_page_prints_what_it_shows(tmp_path: Path) -> None:
    own: dict[str, Any] = {}
    with serving(tmp_path / "shop") as server:
        for block, shown in BLOCK.findall(PAGE.read_text(encoding="utf-8")):
            printed = io.StringIO()
            with contextlib.redirect_stdout(printed):
                exec(block.replace("http://127.0.0.1:8574", server.address), own)
            assert printed.getvalue() == shown
