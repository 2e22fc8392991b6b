"""Floor, cards, cars, room and orders as documents: read, replaced by a file, their versions."""

from __future__ import annotations

from typing import Annotated
from urllib.parse import quote

from fastapi import APIRouter, File, Form, Request, UploadFile
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from standtrue.model.basics import Fault, UnansweredError
from standtrue.model.reason import because
from standtrue.show.answers.exchange import of_saved_alone
from standtrue.show.answers.kept import said_of
from standtrue.show.pages.shelves import Stale, document_page, floor_picture, sheet_of, shelf_page
from standtrue.web.api.shared import by_of
from standtrue.web.files import PICTURE_POLICY, download
from standtrue.web.pages import page
from standtrue.web.problems import RefusedError
from standtrue.web.roles import require
from standtrue.web.state import reader_of, state_of
from standtrue.work.exchange.saving import (
    Change,
    StaleError,
    Version,
    checked,
    history_in,
    named_in,
    save_in,
    version_in,
)
from standtrue.work.served import Served

router = APIRouter()

READS, WRITES = [require("reader")], [require("planner")]


def _shelf(sheet: str) -> None:
    def shelf(request: Request) -> HTMLResponse:
        read = state_of(request).served.read()
        return page(request, "shelf.html", sheet=sheet, shelf=shelf_page(sheet, read, reader_of(request)))

    router.add_api_route(
        f"/{sheet}", shelf, response_class=HTMLResponse, include_in_schema=False, dependencies=READS, name=sheet
    )


for _sheet in ("floor", "cards", "cars", "room"):
    _shelf(_sheet)


@router.get("/floor/{site:path}/picture.svg", include_in_schema=False, dependencies=READS)
def floor_drawn(request: Request, site: str) -> Response:
    """A floor at rest."""
    shop = state_of(request).served.shop()
    if site not in shop.written.sites:
        raise RefusedError("not-found")
    svg = floor_picture(shop, site, reader_of(request))
    return Response(svg, media_type="image/svg+xml", headers={"Content-Security-Policy": PICTURE_POLICY})


@router.post("/documents", include_in_schema=False, dependencies=WRITES)
def bring(request: Request, file: Annotated[UploadFile, File()]) -> Response:
    """Bring in a document that says itself what it is. One of that name there is already: its page, to replace it."""
    served, content = state_of(request).served, file.file.read()
    kind, name = named_in(content, file.filename or "")
    there = served.read().version(kind, name)
    if there is not None:
        return _shown(request, served, there, status=409, faults=[_there_already(name)])
    _save(request, served, Change(kind, name, content, 0))
    return RedirectResponse(_address(kind, name), 303)


@router.get("/documents/{kind}/{name:path}", response_class=HTMLResponse, include_in_schema=False, dependencies=READS)
def document(request: Request, kind: str, name: str, version: int = 0, file: bool = False) -> Response:
    """One of them, at a version; with `file` byte for byte."""
    served = state_of(request).served
    found = version_in(served, kind, name, version) if version else served.read().version(kind, name)
    if found is None:
        found = next(reversed(history_in(served, kind, name)), None)
    if found is None:
        raise RefusedError("not-found")
    if file:
        if found.content is None:
            raise RefusedError("not-found")
        return download(found.content, found.path.rpartition("/")[2], "text/plain; charset=utf-8")
    return _shown(request, served, found)


@router.post("/documents/{kind}/{name:path}", include_in_schema=False, dependencies=WRITES)
def replace(
    request: Request,
    kind: str,
    name: str,
    seen: Annotated[str, Form()],
    file: Annotated[UploadFile | None, File()] = None,
) -> Response:
    """Replace it by a file, or without one take it off the shelf; `seen` is the tag of the version that was read."""
    served = state_of(request).served
    there = served.read().version(kind, name)
    if there is None:
        raise RefusedError("not-found")
    content = None if file is None or not file.filename else file.file.read()
    if f"{there.document}.{there.version}" != seen:
        return _shown(request, served, there, stale=_both(there, content), status=412)
    try:
        _save(request, served, Change(kind, name, content, there.version))
    except UnansweredError as error:
        return _shown(request, served, there, faults=list(error.faults), status=422)
    except StaleError as error:
        return _shown(request, served, error.latest, stale=_both(error.latest, content), status=412)
    return RedirectResponse(_address(kind, name), 303)


def _save(request: Request, served: Served, change: Change) -> None:
    change = checked(served.read(), change)
    with served.store.writing() as connection:
        save_in(connection, change, by_of(request), lambda one: said_of(of_saved_alone(one)))


def _shown(
    request: Request,
    served: Served,
    found: Version,
    *,
    faults: list[Fault] | None = None,
    stale: Stale | None = None,
    status: int = 200,
) -> HTMLResponse:
    versions = history_in(served, found.kind, found.name)
    shown = document_page(served.read(), found, versions, reader_of(request), faults or (), stale)
    return page(request, "document.html", sheet=sheet_of(found.kind), status=status, document=shown)


def _both(there: Version, content: bytes | None) -> Stale:
    return Stale((there.content or b"").decode("utf-8", "replace"), (content or b"").decode("utf-8", "replace"))


def _there_already(name: str) -> Fault:
    return Fault("name-repeated", because("document-there-already", name=name), "", "", "", because("replace-it-here"))


def _address(kind: str, name: str) -> str:
    return f"/documents/{quote(kind)}/{quote(name)}"
