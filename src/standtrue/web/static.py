"""The server's own files: named by their digest, so that a browser keeps them and never keeps an old one."""

from __future__ import annotations

from functools import cache
from hashlib import sha256
from importlib import resources
from importlib.resources.abc import Traversable

from fastapi import APIRouter
from fastapi.responses import Response

from standtrue.show.pictures.page import picture_styles
from standtrue.web.problems import problem_response

TYPES = {
    "css": "text/css; charset=utf-8",
    "js": "text/javascript; charset=utf-8",
    "svg": "image/svg+xml",
    "txt": "text/plain; charset=utf-8",
    "webmanifest": "application/manifest+json",
    "woff2": "font/woff2",
}

DIGITS = 12

router = APIRouter()


@cache
def contents() -> dict[str, bytes]:
    """Every file by its name; the fonts are those of the drawings."""
    folders: tuple[Traversable, ...] = (
        resources.files("standtrue.web") / "static",
        resources.files("standtrue") / "draw" / "backends" / "web",
        resources.files("standtrue") / "show" / "pictures",
    )
    return {
        one.name: one.read_bytes()
        for folder in folders
        for one in folder.iterdir()
        if one.is_file() and one.name.rpartition(".")[2] in TYPES
    }


FACES = "faces.css"
"""The rules that name the fonts: made here, since they name their digests."""


PICTURES = "pictures.css"
"""What the colors of pictures become in the dark."""


def _faces() -> bytes:
    rule = '@font-face{{font-family:"Noto Sans";src:url({}) format("woff2");font-weight:{};font-display:swap}}\n'
    fonts = (("noto-sans-regular.woff2", 400), ("noto-sans-bold.woff2", 700))
    return "".join(rule.format(_address(name, contents()[name]), weight) for name, weight in fonts).encode()


def _address(name: str, content: bytes) -> str:
    return f"/static/{sha256(content).hexdigest()[:DIGITS]}/{name}"


@cache
def served() -> dict[str, bytes]:
    """All that is served."""
    return {**contents(), FACES: _faces(), PICTURES: picture_styles().encode()}


@cache
def address_of(name: str) -> str:
    """Where a file is served. Raises KeyError for one that is not there."""
    return _address(name, served()[name])


@router.get("/static/{digest}/{name}", include_in_schema=False)
def file(digest: str, name: str) -> Response:
    """A file. One asked for by an old digest is given as it is now, and not kept."""
    if name not in served():
        return problem_response("not-found")
    current = address_of(name) == f"/static/{digest}/{name}"
    kept = "public, max-age=31536000, immutable" if current else "no-cache"
    return Response(served()[name], media_type=TYPES[name.rpartition(".")[2]], headers={"Cache-Control": kept})
