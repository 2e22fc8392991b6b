"""Drawing a floor: the edits of everybody who draws it, one after another."""

from __future__ import annotations

from datetime import datetime

from standtrue.model.reader_units import System
from standtrue.work.drafts.draft import (
    Draft,
    done_now,
    draft_of,
    draft_within,
    keep,
    no_such,
)
from standtrue.work.floor.edits import Edit, edited
from standtrue.work.served import Served

SITE = "site"

__all__ = ["SITE", "Draft", "Edit", "draft_of_floor", "edit_floor"]


def draft_of_floor(served: Served, site: str) -> Draft | None:
    """The floor as it is being drawn. None where there is no such site."""
    return draft_of(served, SITE, site)


def edit_floor(served: Served, site: str, edit: Edit, who: str, now: datetime, units: System) -> tuple[Draft, str]:
    """Do one edit to the floor as it is now, whoever changed it last; and what the thing is called then.

    What leaves a fault is kept, so that nothing typed is lost: the draft's document has the fault. Raises
    UnansweredError for what is not there or cannot be read.
    """
    read = served.read()
    with served.store.writing() as connection:
        draft = draft_within(connection, read, SITE, site)
        if draft is None:
            raise no_such(site)
        after, name = edited(draft, edit, read.folder.lifts, units)
        draft = draft.with_step(done_now(draft, after, edit.do, name, who, now))
        keep(connection, draft)
    return draft, name
