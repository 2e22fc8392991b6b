"""What must be said of the cards that an answer uses: what each counts as, and whether it changed since the plan."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from standtrue.model.basics import Fault
from standtrue.model.card_fields import differences
from standtrue.model.job import Job, PlannedWith
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Reason, Ref, because
from standtrue.model.shop import Shop
from standtrue.model.site import Site
from standtrue.work.ask import UnansweredError

MOST_NAMED = 8
"""So many changed fields are named; the others are counted."""


def card_notes(cards: Iterable[Procedure]) -> Iterator[Reason]:
    """The drafts and old editions among cards, and those that say that they are verified and are not."""
    for card in {card.name: card for card in cards}.values():
        stands = standing_of(card)
        if stands is not None:
            yield stands
        elif card.source.short_of is not None:
            yield because("card-short", card=card.name, why=card.source.short_of)


def standing_of(card: Procedure) -> Reason | None:
    """Why no car may be calibrated by a card as it is; None where one may."""
    if card.source.status == "draft":
        return because("card-draft", card=card.name)
    if card.source.status == "superseded":
        return because("card-superseded", card=card.name, newer=card.source.superseded_by)
    if card.source.status == "questioned":
        last = card.source.questioned[-1]
        return because("card-questioned", card=card.name, by=last.by, on=last.on, order=last.order, says=last.says)
    return None


def equipment_notes(cards: Iterable[Procedure], sites: Iterable[Site]) -> Iterator[Reason]:
    """Equipment that cards ask for where a site lists none at all: it is taken to be there."""
    asked: set[str] = set()
    for card in cards:
        asked.update(card.equipment, *(variant.equipment or () for variant in card.variants))
        targets = (*card.targets, *(target for variant in card.variants for target in variant.targets))
        asked.update(target.equipment for target in targets if target.equipment is not None)
    for site in sites:
        if asked and not site.lists_equipment:
            equipment = tuple(Ref("equipment", name) for name in sorted(asked))
            yield because("no-equipment-listed", site=Ref("site", site.name), equipment=equipment)


def check_unmixed(job: Job, cards: Iterable[Procedure]) -> None:
    """The cards that a job calls for are invented, as it is, or none is. Raises UnansweredError.

    All else that a job stands on is looked at when its folder is read.
    """
    faults = {}
    for card in cards:
        if card.demonstration != job.demonstration:
            what = "card-invented-in-real-job" if card.demonstration else "real-card-in-invented-job"
            remedy = because("take-demonstration-out" if card.demonstration else "mark-as-demonstration")
            told = because(what, card=card.name, job=Ref("job", job.name))
            faults[card.name] = Fault("demonstration-mixed", told, "", f"job {job.name}", card.name, remedy)
    if faults:
        raise UnansweredError(faults.values())


def changed_since(shop: Shop, job: Job, cards: Sequence[Procedure], *, every: bool) -> Iterator[Reason]:
    """What changed of the cards since the job was planned with them: as far as it says, else as its last plan was kept.

    `cards` are those that the answer uses, with `every` all that the job calls for.
    """
    named = {card.name: card for card in cards if card.digest}
    covered = set()
    planned = job.planned_with or shop.written.planned.get(job.name, ())
    for entry in planned:
        now = next((card for card in named.values() if entry.card in (card.name, *card.source.older)), None)
        if now is not None:
            covered.add(now.name)
            if now.digest != entry.digest:
                yield _changed(shop, entry, now)
        elif every:
            yield because("card-gone", card=entry.card)
    if every and planned:
        yield from (because("card-new", card=name) for name in named if name not in covered)


def _changed(shop: Shop, entry: PlannedWith, now: Procedure) -> Reason:
    """A card that says something else now: which fields, where the edition of then is still in the shop."""
    then = next((card.fields for card in shop.procedures if card.digest == entry.digest), entry.fields)
    fields = tuple(field_of(d.path) for d in differences(then, now.fields)) if then else ()
    return because(
        "card-changed",
        card=now.name,
        was=entry.edition,
        now=now.source.edition,
        changed=fields[:MOST_NAMED],
        more=max(0, len(fields) - MOST_NAMED),
        known=bool(then),
    )


def field_of(path: tuple[str, ...]) -> Reason:
    """A field of a card, as it is told."""
    return because("card-field", path=path)
