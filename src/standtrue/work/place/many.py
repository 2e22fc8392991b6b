"""Whether cars fit in rooms for their cards, asked of thousands at once: yes or no, and no more."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from itertools import product

from attrs import frozen

from standtrue.model.asking import Asking, Progress
from standtrue.model.basics import SUPPORT_CLASSES, DocumentMark, Fault, Place, SupportClass
from standtrue.model.basis import Basis, basis_of
from standtrue.model.cautions import Fact, propulsion_facts
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.procedure import Procedure
from standtrue.model.reason import Reason, Term, because
from standtrue.model.site import Site
from standtrue.model.vehicle import Vehicle
from standtrue.place.engine import not_considered
from standtrue.place.many.many import AnyFits
from standtrue.place.margin.ways import Question
from standtrue.place.question.claims import missing_anchors
from standtrue.work.ask import UnansweredError
from standtrue.work.caution_facts import card_facts

AT_ONCE = 128
"""Questions put to the compiled call together, on one core.

Enough to help each other, few enough to spread and to stop. Which stance is found for a yes depends on what else is
asked with it, so the shares are the same on any number of cores.
"""


@frozen
class OneFit:
    """One car in one room for one card: whether some stance fits, and one that does with what carries the car there."""

    fits: Fits
    place: Place | None = None
    support: SupportClass | None = None


@frozen(eq=False)
class ManyFits:
    """Every room with every car and every card. `found` runs over the rooms, in each the cars, for each the cards.

    A stop leaves the last ones out: there it is undecided, and `limits` of the basis says so.
    """

    sites: tuple[Site, ...]
    vehicles: tuple[Vehicle, ...]
    cards: tuple[Procedure, ...]
    found: tuple[OneFit, ...]
    basis: Basis

    def count(self, fits: Fits) -> int:
        """How many of the questions are answered so."""
        return sum(one.fits is fits for one in self.found)


def fit_many(
    sites: Sequence[Site],
    vehicles: Sequence[Vehicle],
    cards: Sequence[Procedure],
    supports: Sequence[SupportClass] = SUPPORT_CLASSES,
    *,
    marks: Iterable[DocumentMark] = (),
    asking: Asking = Asking(),
) -> ManyFits:
    """Whether each car fits in each room for each card, on any of these classes of support that the card allows.

    The same objects asked again cost nothing. How level the floor is is not looked at, and what would make room is not
    told: ask `find_places` for one that matters. Raises UnansweredError if a card measures from something that a
    car's document does not place, or needs no place at all.
    """
    faults = [f for card, car in product(cards, vehicles) for f in missing_anchors(card, car)]
    if faults := [*(_placeless(card) for card in cards if not card.needs_space), *faults]:
        raise UnansweredError(dict.fromkeys(faults))
    ways = [(card, [s for s in supports if s in card.all_supports]) for card in cards]
    grounds = [Grounds(site) for site in sites]
    wanted = [(g, car, card, own) for g, car, (card, own) in product(grounds, vehicles, ways)]
    found = _found(wanted, asking)
    left = len(wanted) - len(found)
    found.extend([OneFit(Fits.UNDECIDED)] * left)
    facts = {*card_facts(cards), Fact.CAR_MOVES, *(f for car in vehicles for f in propulsion_facts(car.propulsion))}
    warnings = dict.fromkeys(_warnings(grounds, vehicles, cards, supports))
    limits = [because("many-left-out", count=left)] if left else []
    return ManyFits(tuple(sites), tuple(vehicles), tuple(cards), tuple(found), basis_of(marks, facts, warnings, limits))


def _placeless(card: Procedure) -> Fault:
    """A card for which a car need not stand anywhere cannot be asked where it fits."""
    what = because("card-needs-no-place", card=card.key, method=Term(card.method))
    return Fault("nothing-to-ask", what, "", "procedures", card.key, because("ask-cards-with-place"))


_Wanted = tuple[Grounds, Vehicle, Procedure, Sequence[SupportClass]]


def _found(wanted: Sequence[_Wanted], asking: Asking) -> list[OneFit]:
    """The answers; once stopped, the first of them."""
    shares = [wanted[i : i + AT_ONCE] for i in range(0, len(wanted), AT_ONCE)]
    found: list[OneFit] = []
    with ThreadPoolExecutor(asking.workers) as pool:
        for share in pool.map(lambda share: [] if asking.stopped() else list(_answered(share)), shares):
            if not share:
                break
            found.extend(share)
            asking.tell(Progress(because("many-fits"), len(found), len(wanted)))
    return found


def _answered(wanted: Sequence[_Wanted]) -> Iterator[OneFit]:
    """These questions in one compiled call."""
    asks = AnyFits()
    numbers = [[asks.ask(Question(g, car, (card,), s)) for s in own] for g, car, card, own in wanted]
    answers = asks.with_stances()
    for (_, _, _, own), its in zip(wanted, numbers, strict=True):
        told = [answers[number] for number in its]
        yes = next(((at, s) for (fits, at), s in zip(told, own, strict=True) if fits is Fits.YES), None)
        yield OneFit(Fits.YES, *yes) if yes else OneFit(Fits.any_of([fits for fits, _ in told]))


def _warnings(
    grounds: Sequence[Grounds],
    vehicles: Sequence[Vehicle],
    cards: Sequence[Procedure],
    supports: Sequence[SupportClass],
) -> Iterator[Reason]:
    for car in vehicles:
        yield from car.notes
    for card in cards:
        if card.floor_level is not None:
            yield because("many-not-level", card=card.key)
        if not set(card.all_supports) & set(supports):
            yield because("card-allows-only", card=card.key, supports=tuple(map(Term, card.all_supports)))
    if vehicles and cards:
        for g in grounds:
            for note in not_considered(Question(g, vehicles[0], tuple(cards), supports[0])):
                yield because("not-considered", what=note)
