"""The font of pages, carried inside them: a page asks nobody for anything."""

from __future__ import annotations

from base64 import b64encode
from functools import cache
from pathlib import Path

_FOLDER = Path(__file__).with_name("web")
_WEIGHTS = {"regular": 400, "bold": 700}


@cache
def font_faces() -> str:
    """The style rules that give a page both weights of Noto Sans."""
    return "".join(_face(name, weight) for name, weight in _WEIGHTS.items())


def _face(name: str, weight: int) -> str:
    data = b64encode((_FOLDER / f"noto-sans-{name}.woff2").read_bytes()).decode("ascii")
    source = f'url("data:font/woff2;base64,{data}") format("woff2")'
    return f'@font-face {{ font-family: "Noto Sans"; font-weight: {weight}; src: {source}; }}\n'
