"""What cards ask for that a shop does not have: equipment, people, skills; and what of this nobody has entered."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from attrs import evolve, frozen

from standtrue.model.procedure import Procedure
from standtrue.model.reason import Reason, Ref, because
from standtrue.model.site import Site, equipment_of


@frozen(eq=False)
class Asked:
    """A card as a shop can do it: in those of its forms for which it has the equipment, where there are any.

    `lacks` is what is missing: of all forms, or else of the one that lacks the fewest pieces.
    """

    card: Procedure
    lacks: tuple[Reason, ...]


def not_entered(site: Site) -> tuple[Reason, ...]:
    """What a document must say before it can be told what the shop can do, and does not."""
    told = (
        (site.lists_equipment, because("no-equipment-entered")),
        (site.lists_people, because("no-people-entered")),
        (bool(site.doors), because("no-door-entered")),
    )
    return tuple(reason for known, reason in told if not known)


def asked_of(site: Site, card: Procedure) -> Asked:
    """What a card asks of a shop that has entered its equipment and its people."""
    forms = list(_forms(card))
    missing = [_equipment_missing(site, form) for form, _ in forms]
    fewest = min(map(len, missing))
    kept = [
        name for (_, name), own in zip(forms, missing, strict=True) if len(own) == fewest and own == missing_of(missing)
    ]
    people = tuple(_people_missing(site, card))
    gone = tuple(because("lacks-equipment", equipment=Ref("equipment", name)) for name in missing_of(missing))
    return Asked(_only(card, kept), (*gone, *people))


def missing_of(missing: list[tuple[str, ...]]) -> tuple[str, ...]:
    """What is missing of the first form that lacks the fewest pieces."""
    return min(missing, key=len)


def _forms(card: Procedure) -> Iterator[tuple[Procedure, str | None]]:
    """The card's own form, if it is one, and its variants, with their names."""
    if card.zones or card.targets or not card.variants:
        yield card, None
    for variant in card.variants:
        yield card.as_variant(variant), variant.name


def _only(card: Procedure, names: Iterable[str | None]) -> Procedure:
    """The card with these of its forms only; itself where these are all."""
    kept = tuple(names)
    if len(kept) == len(list(_forms(card))):
        return card
    variants = tuple(v for v in card.variants if v.name in kept)
    return evolve(card, variants=variants) if None in kept else evolve(card, variants=variants, zones=(), targets=())


def _equipment_missing(site: Site, form: Procedure) -> tuple[str, ...]:
    asked = {*form.equipment, *(t.equipment for t in form.targets if t.equipment)}
    return tuple(name for name in sorted(asked) if equipment_of(name, site.equipment) is None)


def _people_missing(site: Site, card: Procedure) -> Iterator[Reason]:
    held = {skill for person in site.people for skill in person.skills}
    for skill in card.skills:
        if skill not in held:
            yield because("lacks-skill", skill=skill)
    if card.people > len(site.people):
        yield because("lacks-people", needed=card.people, listed=len(site.people))


_GETTING = {"lacks-equipment": "get-equipment", "lacks-skill": "get-skill", "lacks-people": "get-people"}


def getting(lack: Reason) -> Reason:
    """Getting what is lacking, as a change."""
    return Reason(_GETTING[lack.code], lack.values)
