"""The farthest that fits, with fit functions whose answers are known."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from standtrue.model.asking import Asking
from standtrue.model.fits import Fits
from standtrue.study.ahead import STEP_MM, DistanceQuestion, find_distances


def asker(way: int, stands: Callable[[int], bool | Fits]) -> Callable[[Sequence[DistanceQuestion]], list[Fits]]:
    """The way is free up to `way`; where a target can stand is as the function says."""

    def ask(asked: Sequence[DistanceQuestion]) -> list[Fits]:
        return [told(stands(mm)) if standing and mm <= way else Fits.of(mm <= way) for _, mm, standing in asked]

    return ask


def told(fits: bool | Fits) -> Fits:
    return fits if isinstance(fits, Fits) else Fits.of(fits)


@given(st.integers(0, 3000), st.integers(0, 200))
@settings(derandomize=True, deadline=None, max_examples=80)
def test_where_a_target_can_stand_anywhere_the_way_decides(way: int, least: int) -> None:
    (found,) = find_distances(asker(way, lambda _: True), [(least, 2500)])
    assert found.most_mm == (min(way, 2500) if way >= least else None)
    assert found.known


@given(st.lists(st.tuples(st.integers(0, 2400), st.integers(STEP_MM, 500)), max_size=4), st.integers(0, 3000))
@settings(derandomize=True, deadline=None, max_examples=120)
def test_beyond_a_pit_counts(stretches: list[tuple[int, int]], way: int) -> None:
    """Targets can stand in some stretches only, each as long as the step at least: the farthest end of all is found."""

    def stands(mm: int) -> bool:
        return any(a <= mm <= a + long for a, long in stretches)

    (found,) = find_distances(asker(way, stands), [(0, 2500)])
    farthest = max((mm for mm in range(min(way, 2500) + 1) if stands(mm)), default=None)
    if farthest is not None and all(min(way, 2500) - a >= STEP_MM for a, _ in stretches if a <= way):
        assert found.most_mm == farthest
    elif found.most_mm is not None:
        assert stands(found.most_mm)


@pytest.mark.parametrize("way", [0, 57, 1234])
def test_many_are_asked_together_and_told_in_order(way: int) -> None:
    calls: list[int] = []

    def ask(asked: Sequence[DistanceQuestion]) -> list[Fits]:
        calls.append(len(asked))
        return [Fits.of(mm <= way + 10 * number) for number, mm, _ in asked]

    progress: list[tuple[int, int]] = []
    asking = Asking(tell=lambda p: progress.append((p.done, p.total)))
    found = find_distances(ask, [(0, 5000)] * 20, asking)
    assert [r.most_mm for r in found] == [way + 10 * i for i in range(20)]
    assert progress[-1] == (20, 20)
    assert len(calls) < 25


def test_what_cannot_be_told_counts_as_not_fitting_and_is_said() -> None:
    def stands(mm: int) -> Fits:
        return Fits.YES if mm <= 700 else Fits.UNDECIDED if mm <= 702 else Fits.NO

    (found,) = find_distances(asker(2000, stands), [(0, 2500)])
    assert found.most_mm == 700
    assert found.undecided


def test_stopped_early_it_says_what_is_not_known() -> None:
    calls = [0]

    def ask(asked: Sequence[DistanceQuestion]) -> list[Fits]:
        calls[0] += 1
        return [Fits.of(number == 1 and mm < 900) for number, mm, _ in asked]

    none, unknown = find_distances(ask, [(0, 2500)] * 2, Asking(stopped=lambda: calls[0] >= 4))
    assert calls == [4]
    assert none.known
    assert none.most_mm is None
    assert not unknown.known
