"""How a question is asked: whom to tell of progress, when to stop early, and on how many workers.

Values passed down from whoever asks. Nothing below the two ways in raises or catches an interrupt: work looks at
`stopped` between its steps, and an early stop returns the best so far.
"""

from __future__ import annotations

from collections.abc import Callable

from attrs import evolve, frozen

from standtrue.model.reason import Reason


@frozen
class Progress:
    """So many of so many steps are done; `what` is the step in hand. `total` 0: not known.

    `best` says what was found by then, where there is something that an early stop would give.
    """

    what: Reason
    done: int = 0
    total: int = 0
    best: Reason | None = None


def _never() -> bool:
    return False


def _nobody(_progress: Progress) -> None:
    return None


@frozen
class Asking:
    """How one question is asked. The default: nobody is told, nothing stops it, one worker."""

    tell: Callable[[Progress], None] = _nobody
    stopped: Callable[[], bool] = _never
    workers: int = 1

    def until(self, also: Callable[[], bool]) -> Asking:
        """The same, that this stops, too."""
        before = self.stopped
        return evolve(self, stopped=lambda: before() or also())
