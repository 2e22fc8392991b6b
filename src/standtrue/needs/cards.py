"""Which cards serve a sensor: the one chosen, the cards that must run before it, and the alternatives."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from graphlib import CycleError, TopologicalSorter

from attrs import frozen

from standtrue.model.basics import Side
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Reason, because
from standtrue.model.vehicle import Vehicle
from standtrue.needs.answer import sensor_ref
from standtrue.needs.fitted import Slot
from standtrue.needs.words import same, tidy, vehicle_rank

_TRUST = ("verified", "transcribed", "demonstration", "draft", "questioned", "superseded")


@frozen
class Choice:
    """The cards for one sensor: `chain` runs in its order and ends with the chosen card; empty if there is none."""

    chain: tuple[Procedure, ...] = ()
    alternatives: tuple[Procedure, ...] = ()
    warnings: tuple[Reason, ...] = ()


def is_called(card: Procedure, name: str) -> bool:
    """Whether a name written by a person means this card: its name, or its key `NAME/left`; or those of an edition
    before it."""
    return tidy(name) in map(tidy, card.names)


def serves(card: Procedure, slot: Slot) -> bool:
    """Whether a card is for this sensor: same kind, and no contradicting side."""
    return same(card.sensor, slot.sensor) and (card.side is None or slot.side is None or card.side == slot.side)


def choose_cards(
    slot: Slot, procedures: Sequence[Procedure], vehicle: Vehicle, wanted: frozenset[str] = frozenset()
) -> Choice:
    """Choose among the cards that serve a sensor of a car.

    A card that a person asked for (`wanted`, keys) comes first; then the card written for this side, the card that
    names the car most closely, the more trusted source, the name. The rest are alternatives, unless the chosen
    card's `after` chains them before it. Drafts, old editions and cards that
    somebody says are wrong serve only where there is nothing else.
    """
    ranked = _ranked(slot, procedures, vehicle, wanted)
    if slot.side is None and ranked and all(card.side is not None for card in ranked):
        return _both_sides(slot, ranked)
    return _choose(ranked)


def _ranked(slot: Slot, procedures: Sequence[Procedure], vehicle: Vehicle, wanted: frozenset[str]) -> list[Procedure]:
    ranks = {
        card.key: (
            card.key not in wanted,
            card.side != slot.side,
            vehicle_rank(card.vehicles, vehicle) or 0,
            _TRUST.index(card.source.status),
            card.key,
        )
        for card in procedures
        if serves(card, slot) and vehicle_rank(card.vehicles, vehicle) is not None
    }
    cards = {card.key: card for card in reversed(procedures) if card.key in ranks}
    return sorted(_usable(cards.values(), wanted), key=lambda card: ranks[card.key])


def _usable(cards: Iterable[Procedure], wanted: frozenset[str]) -> list[Procedure]:
    """Without drafts, old editions and cards that somebody says are wrong, where there is anything else; but for one
    that a person asked for by its own name, and that no newer edition stands for."""
    every = list(cards)
    kept = [card for card in every if card.source.usable or (card.key in wanted and not _replaced(card, every))]
    return kept or every


def _replaced(card: Procedure, among: Iterable[Procedure]) -> bool:
    return any(card.name in other.source.older and other.source.usable for other in among)


def _both_sides(slot: Slot, ranked: Sequence[Procedure]) -> Choice:
    """A sensor listed without sides, and cards written for each side: both sides are run, left before right."""
    sides: tuple[Side, ...] = ("left", "right")
    choices = [_choose([card for card in ranked if card.side == side]) for side in sides]
    missing = tuple(
        because("card-for-one-side", has=sensor_ref(slot.sensor, other), lacks=sensor_ref(slot.sensor, side))
        for side, other, choice in zip(sides, reversed(sides), choices, strict=True)
        if not choice.chain
    )
    return Choice(
        chain=tuple(card for choice in choices for card in choice.chain),
        alternatives=tuple(card for choice in choices for card in choice.alternatives),
        warnings=tuple(dict.fromkeys(said for choice in choices for said in choice.warnings)) + missing,
    )


def _choose(ranked: Sequence[Procedure]) -> Choice:
    if not ranked:
        return Choice()
    befores = {
        card.key: [other.key for other in ranked if other is not card and _named(other, card.after)] for card in ranked
    }
    warnings: tuple[Reason, ...] = ()
    try:
        tuple(TopologicalSorter(befores).static_order())
    except CycleError:
        warnings = (because("cards-in-a-circle", cards=tuple(card.key for card in ranked)),)
        befores = {key: [] for key in befores}
    chained = {key for keys in befores.values() for key in keys}
    last = next(card for card in ranked if card.key not in chained)
    chain = _chain(last.key, befores)
    return Choice(
        chain=tuple(next(card for card in ranked if card.key == key) for key in chain),
        alternatives=tuple(card for card in ranked if card.key not in chain),
        warnings=warnings,
    )


def _chain(last: str, befores: dict[str, list[str]]) -> tuple[str, ...]:
    """The chosen card and everything before it, each card after the cards it names."""
    done: list[str] = []

    def visit(key: str) -> None:
        for before in befores[key]:
            visit(before)
        if key not in done:
            done.append(key)

    visit(last)
    return tuple(done)


def _named(card: Procedure, names: Iterable[str]) -> bool:
    return any(is_called(card, name) for name in names)
