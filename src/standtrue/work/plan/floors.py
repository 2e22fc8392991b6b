"""Floor that is too uneven for the cards of a plan."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor

from attrs import field, frozen

from standtrue.model.asking import Asking
from standtrue.model.basics import SupportClass
from standtrue.model.ground import Grounds, Unfloor
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Reason
from standtrue.model.shop import Shop
from standtrue.model.site import Site
from standtrue.place.engine import best_stance
from standtrue.place.question.answer import Answer
from standtrue.work.needs.jobs import Needs
from standtrue.work.place.level import LevelFloors, level_floors
from standtrue.work.place.settle import Uneven, rough_for, settle


@frozen(eq=False)
class Floors:
    """Floor to keep clear of, by card and class of support, so that stances are level, and how level they then are.

    `even` are answers to where a card fits that no such floor changes.
    """

    level: LevelFloors
    uneven: Uneven = field(factory=dict)
    notes: tuple[Reason, ...] = ()
    even: Mapping[tuple[str, SupportClass], Answer] = field(factory=dict)


def find_floors(shop: Shop, site: Site, needs: Needs, cards: Sequence[Procedure], asking: Asking) -> Floors:
    """What the survey of the site rules out for the cards that ask for level floor."""
    level_cards = [c for c in cards if c.floor_level is not None]
    level, grounds = level_floors(shop, site, level_cards), Grounds(site)
    if level.floor is None:
        return Floors(level, {}, () if level.unused is None else (level.unused,))
    uneven: dict[tuple[str, SupportClass], Sequence[Unfloor]] = {}
    notes: list[Reason] = []
    grounds.at_rest()
    asked = [(card, support) for card in level_cards for support in card.all_supports]
    with ThreadPoolExecutor(max_workers=asking.workers) as pool:
        found = list(pool.map(lambda one: best_stance(grounds, needs.vehicle, [one[0]], one[1]), asked))
    for (card, support), answer in zip(asked, found, strict=True):
        settled = settle(level, answer)
        uneven[card.key, support] = rough_for(level, settled)
        notes.extend(settled.notes)
    even = {(c.key, s): answer for (c, s), answer in zip(asked, found, strict=True) if not uneven[c.key, s]}
    return Floors(level, uneven, tuple(notes), even)
