"""Which editions of its cards a job was last planned with, by the plan that was kept of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from attrs import frozen

from standtrue.documents import load_text
from standtrue.documents.editions import cards_of
from standtrue.model.job import PlannedWith

if TYPE_CHECKING:
    from sqlalchemy import Connection

PLAN = "plan"


@frozen(eq=False)
class LastPlans(Mapping[str, tuple[PlannedWith, ...]]):
    """By job. The store is asked only for the job that is looked up: a shop may have thousands."""

    place: str
    jobs: tuple[str, ...]

    def __getitem__(self, job: str) -> tuple[PlannedWith, ...]:
        """The cards of the job's last plan, of those that were stored as they were used. KeyError: none was kept."""
        from standtrue.store.database import open_store
        from standtrue.store.journal import documents_of, last_of

        with open_store(self.place) as store, store.reading() as connection:
            plan = last_of(connection, job, PLAN)
            if plan is None:
                raise KeyError(job)
            named = documents_of(plan.entry.documents)
            cards = (
                _card(connection, name, version, plan.entry.at) for kind, name, version in named if kind == "procedure"
            )
            return tuple(card for card in cards if card is not None)

    def __iter__(self) -> Iterator[str]:
        return iter(self.jobs)

    def __len__(self) -> int:
        return len(self.jobs)


def _card(connection: Connection, name: str, version: int, at: str) -> PlannedWith | None:
    """A card as its version says; None for one that is not stored, or can be read no more."""
    from standtrue.store.documents import history

    versions = [
        v for v in history(connection, "procedure", name) if (v.name, v.version) == (name, version) and v.saved_at <= at
    ]
    if not versions or versions[-1].content is None:
        return None
    (card, *_) = cards_of([load_text(versions[-1].content, versions[-1].path)]) or (None,)
    return None if card is None else PlannedWith(card.name, card.source.edition, card.digest, card.fields)
