"""A document as it is being changed: with the changes since it was saved, each of which can be undone.

A draft is one for all who change the same document. It lies in the store, so that neither a reload nor a killed server
loses a change; only what is kept becomes a version of the document.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import datetime
from functools import lru_cache
from typing import Any

from attrs import asdict, evolve, frozen
from sqlalchemy import Connection

from standtrue.documents import Document, load_text
from standtrue.model.basics import Fault, UnansweredError
from standtrue.model.reason import because
from standtrue.store.drafts import drop_draft, keep_draft, read_draft
from standtrue.work.exchange.saving import Change, change_as_said
from standtrue.work.served import Read, Served

SHAPE = 1
"""The version of the shape in which a draft is kept."""

MOST_STEPS = 200
"""So many changes can be undone."""

Content = Mapping[str, Any]


@frozen
class Done:
    """A change: what stood in the fields that it changed before and after (None: nothing), what was done to which
    thing, by whom and when."""

    before: Content
    after: Content
    what: str
    name: str
    who: str
    at: str


@frozen(eq=False)
class Draft:
    """A document as changed: `content` is what it would say. `seen` is the version that it began from (0: it is new),
    `steps` are the changes since, and `at` so many of them hold: those behind were undone."""

    kind: str
    name: str
    seen: int
    content: Content
    steps: tuple[Done, ...] = ()
    at: int = 0

    @property
    def changed(self) -> bool:
        """Whether there is anything to keep."""
        return self.at > 0

    @property
    def last(self) -> Done | None:
        """The last change that holds."""
        return self.steps[self.at - 1] if self.at else None

    @property
    def can_redo(self) -> bool:
        return self.at < len(self.steps)

    @property
    def tag(self) -> str:
        """Another one after every change, undone or not."""
        return f"{self.seen}.{self.at}.{self.last.at if self.last else ''}"

    def with_step(self, done: Done) -> Draft:
        """With one more change; what was undone before it is gone."""
        steps = (*self.steps[: self.at], done)[-MOST_STEPS:]
        return evolve(self, content=_put(self.content, done.after), steps=steps, at=len(steps))

    def undone(self) -> Draft:
        """Without the last change; the same where there is none."""
        if not self.at:
            return self
        done = self.steps[self.at - 1]
        return evolve(self, content=_put(self.content, done.before), at=self.at - 1)

    def redone(self) -> Draft:
        """With the change that was undone last."""
        if not self.can_redo:
            return self
        done = self.steps[self.at]
        return evolve(self, content=_put(self.content, done.after), at=self.at + 1)

    def document(self) -> Document:
        """It as a document, read: with its faults."""
        return _read(json.dumps(dict(self.content), default=str))


@lru_cache(maxsize=8)
def _read(said: str) -> Document:
    """While something is dragged the same is asked again and again."""
    return load_text(said, "draft.json")


def _put(content: Content, fields: Content) -> Content:
    return {key: value for key, value in {**content, **fields}.items() if value is not None}


def draft_of(served: Served, kind: str, name: str) -> Draft | None:
    """The draft of a document, or the document as it was saved. None where there is neither."""
    with served.store.reading() as connection:
        return draft_within(connection, served.read(), kind, name)


def draft_within(connection: Connection, read: Read, kind: str, name: str) -> Draft | None:
    """The same within a transaction."""
    kept = read_draft(connection, kind, name)
    return _as_saved(read, kind, name) if kept is None else _loaded(kept)


def keep(connection: Connection, draft: Draft) -> None:
    """Keep a draft that was changed; one that holds nothing and cannot be redone is let go."""
    if draft.steps or not draft.seen:
        text = json.dumps({"shape": SHAPE, **asdict(draft)}, ensure_ascii=False, default=str)
        keep_draft(connection, draft.kind, draft.name, text)
    else:
        let_go(connection, draft.kind, draft.name)


def let_go(connection: Connection, kind: str, name: str) -> None:
    """Let a draft go: it was kept, or is not wanted."""
    drop_draft(connection, kind, name)


def draft_change(read: Read, draft: Draft) -> Change:
    """What keeping a draft saves. Raises UnansweredError for its faults."""
    said = json.dumps(dict(draft.content), ensure_ascii=False, default=str).encode()
    return change_as_said(read, draft.kind, draft.name, said, draft.seen)


def done_now(draft: Draft, after: Content, what: str, name: str, who: str, now: datetime) -> Done:
    """A change that is made now."""
    at = now.astimezone().isoformat(timespec="milliseconds")
    return Done({key: draft.content.get(key) for key in after}, after, what, name, who, at)


def no_such(name: str) -> UnansweredError:
    """What is said where something is named that the document does not have."""
    what, remedy = because("draft-lacks-thing", name=name), because("look-again")
    return UnansweredError([Fault("unknown-reference", what, "", "name", name, remedy)])


def _as_saved(read: Read, kind: str, name: str) -> Draft | None:
    there = read.version(kind, name)
    if there is None:
        return None
    document = next(d for d in read.documents if d.file == there.path)
    return Draft(kind, name, there.version, document.content)


def _loaded(text: str) -> Draft:
    told = json.loads(text)
    assert told.pop("shape") == SHAPE  # there is no other yet
    steps = tuple(Done(**step) for step in told.pop("steps"))
    return Draft(**told, steps=steps)
