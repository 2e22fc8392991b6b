"""The log's head: how many entries there are, and the root over them. Handed out, it is an anchor for all before it."""

from __future__ import annotations

import re

from attrs import frozen

FORM = re.compile(r"(\d+)\s*:\s*((?:[0-9a-f]{4}\s*){16})(?:\s*(\d{4}-\d\d-\d\dT[0-9:.]+Z))?", re.DOTALL)


@frozen
class Head:
    """`size` entries with this root; `at` is when the last of them was kept (UTC, ISO 8601), "" if none."""

    size: int
    root: bytes
    at: str = ""


def head_text(head: Head) -> str:
    """One line to print or hand out, in any language: the count, the root in sixteen groups of four, when."""
    digits = head.root.hex()
    grouped = " ".join(digits[i : i + 4] for i in range(0, 64, 4))
    return " ".join(part for part in (f"{head.size}:", grouped, head.at) if part)


def read_head(text: str) -> Head | None:
    """The head of such a line, however it is broken into lines; None where there is none in it."""
    found = FORM.search(text)
    if found is None:
        return None
    return Head(int(found[1]), bytes.fromhex("".join(found[2].split())), found[3] or "")
