"""The documentation as pages: what stands in `docs/`, set as HTML. Its own HTML counts as text."""

from __future__ import annotations

from functools import cache
from importlib import resources
from importlib.resources.abc import Traversable
from itertools import pairwise
from pathlib import Path
from urllib.parse import quote

from attrs import frozen
from markdown_it import MarkdownIt
from markdown_it.token import Token

START = "README.md"


@frozen
class HelpPage:
    """A page: its title, and its body as HTML."""

    title: str
    body: str


@cache
def documentation() -> Traversable:
    """The folder of the documentation: packaged with the program, or of the repository that it runs from."""
    packaged = resources.files("standtrue") / "docs"
    return packaged if packaged.is_dir() else Path(__file__).parents[4] / "docs"


def found(path: str) -> Traversable | None:
    """What lies at a path below the documentation; None where nothing does, or the path leads out of it."""
    parts = [part for part in path.split("/") if part]
    if any(part in (".", "..") or "\\" in part or "\0" in part for part in parts):
        return None
    one = documentation()
    for part in parts:
        one = one / part
    if one.is_dir() and (one / START).is_file():
        one = one / START
    return one if one.is_file() or one.is_dir() else None


def listing(folder: Traversable) -> HelpPage:
    """What lies in a folder that has no page of its own."""
    names = sorted(one.name for one in folder.iterdir())
    own = quote(folder.name)
    return help_page("\n".join((f"# {folder.name}", "", *(f"- [{name}]({own}/{quote(name)})" for name in names))))


def help_page(text: str) -> HelpPage:
    """A page of Markdown as HTML: tables, no HTML of its own, each heading with its address."""
    markdown = MarkdownIt("commonmark", {"html": False}).enable("table")
    tokens = markdown.parse(text)
    for heading, inline in pairwise(tokens):
        if heading.type == "heading_open":
            heading.attrSet("id", slug(_words(inline)))
        elif heading.type == "table_open":
            heading.attrSet("class", "plain")
    title = next((_words(tokens[i + 1]) for i, one in enumerate(tokens) if one.tag == "h1"), "")
    return HelpPage(title, markdown.renderer.render(tokens, markdown.options, {}))


def _words(token: Token) -> str:
    return "".join(child.content for child in token.children or () if child.type in ("text", "code_inline"))


def slug(words: str) -> str:
    """The address of a heading, as links to it are written."""
    kept = "".join(c for c in words.lower() if c.isalnum() or c in " -_")
    return kept.replace(" ", "-")
