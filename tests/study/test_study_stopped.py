"""A stop anywhere in a study gives what is known by then, said to be partial; what is told does not change with it."""

from __future__ import annotations

from typing import Any

import pytest
from attrs import evolve

from standtrue.demo import write_demo
from standtrue.documents import Folder, read_folder
from standtrue.model.asking import Asking, Progress
from standtrue.model.reason import Reason, because
from standtrue.model.study import Study
from standtrue.place.kernels import batch
from standtrue.place.many import many
from standtrue.show.words.reader import ENGLISH
from standtrue.show.words.study import partial_words
from standtrue.work.study import asker
from standtrue.work.study.answer import StudyAnswer
from standtrue.work.study.studies import find_study


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Folder:
    """Three cars and two kinds of order, in a room and in one of its bays."""
    folder = tmp_path_factory.mktemp("shop")
    write_demo(folder)
    found = read_folder(folder)
    (mix,) = found.mixes.values()
    return evolve(found, mixes={mix.name: evolve(mix, vehicles=mix.vehicles[:3])})


def study_of(shop: Folder) -> Study:
    (study,) = shop.studies.values()
    sites = (*study.sites, *study.sites)
    return evolve(study, work=study.work[2:4], sites=sites[:1], bays=("Tanbark Row/long bay", "Tanbark Row/lift bay"))


def stopped_at(shop: Folder, share: float) -> tuple[StudyAnswer, list[tuple[int, int]]]:
    """The study stopped once so much of it is done, and what was told by then."""
    told: list[tuple[int, int]] = []

    def tell(progress: Progress) -> None:
        told.append((progress.done, progress.total))

    def stopped() -> bool:
        return bool(told) and told[-1][0] >= share * told[-1][1]

    return find_study(shop.shop(), study_of(shop), asking=Asking(tell, stopped)), told


@pytest.fixture(scope="module")
def whole(shop: Folder) -> StudyAnswer:
    return find_study(shop.shop(), study_of(shop), asking=Asking(workers=3))


@pytest.mark.parametrize("share", [0.0, 0.02, 0.5, 0.95])
def test_what_is_told_is_what_the_whole_study_says(
    shop: Folder, whole: StudyAnswer, share: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(asker, "AT_ONCE", 16)
    answer, told = stopped_at(shop, share)
    assert [done >= share * of for done, of in told].index(True) == len(told) - 1, "it stops at the next step"
    assert answer.partial
    assert "stopped before its end" in partial_words(answer, ENGLISH)
    assert answer.basis.limits == (answer.stopped,)
    assert set(answer.cars) <= set(whole.cars)
    assert len(answer.rooms) <= len(whole.rooms)
    for room, full in zip(answer.rooms, whole.rooms, strict=False):
        assert room.table == {key: fits for key, fits in full.table.items() if key[0] in answer.cars}
        if answer.cars == whole.cars:
            assert room.tally == full.tally
            assert {(c.what, c.moved_m, c.won) for c in room.changes} <= {
                (c.what, c.moved_m, c.won) for c in full.changes
            }


def test_what_a_stop_would_give_is_told_and_given(shop: Folder, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(asker, "AT_ONCE", 16)
    best: list[Reason] = []

    def tell(progress: Progress) -> None:
        best.extend([] if progress.best is None else [progress.best])

    answer = find_study(shop.shop(), study_of(shop), asking=Asking(tell, stopped=lambda: len(best) > 0))
    (told,) = best
    room = answer.rooms[0].room
    assert told == because("cars-so-far", count=len(answer.cars), of=3, room=room.ref)
    assert ENGLISH.reason(told).endswith("for 2 of 3 cars")
    best.clear()
    every = find_study(shop.shop(), study_of(shop), places=False, driven=False, asking=Asking(tell))
    assert {one["room"] for one in best} == {one.room.ref for one in every.rooms}
    assert best[-1]["count"] == len(every.cars), "of a later room nothing but all cars"


def test_the_forecast_reaches_its_end(shop: Folder, whole: StudyAnswer) -> None:
    told: list[tuple[int, int]] = []
    asking = Asking(tell=lambda p: told.append((p.done, p.total)))
    answer = find_study(shop.shop(), study_of(shop), places=False, asking=asking)
    assert not answer.partial
    assert [d for d, _ in told] == sorted(d for d, _ in told)
    assert all(done <= of for done, of in told)
    done, of = told[-1]
    assert done >= 0.6 * of
    assert [r.tally for r in answer.rooms] == [r.tally for r in whole.rooms]


def test_one_worker_or_several_say_the_same(shop: Folder, whole: StudyAnswer) -> None:
    one = find_study(shop.shop(), study_of(shop), places=False)
    assert [r.table for r in one.rooms] == [r.table for r in whole.rooms]
    assert [[c.table for c in r.changes] for r in one.rooms] == [[c.table for c in r.changes] for r in whole.rooms]


def test_a_wall_moves_as_little_as_wins_as_much(whole: StudyAnswer) -> None:
    """To 5 mm; a farther move never wins less."""
    walls = [c for room in whole.rooms for c in room.changes if c.kind == "wall"]
    for change in walls:
        assert change.moved_m is not None
        assert change.moved_m == pytest.approx(round(change.moved_m / 0.005) * 0.005)
        for other in walls:
            if (other.what, other.room.name) == (change.what, change.room.name):
                assert other.moved_m is not None
                assert other.moved_m <= change.moved_m or other.won >= change.won


def test_stopped_before_its_first_step_it_says_that_nothing_is_known(shop: Folder) -> None:
    answer = find_study(shop.shop(), study_of(shop), asking=Asking(stopped=lambda: True))
    assert answer.partial
    assert answer.rooms == ()
    assert answer.cars == ()


def test_what_goes_wrong_in_one_worker_is_not_lost(shop: Folder, monkeypatch: pytest.MonkeyPatch) -> None:
    """An early stop is a value, so nothing of what a thread raises is taken for one."""
    rows: Any = batch.answer_rows
    calls: list[int] = []

    def broken(*asked: object) -> None:
        calls.append(1)
        if len(calls) == 5:
            raise ZeroDivisionError("in one share")
        rows(*asked)

    monkeypatch.setattr(many, "answer_rows", broken)
    with pytest.raises(ZeroDivisionError, match="in one share"):
        find_study(shop.shop(), study_of(shop), places=False, asking=Asking(stopped=lambda: False, workers=3))
    assert len(calls) >= 5
