"""Staircases and coverage, with fit functions whose frontiers are known."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from standtrue.model.asking import Asking
from standtrue.model.fits import Fits
from standtrue.study.coverage import Coverage, Options, coverage_of_orders
from standtrue.study.sizes import Frontier, Size, SizeQuestion, SizeRange, find_frontiers

SMALL = SizeRange((2.0, 3.0), (4.0, 6.0), 0.05)
"""21 widths and 41 lengths: small enough to ask every one."""


def one_each(frontiers: Sequence[Frontier]) -> list[tuple[Options, ...]]:
    """Work that is one car at one card each."""
    return [(((i,),),) for i in range(len(frontiers))]


def asker(
    fits: Callable[[Size], bool | Fits], count: list[int] | None = None
) -> Callable[[Sequence[SizeQuestion]], list[Fits]]:
    def ask(asked: Sequence[SizeQuestion]) -> list[Fits]:
        if count is not None:
            count.append(len(asked))
        return [told(fits(size)) for size, _, _ in asked]

    return ask


def told(fits: bool | Fits) -> Fits:
    return fits if isinstance(fits, Fits) else Fits.of(fits)


def lattice(sizes: SizeRange) -> list[Size]:
    return [sizes.size(w, length) for w in range(sizes.widths) for length in range(sizes.lengths)]


corners = st.lists(st.tuples(st.integers(-3, 24), st.integers(-3, 44)), max_size=6)


@given(corners)
@settings(derandomize=True, deadline=None, max_examples=80)
def test_every_size_is_classified_as_the_function_says(least: list[tuple[int, int]]) -> None:
    """Any staircase, known by its corners, comes back whole: checked at every size of the lattice."""

    def fits(size: Size) -> bool:
        width, length = SMALL.lattice(size)
        return any(width >= w and length >= at for w, at in least)

    (frontier,) = find_frontiers(asker(fits), [(0, 0)], SMALL)
    assert all(frontier.fits(size) == fits(size) for size in lattice(SMALL))
    widths, lengths = [c.width_m for c in frontier.corners], [c.length_m for c in frontier.corners]
    assert widths == sorted(set(widths))
    assert lengths == sorted(set(lengths), reverse=True)


def test_a_slanted_frontier_is_met_within_a_step_everywhere() -> None:
    sizes = SizeRange((2.5, 4.5), (4.0, 7.0))
    (frontier,) = find_frontiers(asker(lambda s: 1.3 * s.width_m + s.length_m >= 9.0), [(0, 0)], sizes)
    for corner in frontier.corners:
        assert 1.3 * corner.width_m + corner.length_m >= 9.0
        assert 1.3 * corner.width_m + corner.length_m - sizes.step_m < 9.0
    for first, second in zip(frontier.corners, frontier.corners[1:], strict=False):
        assert second.width_m - first.width_m <= sizes.step_m + 1e-9
    for i in range(260):
        width = 2.5 + i * 0.005 + 0.0021
        exact = 9.0 - 1.3 * width
        assert not frontier.fits(Size(width, exact - 1e-6))
        assert frontier.fits(Size(width + 0.005, exact + 0.005))


def test_a_step_takes_few_questions() -> None:
    count: list[int] = []
    ask = asker(lambda s: s.width_m >= 3.1234 and s.length_m >= 7.77, count)
    (frontier,) = find_frontiers(ask, [(0, 0)])
    assert frontier.corners == (Size(3.125, 7.77),)
    assert sum(count) < 60


@given(corners, corners)
@settings(derandomize=True, deadline=None, max_examples=40)
def test_a_bound_known_beforehand_changes_no_answer(least: list[tuple[int, int]], more: list[tuple[int, int]]) -> None:
    """Whatever is below the bound does not fit anyway; then fewer sizes are asked, and the same come back."""

    def staircase(corners: list[tuple[int, int]], size: Size) -> bool:
        width, length = SMALL.lattice(size)
        return any(width >= w and length >= at for w, at in corners)

    (bound,) = find_frontiers(asker(lambda s: staircase(least + more, s)), [(0, 0)], SMALL)
    plain, fewer = list[int](), list[int]()
    fits = [asker(lambda s: staircase(least, s), count) for count in (plain, fewer)]
    (one,), (other,) = (
        find_frontiers(fits[0], [(0, 0)], SMALL),
        find_frontiers(fits[1], [(0, 0)], SMALL, bounds=[bound]),
    )
    assert one == other
    assert not more or sum(fewer) <= sum(plain) + 25


def test_many_pairs_are_asked_together() -> None:
    count: list[int] = []

    def ask(asked: Sequence[SizeQuestion]) -> list[Fits]:
        count.append(len(asked))
        return [Fits.of(size.width_m >= 3 + car / 10 and size.length_m >= 5 + card / 10) for size, car, card in asked]

    pairs = [(car, card) for car in range(20) for card in range(5)]
    progress: list[tuple[int, int]] = []
    found = find_frontiers(ask, pairs, asking=Asking(tell=lambda p: progress.append((p.done, p.total))))
    assert [(f.car, f.card) for f in found] == pairs
    assert count[0] == 100
    assert len(count) < 60
    assert progress[-1][0] == progress[-1][1]
    assert [d for d, _ in progress] == sorted(d for d, _ in progress)


def test_undecided_counts_as_not_fitting_and_is_told() -> None:
    def fits(size: Size) -> Fits:
        if size.length_m < 5.0 - 1e-9:
            return Fits.NO
        return Fits.UNDECIDED if size.length_m < 5.05 - 1e-9 else Fits.YES

    (frontier,) = find_frontiers(asker(fits), [(0, 0)], SMALL)
    assert frontier.undecided > 0
    assert frontier.corners == (Size(2.0, 5.05),)


def test_nothing_fits_anywhere_or_everything_everywhere() -> None:
    (none,) = find_frontiers(asker(lambda _: False), [(0, 0)], SMALL)
    assert none.corners == ()
    (all_of_it,) = find_frontiers(asker(lambda _: True), [(0, 0)], SMALL)
    assert all_of_it.corners == (Size(2.0, 4.0),)


def three() -> Coverage:
    frontiers = (
        Frontier(0, 0, (Size(2.5, 4.5),)),
        Frontier(1, 0, (Size(2.2, 5.5), Size(2.8, 4.8))),
        Frontier(2, 0, ()),
    )
    return coverage_of_orders(frontiers, one_each(frontiers), (6.0, 3.0, 1.0), SMALL)


def test_coverage_is_the_weighted_share() -> None:
    coverage = three()
    assert coverage.share(Size(2.1, 6.0)) == 0.0
    assert coverage.share(Size(2.3, 5.9)) == pytest.approx(0.3)
    assert coverage.share(Size(2.5, 4.5)) == pytest.approx(0.6)
    assert coverage.share(Size(2.5, 5.5)) == pytest.approx(0.9)
    assert coverage.share(Size(2.5, 4.9)) == pytest.approx(0.6)
    assert coverage.share(Size(50.0, 50.0)) == pytest.approx(0.9)
    assert coverage.greatest == pytest.approx(0.9)
    assert coverage.share(Size(1.0, 50.0)) == 0.0


def test_the_least_bays_for_a_share() -> None:
    coverage = three()
    assert coverage.least_bay(0.3).bays == (Size(2.2, 5.5), Size(2.5, 4.5))
    ninety = coverage.least_bay(0.9)
    assert ninety.bays == (Size(2.5, 5.5), Size(2.8, 4.8))
    assert ninety.least_area == Size(2.8, 4.8)
    assert coverage.least_bay(0.95).bays == ()
    assert coverage.least_bay(0.95).least_area is None


def test_an_order_is_covered_where_each_of_its_needs_is() -> None:
    """By hand, of the three frontiers above: all of a set of cards, any of the sets, each of the needs."""
    frontiers = (
        Frontier(0, 0, (Size(2.5, 4.5),)),
        Frontier(0, 1, (Size(2.2, 5.5), Size(2.8, 4.8))),
        Frontier(0, 2, ()),
    )
    both: list[Options] = [((0, 1),)]
    either: list[Options] = [((0,), (1,))]
    two_needs: list[Options] = [((0,),), ((1,),)]
    one_impossible: list[Options] = [((0,),), ((2,),)]
    no_card: list[Options] = [()]
    always: list[Options] = [((),)]
    orders = [both, either, two_needs, one_impossible, no_card, always]
    covered = [coverage_of_orders(frontiers, [order], [1.0], SMALL) for order in orders]
    for size, shares in (
        (Size(2.2, 5.5), [0, 1, 0, 0, 0, 1]),
        (Size(2.5, 4.5), [0, 1, 0, 0, 0, 1]),
        (Size(2.5, 5.5), [1, 1, 1, 0, 0, 1]),
        (Size(2.8, 4.8), [1, 1, 1, 0, 0, 1]),
        (Size(3.0, 6.0), [1, 1, 1, 0, 0, 1]),
    ):
        assert [coverage.share(size) for coverage in covered] == shares


def test_stopped_early_it_tells_what_is_known_by_then() -> None:
    asked = [0]

    def ask(sizes: Sequence[SizeQuestion]) -> list[Fits]:
        asked[0] += 1
        return [Fits.of(size.width_m + size.length_m >= 7.5 if car else size.length_m >= 5.0) for size, car, _ in sizes]

    asking = Asking(stopped=lambda: asked[0] >= 20)
    flat, slanted = find_frontiers(ask, [(0, 0), (1, 0)], SMALL, asking)
    assert not slanted.whole
    assert slanted.corners
    assert all(c.width_m + c.length_m >= 7.5 for c in slanted.corners)
    assert flat.whole
    assert flat.corners == (Size(2.0, 5.0),)


staircases = st.lists(corners, min_size=1, max_size=5)


@given(staircases, st.sampled_from([0.5, 0.8, 0.95, 0.99]))
@settings(derandomize=True, deadline=None, max_examples=40)
def test_a_contour_is_where_the_share_is_reached(least: list[list[tuple[int, int]]], level: float) -> None:
    """And a larger bay never covers less."""

    def ask(asked: Sequence[SizeQuestion]) -> list[Fits]:
        steps = [(SMALL.lattice(size), car) for size, car, _ in asked]
        return [Fits.of(any(w >= cw and at >= cl for cw, cl in least[car])) for (w, at), car in steps]

    frontiers = find_frontiers(ask, [(car, 0) for car in range(len(least))], SMALL)
    coverage = coverage_of_orders(frontiers, one_each(frontiers), [1.0 + car for car in range(len(least))], SMALL)
    bays = coverage.least_bay(level).bays
    for size in lattice(SMALL):
        inside = any(size.width_m >= b.width_m and size.length_m >= b.length_m for b in bays)
        assert inside == (coverage.share(size) >= level - 1e-9)
        longer = Size(size.width_m, size.length_m + SMALL.step_m)
        assert coverage.share(longer) >= coverage.share(size) - 1e-12
