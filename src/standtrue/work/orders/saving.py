"""A repair order's document saved as a new version, based on the one that was seen; once, however often it is sent."""

from __future__ import annotations

import re
from collections.abc import Mapping

from attrs import frozen
from sqlalchemy import Connection

from standtrue.documents import load_text
from standtrue.documents.rewriting import NotChangedError
from standtrue.documents.writing import to_toml
from standtrue.model.basics import Fault, UnansweredError
from standtrue.model.reason import Ref, because
from standtrue.model.shop import Shop
from standtrue.store.documents import Draft, Version, latest_versions, save
from standtrue.work.exchange.folders import saving_now
from standtrue.work.keep.once import Given, Request, once
from standtrue.work.orders.changes import Change


class SeenOlderError(Exception):
    """Somebody saved another version since the one that was seen. `by`: who."""

    def __init__(self, by: str) -> None:
        super().__init__(by)
        self.by = by


@frozen
class Desk:
    """Where a shop is kept, and who sits at the desk."""

    place: str
    by: str

    def change(self, name: str, seen: str, change: Change, request: Request) -> Given:
        """Save an order changed. `seen` is the mark of the version that was on the page; "" takes whatever is there.

        Raises SeenOlderError, and UnansweredError where what comes of the change is no sound order: nothing is saved.
        """

        def do(connection: Connection) -> tuple[int, bytes]:
            latest = _latest(connection, name)
            if seen and latest.mark != seen:
                raise SeenOlderError(latest.saved_by)
            assert latest.content is not None  # the latest that is there
            self._save(connection, latest, _changed(change, latest.content, latest.path))
            return 200, b""

        return once(self.place, request, do)

    def begin(self, shop: Shop, number: str, site: str, vehicle: str, fields: Mapping[str, object]) -> str:
        """A new order; its name. Raises UnansweredError where one has the number, or it is no sound document."""
        name = " ".join(number.split())
        taken = {part for job in shop.written.jobs.values() for part in (job.name, job.order_number)}
        if not name or name in taken:
            code = "order-number-taken" if name else "order-without-number"
            fault = Fault("name-taken", because(code, number=name), "", "order_number", name, because("another-number"))
            raise UnansweredError([fault])
        demonstration = any(mark.demonstration for mark in shop.written.marks if mark.kind == "site")
        content: dict[str, object] = {
            "kind": "job",
            "schema": 1,
            "name": name,
            **({"demonstration": True} if demonstration else {}),
            "site": site,
            "vehicle": vehicle,
            "order_number": name,
            **{key: value for key, value in fields.items() if value},
        }
        path = f"job-{re.sub(r'[^a-z0-9]+', '-', name.lower()).strip('-') or 'order'}.toml"

        def do(connection: Connection) -> tuple[int, bytes]:
            self._save(connection, None, to_toml(content).encode(), path)
            return 200, b""

        once(self.place, Request(self.by, f"begin {name}", name, path.encode()), do)
        return name

    def _save(self, connection: Connection, latest: Version | None, now: bytes, path: str = "") -> None:
        new = load_text(now, path if latest is None else latest.path)
        if new.faults or new.mark is None:
            raise UnansweredError(new.faults)
        mark, number, based_on = new.mark, None, 0
        if latest is not None:
            if latest.content == now:
                return
            number, based_on = latest.document, latest.version
        draft = Draft(number, based_on, mark.kind, mark.name, new.file, now, mark.digest)
        save(connection, draft, saving_now(self.by))


def _latest(connection: Connection, name: str) -> Version:
    """The order's document as it is stored. Raises UnansweredError where there is none."""
    for one in latest_versions(connection):
        if (one.kind, one.name) == ("job", name) and one.content is not None:
            return one
    what = because("order-gone", job=Ref("job", name))
    raise UnansweredError([Fault("unknown-name", what, "", "", name, because("look-at-today"))])


def _changed(change: Change, content: bytes, path: str) -> bytes:
    try:
        return change(content, path)
    except (NotChangedError, IndexError, KeyError):
        remedy = because("write-it-by-hand", fields=path)
        raise UnansweredError([Fault("file-changed", because("field-not-changed"), path, "", "", remedy)]) from None
