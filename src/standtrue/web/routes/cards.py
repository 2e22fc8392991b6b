"""Writing a card as sentences with blanks, and reading it a second time, blind."""

from __future__ import annotations

from typing import Annotated
from urllib.parse import quote, urlencode

from attrs import evolve
from fastapi import APIRouter, Form, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from standtrue.model.basics import UnansweredError
from standtrue.show.answers.cards import of_cards
from standtrue.show.answers.exchange import of_saved_alone
from standtrue.show.answers.kept import said_of
from standtrue.show.pages.card import CardPage, card_page, compared
from standtrue.show.words.pages.order import fault_words
from standtrue.web.pages import page
from standtrue.web.problems import RefusedError
from standtrue.web.roles import require
from standtrue.web.state import reader_of, state_of, visitor_of
from standtrue.work.card import writing
from standtrue.work.card.kept import Keeper
from standtrue.work.drafts.blanks import Changing, added, filled, without
from standtrue.work.drafts.draft import Draft, draft_of
from standtrue.work.drafts.drafting import begin as begin_draft
from standtrue.work.drafts.drafting import change_draft, keep_document, step_draft, unwanted
from standtrue.work.exchange.saving import StaleError

router = APIRouter()

WRITES, READS_TWICE = [require("planner")], [require("technician")]
NEW_UNITS = {"us": "in", "metric": "mm"}

Name = Annotated[str, Form(max_length=200)]


@router.post("/cards/new", include_in_schema=False, dependencies=WRITES)
def begin(request: Request, name: Name, title: Name) -> Response:
    """Begin a card; one of that name that is there is opened."""
    said, state = " ".join(name.split()), state_of(request)
    if not said:
        raise RefusedError("not-found")
    units = NEW_UNITS[reader_of(request).units]
    if state.served.read().version("procedure", said) is None:
        begin_draft(state.served, writing.new_card(said, " ".join(title.split()), units, _who(request)))
    return RedirectResponse(_address(said), 303)


@router.get("/cards/write/{name}", response_class=HTMLResponse, include_in_schema=False, dependencies=WRITES)
def write(request: Request, name: str, car: str = "") -> HTMLResponse:
    """A card as it is written."""
    return _shown(request, _draft(request, writing.KIND, name), name, car)


@router.post("/cards/write/{name}", include_in_schema=False, dependencies=WRITES)
async def written(request: Request, name: str, car: str = "") -> Response:
    """One change: blanks that were filled, something added or taken out, undone."""
    return _changed(request, (writing.KIND, name), name, await _form(request), car)


@router.post("/cards/write/{name}/keep", include_in_schema=False, dependencies=WRITES)
def kept(request: Request, name: str, car: str = "") -> Response:
    """Save the card."""
    state, reader = state_of(request), reader_of(request)
    try:
        keep_document(state.served, writing.KIND, name, _who(request), lambda one: said_of(of_saved_alone(one)))
    except UnansweredError as error:
        told = fault_words(error.faults, reader)
        return _shown(request, _draft(request, writing.KIND, name), name, car, told, 422)
    except StaleError:
        return _shown(request, _draft(request, writing.KIND, name), name, car, (), 412)
    return RedirectResponse(_address(name, car), 303)


@router.post("/cards/write/{name}/back", include_in_schema=False, dependencies=WRITES)
def back(request: Request, name: str) -> Response:
    """Back to the card as it was kept."""
    state = state_of(request)
    unwanted(state.served, writing.KIND, name)
    there = state.served.read().version("procedure", name) is not None
    return RedirectResponse(_address(name) if there else "/cards", 303)


@router.get("/cards/second/{name}", response_class=HTMLResponse, include_in_schema=False, dependencies=READS_TWICE)
def second(request: Request, name: str, by: str = "", car: str = "") -> HTMLResponse:
    """A second reading as it is written: nothing of the first is shown."""
    key = _reading_key(request, name, by)
    begin_draft(state_of(request).served, writing.new_reading(name, NEW_UNITS[reader_of(request).units]), key)
    return _shown(request, _draft(request, writing.READING, key), name, car, by=by)


@router.post("/cards/second/{name}", include_in_schema=False, dependencies=READS_TWICE)
async def read_again(request: Request, name: str, by: str = "", car: str = "") -> Response:
    """One change of it."""
    return _changed(request, (writing.READING, _reading_key(request, name, by)), name, await _form(request), car, by=by)


@router.post("/cards/second/{name}/compare", include_in_schema=False, dependencies=READS_TWICE)
def compare(request: Request, name: str, by: str = "", car: str = "") -> HTMLResponse:
    """The two readings compared; all alike, the card is verified."""
    state, reader, who = state_of(request), reader_of(request), visitor_of(request).name or by
    draft = _draft(request, writing.READING, _reading_key(request, name, by))
    served = state.served
    keeper = Keeper(served.folder, served.where, who, lambda one: said_of(of_cards(one)))
    try:
        answer = writing.compare(served, keeper, name, draft, who, state.now().date())
    except UnansweredError as error:
        return _shown(request, draft, name, car, fault_words(error.faults, reader), 422, by=by)
    told, rows = compared(answer, reader)
    return _shown(request, draft, name, car, by=by, differences=rows, compared_as=told)


def _changed(
    request: Request, of: tuple[str, str], name: str, fields: dict[str, str], car: str, by: str | None = None
) -> Response:
    state, reader = state_of(request), reader_of(request)
    do = fields.pop("do", "")
    try:
        if do in ("undo", "redo"):
            step_draft(state.served, *of, Draft.undone if do == "undo" else Draft.redone)
        else:
            change = _change(do, fields)
            change_draft(state.served, of, change, do, _who(request), state.now())
    except UnansweredError as error:
        return _shown(request, _draft(request, *of), name, car, fault_words(error.faults, reader), 422, by=by or "")
    if by is None:
        return RedirectResponse(_address(name, car), 303)
    asked = urlencode({key: value for key, value in (("by", by), ("car", car)) if value})
    return RedirectResponse(f"/cards/second/{quote(name, safe='')}?{asked}", 303)


def _change(do: str, fields: dict[str, str]) -> Changing:
    """What a form asks for. Raises RefusedError for what is none."""
    number = int(fields.get("number", "0")) if fields.get("number", "0").isdigit() else 0
    where = fields.get("where", "")
    ways: dict[str, Changing] = {
        "fill": lambda content: filled(content, fields),
        "add": lambda content: added(content, where, writing.NEW),
        "remove": lambda content: without(content, where, number),
        "way": lambda content: writing.another_way(content, number, fields.get("way", "")),
        "finish": lambda content: filled(content, {"source.status": "transcribed"}),
    }
    if do not in ways:
        raise RefusedError("not-found")
    return ways[do]


async def _form(request: Request) -> dict[str, str]:
    return {key: value for key, value in (await request.form()).items() if isinstance(value, str)}


def _draft(request: Request, kind: str, key: str) -> Draft:
    found = draft_of(state_of(request).served, kind, key)
    if found is None:
        raise RefusedError("not-found")
    return found


def _shown(  # long: one parameter for each thing that the page shows
    request: Request,
    draft: Draft,
    name: str,
    car: str,
    told: tuple[str, ...] = (),
    status: int = 200,
    *,
    by: str = "",
    differences: tuple[tuple[str, str, str], ...] = (),
    compared_as: str = "",
) -> HTMLResponse:
    shop, reader = state_of(request).served.shop(), reader_of(request)
    kept_card = next((one for one in shop.procedures if one.name == name), None)
    shown: CardPage = card_page(draft, name, tuple(shop.written.vehicles.values()), car, kept_card, reader)
    shown = evolve(shown, differences=differences, told=compared_as)
    second_reading = draft.kind == writing.READING
    here = f"/cards/{'second' if second_reading else 'write'}/{quote(name, safe='')}"
    query = urlencode({key: value for key, value in (("by", by), ("car", car)) if value})
    return page(
        request, "card.html", sheet="cards", helped="write-card", status=status, card=shown, faults=told, here=here,
        query=query, by=by,
    )  # fmt: skip


def _reading_key(request: Request, name: str, by: str) -> str:
    """Whose reading it is: each second reader has a draft of their own."""
    return f"{name}\n{visitor_of(request).name or by}"


def _address(name: str, car: str = "") -> str:
    return f"/cards/write/{quote(name, safe='')}" + (f"?{urlencode({'car': car})}" if car else "")


def _who(request: Request) -> str:
    return visitor_of(request).name or state_of(request).served.by
