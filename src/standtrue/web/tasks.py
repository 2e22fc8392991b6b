"""Long answers: begun once, watched by many, stopped by anybody; what they came to is kept until it is asked again."""

from __future__ import annotations

import threading
import time
import uuid
from collections.abc import Callable, Hashable
from concurrent.futures import Future, ThreadPoolExecutor
from typing import Any

from attrs import define, field

from standtrue.model.asking import Asking, Progress
from standtrue.model.reason import Reason

KEPT = 64
"""So many answers are kept in memory, the latest."""

AT_ONCE = 2
"""So many are worked out at once; the others wait."""


def new_number() -> str:
    """A number that no other task has, or will have."""
    return uuid.uuid4().hex


@define(eq=False)
class Task:
    """One answer being worked out. `key` says of what, and on which documents."""

    key: Hashable
    number: str = field(factory=new_number)
    begun: float = field(factory=time.monotonic)
    progress: Progress | None = None
    best: Reason | None = None
    """What it would give if it were stopped, as it was told last."""
    at_work: bool = False
    """Whether it is in hand: before that it waits for others."""
    future: Future[Any] = field(factory=Future, repr=False)
    _stop: threading.Event = field(factory=threading.Event, repr=False)
    changed: threading.Condition = field(factory=threading.Condition, repr=False)

    @property
    def done(self) -> bool:
        return self.future.done()

    @property
    def stopping(self) -> bool:
        """Whether somebody asked it to end: what it has by then is its answer."""
        return self._stop.is_set()

    @property
    def was_cut_short(self) -> bool:
        """Whether it ended without its whole answer: asked again, it is begun anew."""
        return self.done and (self.stopping or self.future.exception() is not None)

    def stop(self) -> None:
        """End at the next step; the best so far is the answer."""
        self._stop.set()
        self._tell()

    def asking(self) -> Asking:
        """How its question is asked."""
        return Asking(self._note, self._stop.is_set)

    def _note(self, progress: Progress) -> None:
        self.progress, self.best = progress, progress.best or self.best
        self._tell()

    def _tell(self) -> None:
        with self.changed:
            self.changed.notify_all()


@define(eq=False)
class Tasks:
    """All of them. A question that is being answered, or was, is not asked again."""

    _all: dict[Hashable, Task] = field(factory=dict)
    _lock: threading.Lock = field(factory=threading.Lock)
    _pool: ThreadPoolExecutor = field(factory=lambda: ThreadPoolExecutor(AT_ONCE, thread_name_prefix="answer"))

    def ask(self, key: Hashable, answer: Callable[[Asking], Any], number: str | None = None) -> Task:
        """The task that answers this, begun under this number if there is none. One that was stopped or failed is begun
        anew."""
        with self._lock:
            found = self._all.pop(key, None)
            if found is None or found.was_cut_short:
                found = Task(key, number or new_number())
                self._pool.submit(_work, found, answer)
            self._all[key] = found
            for old in [k for k, task in self._all.items() if task.done][: max(0, len(self._all) - KEPT)]:
                del self._all[old]
            return found

    def find(self, number: str) -> Task | None:
        """The task of this number; None where it is not known, or no more."""
        with self._lock:
            return next((task for task in self._all.values() if task.number == number), None)

    def known(self, key: Hashable) -> Task | None:
        """The task of this question, if it was asked."""
        with self._lock:
            return self._all.get(key)

    def latest(self, begins: tuple[object, ...], wanted: Callable[[Task], bool]) -> Task | None:
        """The last asked of the questions whose key begins so, of those that are wanted."""
        with self._lock:
            every = [task for key, task in self._all.items() if isinstance(key, tuple) and key[: len(begins)] == begins]
        return next((task for task in reversed(every) if wanted(task)), None)

    def close(self) -> None:
        """Stop all that is being worked out."""
        with self._lock:
            for task in self._all.values():
                task.stop()
        self._pool.shutdown(wait=False, cancel_futures=True)


def _work(task: Task, answer: Callable[[Asking], Any]) -> None:
    task.at_work = True
    try:
        task.future.set_result(answer(task.asking()))
    except BaseException as error:  # whoever waits for it is told
        task.future.set_exception(error)
    finally:
        task._tell()
