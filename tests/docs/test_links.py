"""Every link between the pages leads somewhere, and every page is reached from the first."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
FIRST = ROOT / "docs" / "README.md"
LINK = re.compile(r"!?\[[^\]]*\]\(([^)\s]+)\)")
CODE = re.compile(r"^```.*?^```|^    .*?$|`[^`\n]*`", re.DOTALL | re.MULTILINE)
PAGES = sorted([*ROOT.glob("*.md"), *(ROOT / "docs").rglob("*.md")])


@cache
def links(page: Path) -> tuple[tuple[Path, str], ...]:
    """What a page links to on this disk: the file, and the heading in it."""
    text = CODE.sub("", page.read_text(encoding="utf-8"))
    found = (link.partition("#") for link in LINK.findall(text) if "://" not in link and not link.startswith("mailto:"))
    return tuple(((page.parent / path).resolve() if path else page, heading) for path, _, heading in found)


@cache
def headings(page: Path) -> frozenset[str]:
    """The headings of a page as links name them."""
    text = re.sub(r"^```.*?^```", "", page.read_text(encoding="utf-8"), flags=re.DOTALL | re.MULTILINE)
    found = re.findall(r"^#+ (.+)$", text, flags=re.MULTILINE)
    return frozenset(re.sub(r"[^\w\- ]", "", title.lower()).strip().replace(" ", "-") for title in found)


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(ROOT)))
def test_no_link_is_dead(page: Path) -> None:
    dead = [
        f"{target.name}#{heading}"
        for target, heading in links(page)
        if not target.exists() or (heading and target.suffix == ".md" and heading not in headings(target))
    ]
    assert not dead


def test_every_page_is_reached_from_the_first() -> None:
    reached = set(_reached(FIRST, set()))
    lost = [str(page.relative_to(ROOT)) for page in PAGES if page.parent != ROOT and page not in reached]
    assert not lost
    assert FIRST in {target for target, _ in links(ROOT / "README.md")}


def _reached(page: Path, seen: set[Path]) -> Iterator[Path]:
    if page in seen or page.suffix != ".md" or not page.exists():
        return
    seen.add(page)
    yield page
    for target, _ in links(page):
        yield from _reached(target, seen)
