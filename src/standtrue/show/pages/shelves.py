"""Floor, cards and cars as shelves of documents; and the page of one document: what it says, its versions."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from attrs import frozen

from standtrue.model.basics import Fault
from standtrue.model.ground import Grounds
from standtrue.model.shop import Shop
from standtrue.show.pictures.drawn import svg_of
from standtrue.show.pictures.place import site_drawing
from standtrue.show.words.faults import fault_lines
from standtrue.show.words.pages import shelves as words
from standtrue.show.words.pages.card import new_card_words
from standtrue.show.words.pages.records import when
from standtrue.show.words.read import understood_words
from standtrue.show.words.reader import Reader
from standtrue.work.exchange.saving import Version
from standtrue.work.served import Read
from standtrue.work.shop.understood import understood


@frozen
class OnShelf:
    """A document on a shelf."""

    kind: str
    name: str
    kind_word: str
    said: str
    faulty: bool
    version: str


@frozen
class ShelfPage:
    """A shelf. `sites` are the floors that are drawn, `begin` the words of the form that begins a card."""

    sheet: str
    words: words.ShelfWords
    answer: str
    documents: tuple[OnShelf, ...]
    sites: tuple[str, ...]
    begin: tuple[str, str, str, str] | None


def shelf_page(sheet: str, read: Read, reader: Reader) -> ShelfPage:
    """The documents of a sheet."""
    kinds = words.SHELVES[sheet].kinds
    faulty = {fault.file for fault in read.folder.faults}
    told = _told(read, reader)
    found = [
        OnShelf(
            one.kind,
            one.name,
            reader.term(one.kind),
            told.get((one.kind, one.name), ""),
            one.path in faulty,
            str(one.version),
        )
        for kind in kinds
        for one in sorted(read.versions, key=lambda version: version.name)
        if one.kind == kind and one.content is not None
    ]
    counts = [(kind, sum(one.kind == kind for one in found)) for kind in kinds]
    answer = words.shelf_answer(counts, sum(one.faulty for one in found), reader)
    fixed = words.shelf_words(sheet, reader)
    sites = tuple(read.folder.sites) if sheet == "floor" else ()
    begin = new_card_words(reader) if sheet == "cards" else None
    return ShelfPage(sheet, fixed, answer or fixed.empty, tuple(found), sites, begin)


def _told(read: Read, reader: Reader) -> dict[tuple[str, str], str]:
    shop = read.folder.shop()
    return {(one.mark.kind, one.mark.name): understood_words(one, reader) for one in understood(shop)}


def floor_picture(shop: Shop, site: str, reader: Reader) -> str:
    """A floor at rest as SVG. Raises KeyError for one that is not there."""
    own = shop.written.sites[site]
    invented = any(mark.demonstration and mark.kind == "site" and mark.name == site for mark in shop.written.marks)
    return svg_of(site_drawing(Grounds(own).at_rest(), reader, demonstration=invented), reader)


@frozen
class VersionRow:
    """A version of a document."""

    number: int
    cells: tuple[str, ...]
    link: str
    removed: bool


@frozen
class Stale:
    """A save that was based on another version: both."""

    theirs: str
    yours: str


@frozen
class DocumentPage:
    """A document at one version. `latest` is the tag by which it may be replaced; "" for one that is not the latest."""

    kind: str
    name: str
    sheet: str
    words: words.DocumentWords
    question: str
    kind_word: str
    said: str
    text: str
    latest: str
    faults: tuple[str, ...]
    doubts: tuple[str, ...]
    refused: tuple[str, ...]
    stale: Stale | None
    versions: tuple[VersionRow, ...]
    place: str
    version: str
    saved: str
    demonstration: bool


def document_page(
    read: Read,
    shown: Version,
    versions: Sequence[Version],
    reader: Reader,
    refused: Iterable[Fault] = (),
    stale: Stale | None = None,
) -> DocumentPage:
    """A document as `shown`, with all its `versions`; `refused` is what stands against a file that was sent."""
    latest = read.version(shown.kind, shown.name)
    is_latest = latest is not None and latest.version == shown.version and latest.document == shown.document
    own = [fault for fault in read.folder.faults if fault.file == shown.path] if is_latest else []
    doubts = [doubt for doubt in read.folder.doubts if doubt.file == shown.path] if is_latest else []
    return DocumentPage(
        kind=shown.kind,
        name=shown.name,
        sheet=sheet_of(shown.kind),
        words=words.document_words(reader),
        question=words.document_question(shown.kind, reader),
        kind_word=reader.term(shown.kind),
        said=_told(read, reader).get((shown.kind, shown.name), "") if is_latest else "",
        text=(shown.content or b"").decode("utf-8", "replace"),
        latest=f"{shown.document}.{shown.version}" if is_latest else "",
        faults=tuple(_line(one, reader) for one in own),
        doubts=tuple(_line(one, reader) for one in doubts),
        refused=tuple(_line(one, reader) for one in refused),
        stale=stale,
        versions=tuple(_row(one, reader) for one in reversed(versions)),
        place=shown.path,
        version=str(shown.version),
        saved=when(shown.saved_at, reader),
        demonstration=any(m.demonstration for m in read.folder.marks if (m.kind, m.name) == (shown.kind, shown.name)),
    )


def sheet_of(kind: str) -> str:
    """The sheet on whose shelf documents of a kind lie."""
    return next((sheet for sheet, shelf in words.SHELVES.items() if kind in shelf.kinds), "")


def _line(fault: Fault, reader: Reader) -> str:
    told = fault_lines(fault, reader)
    return " ".join((told.heading, *told.lines))


def _row(version: Version, reader: Reader) -> VersionRow:
    cells = (when(version.saved_at, reader), version.saved_by, version.digest[:8])
    return VersionRow(version.version, cells, words.version_link(version.version, reader), version.content is None)
