"""The page of each command shows what it says and draws now, on the demonstration shop."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from standtrue.cli.pages import at_home, index_file, page_files, shown, store_files
from standtrue.cli.slim import slim
from standtrue.demo import write_demo
from standtrue.show.words import help as words
from standtrue.show.words.command_pages import CARS, PAGES, STORE_PAGES, CommandPage

DOCS = Path(__file__).parents[2] / "docs"
HOW = "run: python -m standtrue.cli.pages docs"
TEXTS = re.compile(r"<text[^>]*>(.*?)</text>", re.DOTALL)
NUMBER = re.compile(r"(-?\d+(?:\.\d+)?)")
ROUNDED = 0.1
LARGEST_BYTES = 60_000


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where the commands of the pages run."""
    folder = tmp_path_factory.mktemp("pages")
    write_demo(folder / "shop")
    (folder / "cars.csv").write_text(CARS, encoding="utf-8")
    return folder


@pytest.mark.usefixtures("asked_once")
@pytest.mark.parametrize("page", [page for page in PAGES if page.name != "demo"], ids=lambda page: page.name)
def test_a_page_is_current(page: CommandPage, home: Path) -> None:
    """That of `demo`, which plans a whole job, is held beside the tutorials, which begin with it."""
    with at_home(home):
        files = page_files(page, shown(page))
    for name, text in files.items():
        assert as_kept((DOCS / name).read_text(encoding="utf-8"), text, name), HOW


def test_pages_of_the_store_are_current(tmp_path: Path) -> None:
    write_demo(tmp_path / "shop")
    with at_home(tmp_path):
        files = store_files()
    for name, text in files.items():
        assert (DOCS / name).read_text(encoding="utf-8") == text, HOW


def as_kept(kept: str, now: str, name: str) -> bool:
    """Word for word; in a picture a processor may round a coordinate otherwise than that which drew it."""
    if not name.endswith(".svg"):
        return kept == now
    one, other = NUMBER.split(kept), NUMBER.split(now)
    moved = (abs(float(a) - float(b)) for a, b in zip(one[1::2], other[1::2], strict=False))
    return one[::2] == other[::2] and max(moved, default=0.0) <= ROUNDED + 1e-9


@pytest.mark.usefixtures("asked_once")
def test_a_small_picture_says_and_draws_the_same(home: Path) -> None:
    """Every text to the letter, every mark; no line is longer or shorter by more than rounding to a tenth."""
    with at_home(home):
        shown(CommandPage("targets", 'targets shop --setup "corrow camera" --out whole.svg', ""))
        whole = Path("whole.svg").read_text(encoding="utf-8")
    small = slim(whole)
    ElementTree.fromstring(small)
    assert TEXTS.findall(small) == TEXTS.findall(whole)
    for tag in ("<path ", "<line ", "<rect ", "<circle ", "<text ", "<svg "):
        assert small.count(tag) == whole.count(tag)
    one, other = (_corners(svg) for svg in (whole, small))
    assert len(one) == len(other)
    assert max(abs(a - b) for p, q in zip(one, other, strict=True) for a, b in zip(p, q, strict=True)) < 0.1 + 1e-9


def _corners(svg: str) -> list[tuple[float, float]]:
    """Every point of every line, wherever each is told from."""
    found = []
    for data in re.findall(r' d="([^"]*)"', svg):
        x = y = 0.0
        for step, points in re.findall(r"([MLl])([-\d., ]+)", data):
            for point in points.split():
                a, b = map(float, point.split(","))
                x, y = (x + a, y + b) if step == "l" else (a, b)
                found.append((x, y))
    return found


def test_every_command_has_its_page() -> None:
    pages = sorted(page.name for page in (*PAGES, *STORE_PAGES))
    assert pages == sorted(name for names in words.GROUPS.values() for name in names if name not in words.ALIASES)
    for name, text in index_file().items():
        assert (DOCS / name).read_text(encoding="utf-8") == text, HOW


def test_every_picture_is_small_and_shown() -> None:
    shown_there = "".join(page.read_text(encoding="utf-8") for page in DOCS.rglob("*.md"))
    for picture in sorted((DOCS / "pictures").rglob("*.svg")):
        assert picture.stat().st_size < LARGEST_BYTES, picture.name
        assert picture.name in shown_there, f"no page shows {picture.name}"
