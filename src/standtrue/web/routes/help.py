"""Help: the documentation, served with the app."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import RedirectResponse, Response

from standtrue.show.pages.help import found, help_page, listing
from standtrue.web.files import PICTURE_POLICY
from standtrue.web.pages import page
from standtrue.web.problems import problem_response
from standtrue.web.roles import require

router = APIRouter(dependencies=[require("nobody")])

PICTURES = {"svg": "image/svg+xml", "png": "image/png"}


@router.get("/help", include_in_schema=False)
def first() -> Response:
    """Where it begins."""
    return RedirectResponse("/help/README.md", 307)


@router.get("/help/{path:path}", include_in_schema=False)
def help_at(request: Request, path: str) -> Response:
    """A page of it, or a picture on one."""
    one = found(path)
    if one is None:
        return problem_response("not-found")
    if one.is_dir():
        return page(request, "help.html", shown=listing(one))
    ending = one.name.rpartition(".")[2]
    if ending in PICTURES:
        policy = {"Content-Security-Policy": PICTURE_POLICY}
        return Response(one.read_bytes(), media_type=PICTURES[ending], headers=policy)
    text = one.read_text(encoding="utf-8")
    if ending != "md":
        return Response(text, media_type="text/plain; charset=utf-8")
    return page(request, "help.html", shown=help_page(text))
