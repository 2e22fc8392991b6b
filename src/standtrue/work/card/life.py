"""The cards of a shop with their life, and two of them side by side."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from attrs import frozen

from standtrue.model.basics import Fault
from standtrue.model.basis import Basis, basis_of
from standtrue.model.card_fields import Difference, differences
from standtrue.model.procedure import Procedure
from standtrue.model.reason import because
from standtrue.model.shop import Shop
from standtrue.work.ask import UnansweredError, pick
from standtrue.work.card_notes import card_notes

if TYPE_CHECKING:
    from standtrue.work.keep.versions import Saved


@frozen(eq=False)
class CardsAnswer:
    """What was asked of cards: those that it was asked of, how two of them differ, what was written.

    `readings`: the two are two readings of one card, else two editions. `differences` is None where nothing was
    compared. `written` are documents that were written anew, by their files; `form` is a blank form.
    """

    cards: tuple[Procedure, ...]
    basis: Basis
    differences: tuple[Difference, ...] | None = None
    readings: bool = False
    written: tuple[str, ...] = ()
    by: str = ""
    form: str = ""
    remembered: str = ""
    saved: tuple[Saved, ...] = ()
    """Of a store: the versions that were saved."""

    @property
    def differs(self) -> bool:
        """Whether two readings do not say the same."""
        return bool(self.readings and self.differences)


def list_cards(shop: Shop) -> CardsAnswer:
    """Every card of the shop, each once, in the order of their names."""
    cards = sorted({card.name: card for card in shop.procedures}.values(), key=lambda card: card.name)
    return CardsAnswer(tuple(cards), card_basis(shop, cards))


def compare_cards(shop: Shop, older: str, newer: str) -> CardsAnswer:
    """Two cards field by field. Raises UnansweredError where one is not there."""
    one, other = named_card(shop, older), named_card(shop, newer)
    found = tuple(differences(one.fields, other.fields))
    return CardsAnswer((one, other), card_basis(shop, (one, other)), found)


def named_card(shop: Shop, name: str) -> Procedure:
    """The card of a name, as it was written: one for each side is one. Raises UnansweredError."""
    known = {card.name: card for card in reversed(shop.procedures)}
    return pick("procedure", name.partition("/")[0] if name not in known else name, known, "cards")


def card_basis(shop: Shop, cards: Iterable[Procedure]) -> Basis:
    """What an answer about cards rests on."""
    taken = shop.take(cards)
    return basis_of(shop.touched, (), (*shop.warnings, *card_notes(taken)))


def refused(code: str, what: str, remedy: str, *, field: str = "", value: str = "", file: str = "") -> UnansweredError:
    """A question about cards that cannot be answered, for one reason without figures."""
    return UnansweredError([Fault(code, because(what), file, field, value, because(remedy))])
