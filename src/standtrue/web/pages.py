"""A page as HTML: a value of `show.pages` in its template. A template holds no word of its own."""

from __future__ import annotations

from functools import cache
from typing import Any

from fastapi import Request
from fastapi.responses import HTMLResponse
from jinja2 import Environment, PackageLoader, StrictUndefined

from standtrue.show.words.pages.shell import shell_words
from standtrue.web.state import preference_of, reader_of, state_of, visitor_of
from standtrue.web.static import address_of

HELP = {
    "today": "how-to/use-the-app.md",
    "car": "how-to/use-the-app.md",
    "floor": "how-to/describe-your-shop.md",
    "draw": "how-to/draw-your-floor.md",
    "write-card": "how-to/write-a-card.md",
    "cards": "how-to/card.md",
    "room": "how-to/what-this-room-can-do.md",
    "records": "how-to/record.md",
    "settings": "how-to/people-and-tablets.md",
}
"""The how-to that each sheet links to."""


@cache
def environment() -> Environment:
    """Every value is escaped; a name that is not there is a fault of the program."""
    made = Environment(
        loader=PackageLoader("standtrue.web", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals["file"] = address_of
    return made


def own_path(path: str) -> str:
    """A path of this server, to go back to; the first page in place of anything that leads elsewhere."""
    return path if path.startswith("/") and not path.startswith(("//", "/\\")) and path.isprintable() else "/"


def page(  # long: the shell is set here
    request: Request, template: str, *, sheet: str = "", helped: str = "", status: int = 200, **values: Any
) -> HTMLResponse:
    """A whole page. `sheet`: that of the running head it belongs to; `helped` where
    it has help of its own. `values` go into the template as they are."""
    reader, visitor, shop = reader_of(request), visitor_of(request), state_of(request).served.shop()
    words = shell_words(reader, visitor.name, visitor.role)
    shell = {
        "shell": words,
        "reader": reader,
        "preference": preference_of(request),
        "visitor": visitor,
        "shop_name": next(iter(shop.written.sites), "") or words.no_shop,
        "is_demonstration": any(mark.demonstration for mark in shop.written.marks),
        "current": sheet,
        "help": f"/help/{HELP.get(helped or sheet, 'how-to/use-the-app.md')}",
        "path": request.url.path,
    }
    return HTMLResponse(environment().get_template(template).render(**shell, **values), status)


def part(request: Request, template: str, **values: Any) -> HTMLResponse:
    """A part of a page, for a page that is open."""
    reader = reader_of(request)
    shell = {"reader": reader, "visitor": visitor_of(request), "shell": shell_words(reader, "", "owner")}
    return HTMLResponse(environment().get_template(template).render(**shell, **values))
