"""Drafts changed one after another by everybody who works on them, and kept as versions of their documents."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from standtrue.store.documents import Version
from standtrue.work.drafts.blanks import Changing
from standtrue.work.drafts.draft import Draft, done_now, draft_change, draft_within, keep, let_go, no_such
from standtrue.work.exchange.saving import checked, save_in
from standtrue.work.keep.answers import Said
from standtrue.work.keep.versions import Saved
from standtrue.work.served import Served


def change_draft(
    served: Served, draft_of: tuple[str, str], change: Changing, what: str, who: str, now: datetime
) -> Draft:
    """Change a draft. Raises UnansweredError where there is none, or the change names what is not there."""
    read, (kind, name) = served.read(), draft_of
    with served.store.writing() as connection:
        draft = draft_within(connection, read, kind, name)
        if draft is None:
            raise no_such(name)
        draft = draft.with_step(done_now(draft, change(draft.content), what, name, who, now))
        keep(connection, draft)
    return draft


def step_draft(served: Served, kind: str, name: str, step: Callable[[Draft], Draft]) -> Draft:
    """Undo or redo. Raises UnansweredError where there is no draft."""
    read = served.read()
    with served.store.writing() as connection:
        draft = draft_within(connection, read, kind, name)
        if draft is None:
            raise no_such(name)
        keep(connection, step(draft))
    return draft


def begin(served: Served, draft: Draft, name: str = "") -> None:
    """Keep a draft that is new; one of that name that is there already stays as it is."""
    with served.store.writing() as connection:
        if draft_within(connection, served.read(), draft.kind, name or draft.name) is None:
            keep(connection, draft if not name else Draft(draft.kind, name, 0, draft.content))


def keep_document(served: Served, kind: str, name: str, by: str, said: Callable[[Saved], Said]) -> Version:
    """Save a document as its draft has it.

    Raises UnansweredError for its faults, StaleError if it was saved by another way meanwhile.
    """
    read = served.read()
    with served.store.writing() as connection:
        draft = draft_within(connection, read, kind, name)
        if draft is None:
            raise no_such(name)
        version = save_in(connection, checked(read, draft_change(read, draft)), by, said)
        let_go(connection, kind, name)
    return version


def unwanted(served: Served, kind: str, name: str) -> None:
    """Let a draft go."""
    with served.store.writing() as connection:
        let_go(connection, kind, name)
