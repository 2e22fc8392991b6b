"""What a browser tells at a car, taken once and kept: who, on which device, and when by the server's clock."""

from __future__ import annotations

import uuid
from datetime import UTC, datetime, timedelta
from urllib.parse import quote, unquote

from attrs import frozen
from fastapi import Request
from fastapi.responses import RedirectResponse, Response
from pydantic import BaseModel, Field

from standtrue.model.job import Job
from standtrue.show.answers.car_kept import writing
from standtrue.web.problems import RefusedError
from standtrue.web.state import State, state_of, visitor_of
from standtrue.work.car.fold import AtCar
from standtrue.work.car.happened import Happened, What
from standtrue.work.car.keeping import Writing, at_car, keep
from standtrue.work.car.typed import typed_value

DEVICE, NAME = "device", "at_car"
"""Cookies: which device this is, and who said to be at it."""

AHEAD = timedelta(days=30)
"""What was typed longer ago by its device's clock is told by the server's."""

LATE, TICK = timedelta(seconds=3), timedelta(milliseconds=1)
"""What was typed longer ago than this comes late; by so much one entry comes behind another."""


PROVEN: frozenset[What] = frozenset({"signed", "verdict"})
"""What the server alone says: a PIN was right; readings were judged. Of a browser it is not taken."""


class Entry(BaseModel):
    """One thing that happened, as a browser tells it. `at` is when, by its own clock, milliseconds since 1970."""

    key: str = Field(min_length=8, max_length=64)
    at: int | None = None
    by: str = Field(default="", max_length=80)
    step: str = Field(max_length=40)
    what: What
    name: str = Field(default="", max_length=600)
    part: str = Field(default="", max_length=200)
    typed: str = Field(default="", max_length=60)
    sign: int = Field(default=1, ge=-1, le=1)
    text: str = Field(default="", max_length=2000)
    codes: str = Field(default="", max_length=600)
    to: str = Field(default="", max_length=80)
    undoes: str = Field(default="", max_length=64)


class Sent(BaseModel):
    """What a browser kept and sends: `now` is its clock as it sends."""

    now: int
    entries: list[Entry] = Field(max_length=500)


@frozen(eq=False)
class Here:
    """A request about a job at the car: who asks, on which device, and how its entries are written."""

    request: Request
    state: State
    job: Job
    writing: Writing
    device: str
    who: str

    @property
    def address(self) -> str:
        return f"/car/{quote(self.job.order_number or self.job.name, safe='')}"

    @property
    def signed_in(self) -> str:
        """Who is signed in; "" without sign-in."""
        return visitor_of(self.request).name

    def others(self, one: Entry) -> bool:
        """Whether a browser kept it for somebody else than who is signed in now: it stays there until they are."""
        return bool(self.signed_in and one.by and one.by != self.signed_in)

    def told(self) -> AtCar | None:
        """Where the job stands."""
        return at_car(self.state.served.store, self.job.name, self.writing)

    def go(self, query: str = "") -> Response:
        """Back to the page."""
        return self.known(RedirectResponse(f"{self.address}{query}", 303))

    def known(self, response: Response) -> Response:
        """The response, by which the device is known from now on."""
        response.set_cookie(DEVICE, self.device, max_age=31536000, samesite="strict", httponly=True)
        return response


def here(request: Request, number: str) -> Here:
    """It. Raises RefusedError for an order that is not there."""
    state = state_of(request)
    jobs = state.served.shop().written.jobs
    job = next((one for one in jobs.values() if number in (one.order_number, one.name)), None)
    if job is None:
        raise RefusedError("not-found")
    device = request.cookies.get(DEVICE, "")
    device = device if device.isalnum() and len(device) < 64 else uuid.uuid4().hex
    who = visitor_of(request).name or unquote(request.cookies.get(NAME, ""))[:80]
    return Here(request, state, job, writing(job.name, job.demonstration), device, who)


def keep_entry(own: Here, one: Entry, drift: timedelta, digest: str = "") -> None:
    """Keep one entry. Its time is by the server's clock, however wrong the device's is; what is typed now comes behind
    all that is known, and what comes late behind what its own device typed before it.
    """
    now, told = own.state.now(), own.told()
    at = now if one.at is None else datetime.fromtimestamp(one.at / 1000, UTC) + drift
    at = now if at > now or at < now - AHEAD else at
    before = () if told is None else (s.last for s in (*told.steps, *told.earlier) if s.last is not None)
    known = [last.at for last in before if at > now - LATE or last.device == own.device]
    at = max([at.astimezone(UTC), *(datetime.fromisoformat(last) + TICK for last in known)])
    value = typed_value(one.typed) if one.what == "reading" else _number(one.typed) if one.what == "leg" else None
    happened = Happened(
        one.key,
        at.isoformat(timespec="milliseconds").replace("+00:00", "Z"),
        _by(own, one),
        own.device,
        one.step,
        one.what,
        one.name,
        one.part,
        None if value is None else value * one.sign,
        one.typed,
        one.text,
        tuple(one.codes.split()),
        digest,
        one.to,
        one.undoes,
    )
    keep(own.state.served.place, own.state.served.shop(), own.job.name, [happened], own.writing, own.state.now().tzinfo)


def _by(own: Here, one: Entry) -> str:
    """Whose entry it is: of who signed by a PIN, else of who is signed in; without sign-in, as it is said."""
    proven = one.by if one.what in PROVEN else own.signed_in
    return proven or one.by or own.who


def _number(text: str) -> float | None:
    return float(text) if text.isdigit() else None


def token_of(own: Here) -> str:
    told = own.told()
    at = None if told is None else told.current
    if at is None:
        return ""
    asker = "" if at.asker is None else at.asker[0]
    holder = "" if at.holder is None else at.holder[0]
    return f"{at.step.key} {holder} {asker}"
