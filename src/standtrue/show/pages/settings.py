"""The pages of settings: how it is read, which instruments there are, whom a tablet is to trust."""

from __future__ import annotations

import io
from collections.abc import Mapping

import segno
from attrs import frozen

from standtrue.model.shop import Shop
from standtrue.show.words.pages import settings as words
from standtrue.show.words.preference import Preference
from standtrue.show.words.reader import Reader
from standtrue.work.settings.instruments import Held

Choices = Mapping[str, tuple[tuple[str, str], ...]]
"""What may be chosen in a blank: value and words."""


@frozen
class SettingsPage:
    """How it is read: two sentences in pieces, and what is chosen in their blanks (`now` and `shops`)."""

    words: words.Words
    own: tuple[str, ...]
    shop: tuple[str, ...]
    choices: Choices
    now: Mapping[str, str]
    shops: Mapping[str, str]
    done: str
    trouble: str


def settings_page(shop: Shop, now: Preference, reader: Reader, done: str = "", trouble: str = "") -> SettingsPage:
    """How somebody reads, and how the shop does."""
    fixed = words.settings_words(reader)
    sites = tuple(shop.written.sites.values())
    first = sites[0].reader if sites else None
    return SettingsPage(
        words=fixed,
        own=words.own_sentence(reader),
        shop=words.shop_sentence(reader) if sites else (),
        choices={**words.choices(reader), "site": tuple((one.name, one.name) for one in sites)},
        now={
            "units": now.units or reader.units,
            "language": now.language or reader.language,
            "paper": now.paper or "letter",
        },
        shops={
            "site": sites[0].name if sites else "",
            "units": (first and first.units) or "metric",
            "language": (first and first.language) or "en",
            "paper": (first and first.paper) or "letter",
        },
        done=fixed.get(done, ""),
        trouble=trouble,
    )


@frozen
class InstrumentRow:
    """An instrument: its cells, and the mark and the words of how its check stands."""

    cells: tuple[str, ...]
    mark: str
    state: str


@frozen
class InstrumentsPage:
    """Which instruments there are."""

    words: words.Words
    answer: str
    rows: tuple[InstrumentRow, ...]


def instruments_page(held: tuple[Held, ...], reader: Reader) -> InstrumentsPage:
    """They, overdue ones first."""
    rows = tuple(InstrumentRow(words.instrument_cells(one, reader), *words.check_state(one, reader)) for one in held)
    return InstrumentsPage(words.instruments_words(reader), words.instruments_answer(held, reader), rows)


@frozen
class TrustPage:
    """Whom a tablet is to trust: the digest in groups, the address and its QR code (SVG), and what to press."""

    words: words.Words
    digest: tuple[str, ...]
    address: str
    code: str
    steps: tuple[tuple[str, str], ...]


def trust_page(digest: str, address: str, reader: Reader) -> TrustPage:
    """`digest` in hexadecimal, "" where the server has no authority of its own."""
    groups = tuple(digest[i : i + 4] for i in range(0, len(digest), 4))
    code = address_svg(address) if address else ""
    return TrustPage(words.trust_words(reader), groups, address, code, words.trust_steps(reader))


def address_svg(address: str) -> str:
    """An address as a QR code in SVG, with the quiet zone that ISO/IEC 18004 asks for (four modules)."""
    out = io.BytesIO()
    segno.make(address, error="m", micro=False).save(
        out, kind="svg", border=4, xmldecl=False, svgns=True, omitsize=True
    )
    return out.getvalue().decode()


def address_lines(address: str) -> str:
    """The same for a terminal, two rows of modules in a line, dark on light."""
    out = io.StringIO()
    segno.make(address, error="m", micro=False).terminal(out, compact=True, border=4)
    return out.getvalue()
