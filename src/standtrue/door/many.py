"""Whether cars fit in rooms, asked of thousands at once."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from standtrue.door.answers import Answer
from standtrue.door.nouns import Card, Document, Site, Vehicle
from standtrue.door.readers import reader_of
from standtrue.door.refused import Refused, worded, wrong_type
from standtrue.model.asking import Asking
from standtrue.model.basics import Fault
from standtrue.model.fits import Fits
from standtrue.model.reason import because
from standtrue.show.answers.many import ManyShape, of_many
from standtrue.show.words.blocks import Told
from standtrue.show.words.many import room_name
from standtrue.work.ask import pick_support
from standtrue.work.place.many import ManyFits, fit_many


class Fitting(Answer[ManyShape]):
    """Whether cars fit: arrays over rooms, cars and cards. What was given as one thing has no axis of its own."""

    def __init__(self, many: ManyFits, shape: tuple[int, ...]) -> None:
        from standtrue.show.pictures.many import many_pictures, many_svg
        from standtrue.show.words.many import many_blocks

        pictures = {name: (lambda who, n=n: many_svg(many, who, n)) for n, name in enumerate(many_pictures(many))}
        super().__init__(
            None,
            lambda: of_many(many),
            lambda who: Told(tuple(many_blocks(many, who))),
            many.basis,
            pictures,
        )
        self._many, self._shape_of = many, shape

    def _where(self, fits: Fits) -> NDArray[np.bool_]:
        return np.array([one.fits is fits for one in self._many.found], dtype=bool).reshape(self._shape_of)

    @cached_property
    def yes(self) -> NDArray[np.bool_]:
        """Where the car fits: each has a stance behind it."""
        return self._where(Fits.YES)

    @cached_property
    def no(self) -> NDArray[np.bool_]:
        """Where it does not: proven over every position and every heading."""
        return self._where(Fits.NO)

    @cached_property
    def undecided(self) -> NDArray[np.bool_]:
        """Where it cannot be told: neither yes nor no."""
        return self._where(Fits.UNDECIDED)

    @cached_property
    def stances(self) -> NDArray[np.float64]:
        """A stance for each yes: x and y in meters, the heading in degrees, along the last axis; nan elsewhere.

        One of many that fit, not the roomiest: `place` finds that.
        """
        nowhere = (np.nan, np.nan, np.nan)
        found = [
            nowhere if one.place is None else (one.place.x_m, one.place.y_m, one.place.heading_deg)
            for one in self._many.found
        ]
        return np.array(found, dtype=float).reshape(*self._shape_of, 3)


@worded
def any_fit(
    rooms: Site | Iterable[Site] | ArrayLike,
    vehicles: Vehicle | Iterable[Vehicle],
    cards: Card | Iterable[Card],
    *,
    support: str | None = None,
    workers: int | None = None,
) -> Fitting:
    """Whether each car fits in each room for each card: yes, no or cannot tell, of thousands at once.

    `rooms` are sites, or plain rooms as an array in meters: a row of two for each (width along x, length along y), or
    its corners, one below the other. `support` asks for one class (floor, lift down, lift up) alone. How level the
    floor is is not looked at, and nothing is told of what would help: ask `place` for one that matters. Raises
    Refused.
    """
    sites, cars, wanted = _rooms(rooms), _all(vehicles, Vehicle, "cars"), _all(cards, Card, "cards")
    procedures = [own for card in wanted for own in card.value]
    one_card = isinstance(cards, Card) and len(procedures) == 1
    many = fit_many(
        [site.value for site in sites],
        [car.value for car in cars],
        procedures,
        pick_support(support),
        marks=[d.read.mark for d in (*sites, *cars, *wanted) if d.read.mark is not None],
        asking=Asking(workers=workers or os.cpu_count() or 1),
    )
    axes = ((len(sites), isinstance(rooms, Site)), (len(cars), isinstance(vehicles, Vehicle)))
    shape = [count for count, alone in (*axes, (len(procedures), one_card)) if not alone]
    return Fitting(many, tuple(shape))


def _all(given: Any, noun: type[Any], asked: str) -> list[Any]:
    """One document or several, each of them of this kind."""
    if isinstance(given, noun):
        return [given]
    if isinstance(given, str | Document) or not isinstance(given, Iterable):
        raise wrong_type(asked, given, asked)
    found = list(given.values() if isinstance(given, Mapping) else given)
    for i, one in enumerate(found):
        if not isinstance(one, noun):
            raise wrong_type(f"{asked}[{i}]", one, asked)
    if not found:
        raise Refused([Fault("list-empty", because("nothing-to-ask-of"), "", asked, "", because("name-one-at-least"))])
    return found


def _rooms(given: Any) -> list[Site]:
    """Sites; of numbers, a plain room for each row."""
    rows = list(given) if isinstance(given, Iterable) and not hasattr(given, "shape") else given
    if isinstance(given, Site | Mapping) or (isinstance(rows, list) and any(isinstance(one, Site) for one in rows)):
        return _all(given if isinstance(given, Site | Mapping) else rows, Site, "rooms")
    try:
        sizes = np.asarray(rows, dtype=float)
    except (TypeError, ValueError):
        sizes = np.empty(0)
    if sizes.ndim == 2 and sizes.shape[1] == 2 and len(sizes):
        who = reader_of()
        return [Site(room_name(w, h, who), box=[0.0, 0.0, w, h]) for w, h in sizes.tolist()]
    if sizes.ndim == 3 and sizes.shape[2] == 2 and len(sizes):
        return [Site(str(i), outline=outline) for i, outline in enumerate(sizes, 1)]
    raise wrong_type("rooms", given, "rooms", because("rooms-as-numbers"))
