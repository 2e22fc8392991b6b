"""Drawing a floor: the page, each edit, and what fits while something is dragged."""

from __future__ import annotations

import math
from typing import Annotated, Any
from urllib.parse import quote, urlencode

from attrs import asdict, evolve, frozen
from fastapi import APIRouter, Depends, Form, Query, Request
from fastapi.responses import HTMLResponse, JSONResponse, RedirectResponse, Response

from standtrue.model.basics import UnansweredError
from standtrue.model.site import Site
from standtrue.show.answers.exchange import of_saved_alone
from standtrue.show.answers.kept import said_of
from standtrue.show.pages.floor import SHAPES, Drawn, editor_of, fit_part, floor_page, supports_of
from standtrue.show.words.pages.floor import along_line, asked_every, measured
from standtrue.show.words.pages.order import fault_words
from standtrue.web.pages import page
from standtrue.web.problems import RefusedError
from standtrue.web.roles import require
from standtrue.web.state import reader_of, state_of, visitor_of
from standtrue.work.drafts.drafting import keep_document, step_draft, unwanted
from standtrue.work.exchange.saving import StaleError
from standtrue.work.floor.asks import MOST_ALONG, Asked, Held, along, askable, fitting, helped, moved_by, site_of
from standtrue.work.floor.edits import DOINGS
from standtrue.work.floor.floors import SITE, Draft, Edit, draft_of_floor, edit_floor

router = APIRouter()

DRAWS = [require("planner")]


@frozen
class Wanted:
    """What the page is asked with: what is held, and for which car and card on which support."""

    where: str = ""
    name: str = ""
    car: str = ""
    card: str = ""
    support: str = ""

    @property
    def query(self) -> str:
        return urlencode({key: value for key, value in asdict(self).items() if value})

    @property
    def held(self) -> Held:
        return Held(self.where, self.name)


def _wanted(  # long: what the page is asked with
    where: str = "", name: str = "", car: str = "", card: str = "", support: str = "", hold: str = ""
) -> Wanted:
    if hold:
        where, _, name = hold.partition("/")
    return Wanted(where, name, car, card, support)


Want = Annotated[Wanted, Depends(_wanted)]
Text = Annotated[str, Form(max_length=200)]
Meters = Annotated[float, Query(ge=-1000.0, le=1000.0, allow_inf_nan=False)]


@router.get("/draw/{site}", response_class=HTMLResponse, include_in_schema=False, dependencies=DRAWS)
def draw(request: Request, site: str, wanted: Want) -> HTMLResponse:
    """The floor as it is being drawn, and what fits on it."""
    return _shown(request, site, wanted)


@router.post("/draw/{site}", include_in_schema=False, dependencies=DRAWS)
async def edit(request: Request, site: str, wanted: Want) -> Response:
    """One edit. Without an edit that can be understood the page says why, and nothing is changed."""
    filled = {key: value for key, value in (await request.form()).items() if isinstance(value, str)}
    return _edited(request, site, wanted, filled)


def _edited(request: Request, site: str, wanted: Wanted, filled: dict[str, str]) -> Response:
    state, reader = state_of(request), reader_of(request)
    do = filled.pop("do", "")
    try:
        if do in ("undo", "redo"):
            step_draft(state.served, SITE, site, Draft.undone if do == "undo" else Draft.redone)
        else:
            asked = _edit_of(do, filled)
            _, name = edit_floor(state.served, site, asked, _who(request), state.now(), reader.units)
            wanted = evolve(wanted, where=asked.where, name=name if do != "remove" else "")
            wanted = wanted if do != "remove" else evolve(wanted, where="")
    except UnansweredError as error:
        return _shown(request, site, wanted, fault_words(error.faults, reader), 422)
    return RedirectResponse(f"/draw/{quote(site, safe='')}?{wanted.query}", 303)


def _edit_of(do: str, filled: dict[str, str]) -> Edit:
    """An edit as a form or a script says it. Raises RefusedError for one that is none."""
    if do not in DOINGS:
        raise RefusedError("not-found")
    where, name = filled.pop("where", ""), filled.pop("name_of", "")
    by = (_number(filled.pop("right", "")), _number(filled.pop("up", "")))
    turn = math.radians(_number(filled.pop("turn", "")))
    doing: Any = do
    return Edit(doing, where, name, by, turn, filled)


def _number(said: str) -> float:
    try:
        found = float(said or 0.0)
    except ValueError:
        return 0.0
    return found if math.isfinite(found) and abs(found) <= 1000.0 else 0.0


@router.post("/draw/{site}/keep", include_in_schema=False, dependencies=DRAWS)
def kept(request: Request, site: str, wanted: Want) -> Response:
    """Save the floor as it is drawn."""
    state, reader = state_of(request), reader_of(request)
    try:
        keep_document(state.served, SITE, site, _who(request), lambda one: said_of(of_saved_alone(one)))
    except UnansweredError as error:
        return _shown(request, site, wanted, fault_words(error.faults, reader), 422)
    except StaleError:
        return _shown(request, site, wanted, (), 412)
    return RedirectResponse(f"/draw/{quote(site, safe='')}?{wanted.query}", 303)


@router.post("/draw/{site}/back", include_in_schema=False, dependencies=DRAWS)
def back(request: Request, site: str, wanted: Want) -> Response:
    """Back to the floor as it was kept."""
    unwanted(state_of(request).served, SITE, site)
    return RedirectResponse(f"/draw/{quote(site, safe='')}?{wanted.query}", 303)


@router.get("/draw/{site}/try", include_in_schema=False, dependencies=DRAWS)
def tried(
    request: Request, site: str, wanted: Want, right: Meters = 0.0, up: Meters = 0.0, turn: Meters = 0.0
) -> JSONResponse:
    """What fits with what is held moved so; nothing is kept."""
    drawn, now = _moved(request, site, wanted, right, up, turn)
    reader = reader_of(request)
    assert drawn.asked is not None
    found = fit_part(fitting(now, drawn.asked), editor_of(drawn, reader), reader)
    marks = found.marks
    return JSONResponse(
        {
            "shape": found.shape,
            "verdict": found.verdict,
            "why": found.why,
            "car": None if marks is None else marks.car,
            "zones": () if marks is None else marks.zones,
            "region": "" if marks is None else marks.region,
            "ends": () if marks is None else marks.ends,
        }
    )


@router.get("/draw/{site}/length", include_in_schema=False, dependencies=DRAWS)
def length(request: Request, meters: Meters) -> JSONResponse:
    """A length that was measured on the drawing, as it is told."""
    return JSONResponse(measured(abs(meters), reader_of(request)))


@router.get("/draw/{site}/along", include_in_schema=False, dependencies=DRAWS)
def lined(
    request: Request,
    site: str,
    wanted: Want,
    right: Meters = 0.0,
    up: Meters = 0.0,
    count: Annotated[int, Query(ge=2, le=MOST_ALONG)] = MOST_ALONG,
) -> JSONResponse:
    """Whether it fits at so many places on the line from here to there, with what is held moved along it."""
    drawn, _ = _moved(request, site, wanted, 0.0, 0.0, 0.0)
    assert drawn.site is not None
    assert drawn.asked is not None
    ways = [(right * i / (count - 1), up * i / (count - 1)) for i in range(count)]
    found, reader = along(drawn.site, wanted.held, ways, drawn.asked), reader_of(request)
    every = asked_every(math.hypot(right, up) / (count - 1), reader)
    return JSONResponse(
        {"shapes": [SHAPES[fits] for fits in found], "said": along_line(found, right, up, reader), "every": every}
    )


def _moved(request: Request, site: str, wanted: Wanted, right: float, up: float, turn: float) -> tuple[Drawn, Site]:
    """The draft, and its site with what is held moved. Raises RefusedError where nothing can be asked."""
    drawn = _drawn(request, site, wanted, one_car=True)
    if drawn.site is None or drawn.asked is None or not wanted.where:
        raise RefusedError("not-found")
    try:
        return drawn, moved_by(drawn.site, wanted.held, (right, up), math.radians(turn))
    except (KeyError, ValueError, AttributeError) as error:
        raise RefusedError("not-found") from error


def _shown(request: Request, site: str, wanted: Wanted, told: tuple[str, ...] = (), status: int = 200) -> HTMLResponse:
    drawn = _drawn(request, site, wanted)
    if drawn.site is not None and drawn.asked is not None:
        drawn = evolve(drawn, fitting=helped(fitting(drawn.site, drawn.asked)))
    shown = floor_page(drawn, reader_of(request))
    values = {"floor": shown, "told": told, "here": f"/draw/{quote(site, safe='')}", "wanted": wanted}
    return page(request, "draw.html", sheet="floor", helped="draw", status=status, query=wanted.query, **values)


def _drawn(request: Request, site: str, wanted: Wanted, *, one_car: bool = False) -> Drawn:
    """What the page shows, but for the answer; with `one_car` the others are not looked at."""
    served = state_of(request).served
    draft = draft_of_floor(served, site)
    if draft is None:
        raise RefusedError("not-found")
    read = served.read()
    lifts = read.folder.lifts
    cars = tuple(askable(served.shop(), wanted.car if one_car else ""))
    there = read.version("site", site)
    latest = 0 if there is None else there.version
    own = site_of(draft.document(), lifts)
    asked = _asked(cars, wanted)
    return Drawn(draft, own, wanted.held, asked, None, cars, tuple(lifts), latest, wanted.support)


def _asked(cars: Any, wanted: Wanted) -> Asked | None:
    """The car and the card that are wanted; the first of each where none is, or it is not there."""
    found = next((one for one in cars if one[0].name == wanted.car), next(iter(cars), None))
    if found is None:
        return None
    vehicle, cards = found
    card = next((one for one in cards if one.key == wanted.card), cards[0])
    return Asked(vehicle, card, supports_of(card, wanted.support))


def _who(request: Request) -> str:
    return visitor_of(request).name or state_of(request).served.by
