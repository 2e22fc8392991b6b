"""How a shop is read where nobody says otherwise: the table `[reader]` of a site's document, saved as a new version."""

from __future__ import annotations

from collections.abc import Callable

from attrs import frozen

from standtrue.documents import load_text
from standtrue.documents.rewriting import NotChangedError, with_fields
from standtrue.model.basics import Fault, UnansweredError
from standtrue.model.reader_units import Language, Paper, System
from standtrue.model.reason import because
from standtrue.store.documents import Draft, latest_versions
from standtrue.work.accounts.secrets_kept import refused
from standtrue.work.keep.answers import Said, saving_now
from standtrue.work.keep.versions import Saved, save_document
from standtrue.work.served import Served


@frozen
class Reading:
    """In which units and language a shop is read, and on which paper it prints."""

    units: System
    language: Language
    paper: Paper


def set_reading(served: Served, site: str, reading: Reading, by: str, said: Callable[[Saved], Said]) -> None:
    """Say how a site is read, for everybody who has not chosen otherwise; `said` writes down that it was saved.

    Raises UnansweredError.
    """
    fields = [
        (("reader", "units"), reading.units),
        (("reader", "language"), reading.language),
        (("reader", "paper"), reading.paper),
    ]
    with served.store.writing() as connection:
        latest = next((v for v in latest_versions(connection) if (v.kind, v.name) == ("site", site)), None)
        if latest is None or latest.content is None:
            raise UnansweredError([refused(because("no-such-site", site=site), "site")])
        try:
            now = with_fields(latest.content, latest.path, fields)
        except NotChangedError:
            remedy = because("write-it-by-hand", fields="[reader]")
            fault = Fault("file-changed", because("field-not-changed"), latest.path, "", "", remedy)
            raise UnansweredError([fault]) from None
        if now == latest.content:
            return
        mark = load_text(now, latest.path).mark
        digest = "" if mark is None else mark.digest
        draft = Draft(latest.document, latest.version, "site", site, latest.path, now, digest)
        save_document(connection, "changed", draft, saving_now(by), said)
