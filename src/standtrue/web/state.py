"""What the server holds for as long as it runs, and what a request is asked with."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import datetime

from attrs import define, field, frozen
from fastapi import Request
from fastapi.responses import Response

from standtrue.model.reader_units import Paper
from standtrue.show.words.preference import Preference, personal
from standtrue.show.words.reader import Reader
from standtrue.web.limits import Limits
from standtrue.web.tasks import Tasks
from standtrue.web.uploads import Uploads
from standtrue.work.served import Served


def _now() -> datetime:
    return datetime.now().astimezone()


@frozen
class Authority:
    """The shop's own authority: its certificate as a file (DER), its digest to be compared, the server's address."""

    certificate: bytes
    digest: str
    address: str


@define(eq=False)
class State:
    """The shop that is served, the work in hand, and the clock (local time with its zone)."""

    served: Served
    tasks: Tasks = field(factory=Tasks)
    uploads: Uploads = field(factory=Uploads)
    limits: Limits = field(factory=Limits)
    now: Callable[[], datetime] = _now
    hosts: frozenset[str] = frozenset({"127.0.0.1", "localhost", "[::1]"})
    """By which names the server may be called."""
    sign_in: bool = False
    """Whether who asks must have signed in; else whoever sits at this machine is its owner."""
    authority: Authority | None = None
    """What a tablet must trust, where the shop made its own certificate."""


@frozen
class Visitor:
    """Who asks. `name` "" with a role: whoever sits at the shop's own machine; role "nobody": over the network, not
    signed in."""

    name: str = ""
    role: str = "owner"


def state_of(request: Request) -> State:
    """The server's state."""
    found: State = request.app.state.own
    return found


def preference_of(request: Request) -> Preference:
    """What the browser's reader chose, else the person at this machine, else the site."""
    told = _chosen(request.cookies.get(READER_COOKIE, "")).over(personal())
    for site in state_of(request).served.shop().written.sites.values():
        told = told.over(Preference(site.reader.units, site.reader.language, site.reader.paper))
    return told


def reader_of(request: Request) -> Reader:
    """Who reads the page."""
    told = preference_of(request)
    return Reader(told.units or "metric", told.language or "en")


def paper_of(request: Request) -> Paper:
    """The paper that the reader prints on."""
    return preference_of(request).paper or "letter"


def visitor_of(request: Request) -> Visitor:
    """Who asks, as `web.visitors` found it."""
    found: Visitor = request.state.visitor
    return found


READER_COOKIE = "reader"
"""Units, language and paper, such as `us.es.a4`."""


def keep_preference(response: Response, chosen: Iterable[str | None]) -> None:
    """Let the browser keep in which units and language, and on which paper, its reader reads."""
    told = ".".join(one for one in chosen if one)
    response.set_cookie(READER_COOKIE, told, max_age=31536000, samesite="strict", httponly=True)


def _chosen(cookie: str) -> Preference:
    from standtrue.show.words.preference import PAPERS, SYSTEMS
    from standtrue.show.words.reader import LANGUAGES

    parts = cookie.split(".")
    units = next((one for one in SYSTEMS if one in parts), None)
    language = next((one for one in LANGUAGES if one in parts), None)
    paper = next((one for one in PAPERS if one in parts), None)
    return Preference(units, language, paper)
