"""How a shop is read where nobody says otherwise: the table `[reader]` of a site's document, saved as a new version."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from attrs import asdict, frozen

from standtrue.documents.rewriting import NotChangedError, with_fields
from standtrue.model.basics import Fault, UnansweredError
from standtrue.model.reader_units import Language, Paper, System
from standtrue.model.reason import because
from standtrue.work.accounts.secrets_kept import refused
from standtrue.work.exchange.saving import Change, StaleError, checked, save_in
from standtrue.work.keep.answers import Said
from standtrue.work.keep.versions import Saved
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
    read = served.read()
    latest = read.version("site", site)
    if latest is None or latest.content is None:
        raise UnansweredError([refused(because("no-such-site", site=site), "site")])
    now = _with_reader(latest.content, latest.path, asdict(reading))
    if now == latest.content:
        return
    change = checked(read, Change("site", site, now, latest.version))
    try:
        with served.store.writing() as connection:
            save_in(connection, change, by, said)
    except StaleError:
        raise UnansweredError([refused(because("site-changed-meanwhile", site=site), "site")]) from None


def _with_reader(content: bytes, path: str, told: Mapping[str, str]) -> bytes:
    """The document with these fields in its table of the reader, which is begun where there is none."""
    try:
        return with_fields(content, path, [(("reader", name), value) for name, value in told.items()])
    except NotChangedError:
        pass
    try:
        return with_fields(content, path, [(("reader",), dict(told))])
    except NotChangedError:
        remedy = because("write-it-by-hand", fields="[reader]")
        fault = Fault("file-changed", because("field-not-changed"), path, "", "", remedy)
        raise UnansweredError([fault]) from None
