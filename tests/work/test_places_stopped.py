"""An early stop of the search for places: what is done is told, and what is left out. All invented."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from attrs import evolve

from standtrue.model.asking import Asking, Progress
from standtrue.model.fits import Fits
from standtrue.model.procedure import Procedure, Source, Zone
from standtrue.model.reason import Reason
from standtrue.model.shop import Shop, Written
from standtrue.model.site import Datum, Site
from standtrue.model.vehicle import Vehicle
from standtrue.show.words.reader import ENGLISH
from standtrue.work.place.places import Places, find_places

CAR = Vehicle("car", 4.0, 1.8, 1.8, 1.5, 2.5, 0.7, 1.5, 1.5, 0.2, 0.6, 0.15)
SITE = Site("hall", ((0, 0), (20, 0), (20, 8), (0, 8)), Datum((0.0, 0.0)))
ZONE = Zone("stand", "stand", "front", ((0.5, -0.5), (1.5, -0.5), (1.5, 0.5), (0.5, 0.5)), 0.0, 1.0)
CARDS = tuple(
    Procedure(name, "front radar", "static", Source("invented"), zones=(ZONE,)) for name in ("a", "b", "c", "d", "e")
)


def stopped_after(steps: int, workers: int, cards: Sequence[Procedure] = CARDS) -> tuple[Places, list[Progress]]:
    told: list[Progress] = []
    asking = Asking(told.append, lambda: len(told) >= steps, workers)
    return find_places(Shop(Written()), SITE, CAR, cards, ["floor"], asking=asking), told


@pytest.mark.parametrize("workers", [1, 2])
def test_stopped_early_it_tells_what_is_done_and_what_is_left_out(workers: int) -> None:
    places, told = stopped_after(1, workers)
    done = [a.name for a in places.answers]
    assert done[0] == "a"
    assert len(told) == len(done)
    left = [str(r["card"]) for r in places.left_out]
    assert sorted([*done, *left]) == [c.key for c in CARDS]
    assert not places.gave_up
    assert len(places.slices) == len(places.remedies) == len(done)


def test_one_worker_ends_right_behind_the_answer_in_hand() -> None:
    """The next may have been begun by its thread before the stop is seen; the last of many never is."""
    many = tuple(evolve(CARDS[0], name=f"card {n}") for n in range(200))
    places, _ = stopped_after(1, 1, many)
    assert len(places.answers) < len(many)
    codes = [limit.code for limit in places.basis.limits if isinstance(limit, Reason)]
    assert codes == ["places-left-out", "shared-left-out"]
    (left, shared) = ENGLISH.reasons(places.basis.limits)
    assert left.startswith("stopped early; not answered: ")
    assert left.endswith("card 199 (floor)")
    assert shared == "stopped early: shared places were not looked for"
    assert not places.shared.places
    assert not places.shared.proven
    assert not places.shared.unserved


def test_stopped_before_the_first_answer_it_gave_up() -> None:
    places, _ = stopped_after(0, 1)
    assert len(places.answers) < len(CARDS)
    assert places.answers or places.gave_up


@pytest.mark.parametrize("workers", [1, 2])
def test_not_stopped_it_leaves_nothing_out(workers: int) -> None:
    places, told = stopped_after(99, workers)
    assert [a.name for a in places.answers] == [c.key for c in CARDS]
    assert not places.left_out
    assert places.basis.limits == ()
    assert len(places.shared.places) == 1
    assert [(p.done, p.total) for p in told] == [(n, 5) for n in range(1, 6)]


def test_what_would_make_room_is_looked_for_so_long_and_no_longer(monkeypatch: pytest.MonkeyPatch) -> None:
    """With no time for it at all the answer is there as it is, and what was not asked is named."""
    small = evolve(SITE, outline=((0, 0), (5, 0), (5, 1.5), (0, 1.5)))

    def asked() -> Places:
        return find_places(Shop(Written()), small, CAR, CARDS[:1], ["floor"])

    whole = asked()
    monkeypatch.setattr("standtrue.work.place.places.REMEDIES_S", 0.0)
    short = asked()
    assert [a.fits for a in short.answers] == [a.fits for a in whole.answers] == [Fits.NO]
    assert not whole.remedies[0].cut
    assert short.remedies[0].cut
    assert short.remedies[0].missing
    assert "remedies-cut-short" in [limit.code for limit in short.basis.limits if isinstance(limit, Reason)]
