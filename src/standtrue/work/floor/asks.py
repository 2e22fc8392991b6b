"""What fits while a floor is drawn: one car and one card on the floor as it would be, at once."""

from __future__ import annotations

import time
from collections.abc import Iterator, Mapping, Sequence

from attrs import frozen

from standtrue.documents import Document
from standtrue.documents.site import SiteForm, to_site
from standtrue.model.basics import SupportClass
from standtrue.model.fits import Fits
from standtrue.model.ground import Grounds
from standtrue.model.lift import Lift
from standtrue.model.procedure import Procedure
from standtrue.model.shift import allowed, moved_site
from standtrue.model.shop import Shop
from standtrue.model.site import Site
from standtrue.model.vehicle import Vehicle
from standtrue.place.change.remedies import Remedies, find_remedies
from standtrue.place.engine import any_fit, best_stance, region
from standtrue.place.question.answer import Answer, Slice
from standtrue.place.question.claims import missing_anchors
from standtrue.work.floor.edits import along_datum
from standtrue.work.place.places import REMEDIES_S, cards_for

MOST_ALONG = 61
"""At so many places along a line is asked at the most whether it fits."""


@frozen
class Held:
    """What is held: a list of the site's document and a name in it; the room itself where both are ""."""

    where: str = ""
    name: str = ""


@frozen(eq=False)
class Asked:
    """For which car and card it is asked; `supports` are those to be tried, first to last."""

    vehicle: Vehicle
    card: Procedure
    supports: tuple[SupportClass, ...]


@frozen(eq=False)
class Fitting:
    """The answer for the floor as it is: of the supports that were tried the first that fits, or the first.

    `slices` are where the rear axle's middle may be at the heading at which it stands.
    """

    answer: Answer
    slices: tuple[Slice, ...]
    helps: Remedies | None = None


def site_of(document: Document, lifts: Mapping[str, Lift]) -> Site | None:
    """The site of a draft that has no faults, and whose lifts are all there."""
    form = document.form
    if document.faults or not isinstance(form, SiteForm):
        return None
    if any(lift.type is not None and lift.type not in lifts for lift in form.lifts):
        return None
    return to_site(form, lifts)


def askable(shop: Shop, car: str = "") -> Iterator[tuple[Vehicle, tuple[Procedure, ...]]]:
    """Every car of the shop, or the one of a name, with the cards that can be asked for it."""
    for vehicle in shop.written.vehicles.values():
        if car and vehicle.name != car:
            continue
        cards = tuple(c for c in cards_for(shop, vehicle) if not list(missing_anchors(c, vehicle)))
        if cards:
            yield vehicle, cards


def moved_by(site: Site, held: Held, by: tuple[float, float], turn_rad: float) -> Site:
    """The site with what is held moved along and across the datum's direction, and turned about its handle.

    Raises KeyError for what is not there, ValueError for what stands nowhere.
    """
    shift = allowed(site, held.where, held.name, along_datum(by, site.datum), turn_rad)
    return moved_site(site, held.where, held.name, shift)


def fitting(site: Site, asked: Asked) -> Fitting:
    """Whether it fits, by how much or what is short, and where the axle may be."""
    grounds, answer = Grounds(site), None
    for support in _likeliest(grounds, asked):
        found = best_stance(grounds, asked.vehicle, [asked.card], support)
        if answer is None or found.fits is Fits.YES:
            answer = found
        if answer.fits is Fits.YES:
            break
    assert answer is not None  # a card that needs a place allows some support
    place = answer.stands.shown
    if answer.fits is not Fits.YES or place is None:
        return Fitting(answer, ())
    return Fitting(answer, region(answer, [place.heading_rad]))


def _likeliest(grounds: Grounds, asked: Asked) -> Sequence[SupportClass]:
    """Only the first support that fits, if one does: whether it does is told far sooner than by how much."""
    if len(asked.supports) == 1:
        return asked.supports
    for support in asked.supports:
        if any_fit(grounds, asked.vehicle, [asked.card], support) is Fits.YES:
            return (support,)
    return asked.supports


def helped(found: Fitting) -> Fitting:
    """With what would make room, where it does not fit."""
    if found.answer.fits is not Fits.NO:
        return found
    until = time.thread_time() + REMEDIES_S
    helps = find_remedies(found.answer, stopped=lambda: time.thread_time() > until)
    return Fitting(found.answer, found.slices, helps)


def along(site: Site, held: Held, ways: Sequence[tuple[float, float]], asked: Asked) -> tuple[Fits, ...]:
    """Whether it fits with what is held moved by each of these."""
    found = []
    for by in ways[:MOST_ALONG]:
        grounds = Grounds(moved_by(site, held, by, 0.0))
        each = [any_fit(grounds, asked.vehicle, [asked.card], support) for support in asked.supports]
        found.append(Fits.any_of(each))
    return tuple(found)
