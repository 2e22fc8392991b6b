"""A repair order's document saved as a new version, based on the one that was seen; once, however often it is sent."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from attrs import frozen

from standtrue.documents.rewriting import NotChangedError
from standtrue.documents.writing import to_toml
from standtrue.model.basics import Fault, UnansweredError
from standtrue.model.reason import Ref, because
from standtrue.work.exchange.saving import Change as Version
from standtrue.work.exchange.saving import StaleError, checked, save_in
from standtrue.work.keep.answers import Said
from standtrue.work.keep.once import Request, earlier, note
from standtrue.work.keep.versions import Saved
from standtrue.work.orders.changes import Change
from standtrue.work.served import Served

JOB = "job"


class SeenOlderError(Exception):
    """Somebody saved another version since the one that was seen. `by`: who."""

    def __init__(self, by: str) -> None:
        super().__init__(by)
        self.by = by


@frozen(eq=False)
class Desk:
    """A shop as it is served, who sits at the desk, and how what is saved is written down in its record."""

    served: Served
    by: str
    said: Callable[[Saved], Said]

    def change(self, name: str, seen: str, change: Change, request: Request) -> None:
        """Save an order changed. `seen` is the mark of the version that was on the page; "" takes whatever is there.

        Raises SeenOlderError, and UnansweredError where what comes of the change is no sound order: nothing is saved.
        """
        with self.served.store.reading() as connection:
            if earlier(connection, request) is not None:
                return
        read = self.served.read()
        there = read.version(JOB, name)
        if there is None or there.content is None:
            what = because("order-gone", job=Ref(JOB, name))
            raise UnansweredError([Fault("unknown-name", what, "", "", name, because("look-at-today"))])
        if seen and there.mark != seen:
            raise SeenOlderError(there.saved_by)
        now = _changed(change, there.content, there.path)
        if now != there.content:
            self._save(checked(read, Version(JOB, name, now, there.version)), request)

    def begin(self, number: str, site: str, vehicle: str, fields: Mapping[str, object], request: Request) -> str:
        """A new order; its name. Raises UnansweredError where one has the number, or it is no sound document."""
        name = " ".join(number.split())
        with self.served.store.reading() as connection:
            if earlier(connection, request) is not None:
                return name
        read = self.served.read()
        taken = {part for job in read.folder.jobs.values() for part in (job.name, job.order_number)}
        if not name or name in taken:
            code = "order-number-taken" if name else "order-without-number"
            fault = Fault("name-taken", because(code, number=name), "", "order_number", name, because("another-number"))
            raise UnansweredError([fault])
        demonstration = any(mark.demonstration for mark in read.folder.marks if mark.kind == "site")
        content: dict[str, object] = {
            "kind": JOB,
            "schema": 1,
            "name": name,
            **({"demonstration": True} if demonstration else {}),
            "site": site,
            "vehicle": vehicle,
            "order_number": name,
            **{key: value for key, value in fields.items() if value},
        }
        self._save(checked(read, Version(JOB, name, to_toml(content).encode(), 0)), request)
        return name

    def _save(self, version: Version, request: Request) -> None:
        with self.served.store.writing() as connection:
            if earlier(connection, request) is not None:
                return
            try:
                save_in(connection, version, self.by, self.said)
            except StaleError as error:
                raise SeenOlderError(error.latest.saved_by) from error
            note(connection, request, 200, b"")


def _changed(change: Change, content: bytes, path: str) -> bytes:
    try:
        return change(content, path)
    except (NotChangedError, IndexError, KeyError):
        remedy = because("write-it-by-hand", fields=path)
        raise UnansweredError([Fault("file-changed", because("field-not-changed"), path, "", "", remedy)]) from None
