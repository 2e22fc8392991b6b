"""What the server holds for as long as it runs, and what a request is asked with."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from attrs import define, field, frozen
from fastapi import Request

from standtrue.model.reader_units import Paper
from standtrue.show.words.preference import Preference, personal
from standtrue.show.words.reader import Reader
from standtrue.web.limits import Limits
from standtrue.web.tasks import Tasks
from standtrue.web.uploads import Uploads
from standtrue.work.served import Served


def _now() -> datetime:
    return datetime.now().astimezone()


@define(eq=False)
class State:
    """The shop that is served, the work in hand, and the clock (local time with its zone)."""

    served: Served
    tasks: Tasks = field(factory=Tasks)
    uploads: Uploads = field(factory=Uploads)
    limits: Limits = field(factory=Limits)
    now: Callable[[], datetime] = _now
    by: str = ""
    """Who began the server: what is saved without signing in is saved by this name."""
    hosts: frozenset[str] = frozenset({"127.0.0.1", "localhost", "[::1]"})
    """By which names the server may be called."""


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
    """Who asks: until somebody signs in, whoever sits at this machine."""
    found: Visitor = getattr(request.state, "visitor", None) or Visitor()
    return found


READER_COOKIE = "reader"
"""Units, language and paper, such as `us.es.a4`."""


def _chosen(cookie: str) -> Preference:
    from standtrue.show.words.preference import PAPERS, SYSTEMS
    from standtrue.show.words.reader import LANGUAGES

    parts = cookie.split(".")
    units = next((one for one in SYSTEMS if one in parts), None)
    language = next((one for one in LANGUAGES if one in parts), None)
    paper = next((one for one in PAPERS if one in parts), None)
    return Preference(units, language, paper)
