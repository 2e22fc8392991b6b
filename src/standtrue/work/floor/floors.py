"""Drawing a floor: the edits of everybody who draws it, one after another, and what of them is kept."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from standtrue.model.reader_units import System
from standtrue.store.documents import Version
from standtrue.work.drafts.draft import (
    Draft,
    done_now,
    draft_change,
    draft_of,
    draft_within,
    keep,
    let_go,
    no_such,
)
from standtrue.work.exchange.saving import checked, save_in
from standtrue.work.floor.edits import Edit, edited
from standtrue.work.keep.answers import Said
from standtrue.work.keep.versions import Saved
from standtrue.work.served import Served

SITE = "site"

__all__ = ["Draft", "Edit", "draft_of_floor", "edit_floor", "keep_floor", "redo_floor", "undo_floor", "unwanted_floor"]


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


def undo_floor(served: Served, site: str) -> Draft:
    """Without the last change. Raises UnansweredError where there is no such site."""
    return _stepped(served, site, Draft.undone)


def redo_floor(served: Served, site: str) -> Draft:
    """With the change that was undone last. Raises UnansweredError where there is no such site."""
    return _stepped(served, site, Draft.redone)


def _stepped(served: Served, site: str, step: Callable[[Draft], Draft]) -> Draft:
    read = served.read()
    with served.store.writing() as connection:
        draft = draft_within(connection, read, SITE, site)
        if draft is None:
            raise no_such(site)
        draft = step(draft)
        keep(connection, draft)
    return draft


def keep_floor(served: Served, site: str, by: str, said: Callable[[Saved], Said]) -> Version:
    """Save the floor as drawn: from now on it is the shop's.

    Raises UnansweredError for the faults that it would leave, StaleError where the site was saved by another way since
    the draft began: then the draft stays as it is.
    """
    read = served.read()
    with served.store.writing() as connection:
        draft = draft_within(connection, read, SITE, site)
        if draft is None:
            raise no_such(site)
        version = save_in(connection, checked(read, draft_change(read, draft)), by, said)
        let_go(connection, SITE, site)
    return version


def unwanted_floor(served: Served, site: str) -> None:
    """Back to the floor as it was saved."""
    with served.store.writing() as connection:
        let_go(connection, SITE, site)
