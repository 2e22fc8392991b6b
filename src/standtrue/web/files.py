"""Files given to a browser: named by what they are, never taken for a page of the server."""

from __future__ import annotations

import re
from urllib.parse import quote

from fastapi.responses import Response

PICTURE_POLICY = "default-src 'none'; style-src 'unsafe-inline'; font-src data:; sandbox"
"""A picture brings its own styles and font, and can do nothing."""


def download(content: bytes, name: str, kind: str, *, shown: bool = False) -> Response:
    """A file; `shown`: the browser may open it, in a page that can do nothing. RFC 6266 for its name."""
    plain = re.sub(r"[^A-Za-z0-9._-]+", "-", name).strip("-") or "file"
    how = "inline" if shown else "attachment"
    return Response(
        content,
        media_type=kind,
        headers={
            "Content-Disposition": f"{how}; filename=\"{plain}\"; filename*=UTF-8''{quote(name, safe='')}",
            "Content-Security-Policy": "sandbox; default-src 'none'; style-src 'unsafe-inline'",
        },
    )
