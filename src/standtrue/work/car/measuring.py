"""What the readings of a step say: the set-up is kept as a document, and judged."""

from __future__ import annotations

import datetime
from collections import OrderedDict
from collections.abc import Callable, Hashable
from threading import Lock
from typing import Any

from attrs import define, field
from sqlalchemy import Connection

from standtrue.documents import load_text
from standtrue.model.job import Job
from standtrue.store.database import Store, open_store
from standtrue.store.documents import Draft, latest_versions
from standtrue.work.aim.aiming import MeasuredAnswer, judge_measured
from standtrue.work.aim.laying import TargetsAnswer, lay_targets_out
from standtrue.work.car.fold import AtStep
from standtrue.work.car.keeping import Writing
from standtrue.work.car.setting import SetUp, name_of, read_set_up, set_up
from standtrue.work.keep.answers import keep_answer_in, saving_now
from standtrue.work.keep.versions import save_document
from standtrue.work.served import Served

MOST = 24


@define(eq=False)
class Lately:
    """The latest answers, by what was asked on which documents: a page asks for the same again and again."""

    _kept: OrderedDict[Hashable, Any] = field(factory=OrderedDict)
    _lock: Lock = field(factory=Lock)

    def get(self, key: Hashable, make: Callable[[], Any]) -> Any:
        """What is known under a key; made if it is not."""
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
                return self._kept[key]
        made = make()
        with self._lock:
            self._kept[key] = made
            while len(self._kept) > MOST:
                self._kept.popitem(last=False)
        return made


_LATELY = Lately()


def layout_of(served: Served, job: Job, at: AtStep) -> TargetsAnswer:
    """Where a step's targets go, and the shortest list of readings in which each is checked. Raises UnansweredError."""
    shop = served.shop()
    marks = tuple(mark for mark in shop.written.marks if mark.kind != "setup")
    others = tuple(mark for mark in shop.written.marks if mark.kind == "setup" and mark.name != _own(job, at))

    def lay() -> TargetsAnswer:
        bare = AtStep(at.step)
        with served.store.reading() as connection:
            made = set_up(shop, job, bare, latest_versions(connection))
        return lay_targets_out(shop, read_set_up(shop, job, made))

    answer: TargetsAnswer = _LATELY.get(("layout", served.place, job.name, at.step.key, marks, others), lay)
    return answer


def measured_of(served: Served, job: Job, at: AtStep) -> MeasuredAnswer | None:
    """What the set-up kept last for a step says; None where none was kept. Raises UnansweredError."""
    shop = served.shop()
    name = _own(job, at)
    if name not in shop.setups:
        return None

    def judge() -> MeasuredAnswer:
        return judge_measured(shop, shop.setups[name], datetime.date.today())

    answer: MeasuredAnswer = _LATELY.get(("measured", served.place, name, shop.written.marks), judge)
    return answer


def measure(served: Served, job: Job, at: AtStep, by: str, writing: Writing) -> MeasuredAnswer:
    """Keep what was read as the step's set-up, a document like any other; judge it, and keep that, too.

    Raises UnansweredError.
    """
    with open_store(served.place) as store:
        _save(store, served, job, at, by, writing)
        answer = measured_of(served, job, at)
        assert answer is not None  # just saved
        with store.writing() as connection:
            keep_answer_in(connection, served.shop(), job.name, writing.measured(answer), answer.basis.marks, by)
    return answer


def _own(job: Job, at: AtStep) -> str:
    return name_of(job, at.step.card)


def _save(store: Store, served: Served, job: Job, at: AtStep, by: str, writing: Writing) -> None:
    """A version of the set-up, unless the last one says the same."""
    with store.writing() as connection:
        made = set_up(served.shop(), job, at, latest_versions(connection))
        draft = _draft(connection, made)
        if draft is not None:
            save_document(connection, "changed" if draft.based_on else "new", draft, saving_now(by), writing.saved)


def _draft(connection: Connection, made: SetUp) -> Draft | None:
    content = made.text.encode()
    before = next((v for v in latest_versions(connection) if (v.kind, v.name) == ("setup", made.name)), None)
    if before is not None and before.content == content:
        return None
    mark = load_text(content, made.path).mark
    assert mark is not None  # written here
    document, version = (None, 0) if before is None else (before.document, before.version)
    path = made.path if before is None else before.path
    return Draft(document, version, "setup", made.name, path, content, mark.digest)
