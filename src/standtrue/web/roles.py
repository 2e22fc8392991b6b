"""Who may ask what: each route says the least role that may; how often anybody may ask is looked at in the same place.

A route without `require` is a fault: `tests/web/test_roles.py` holds every route to its decision.
"""

from __future__ import annotations

import math
from typing import Any

from fastapi import Depends, Request

from standtrue.web.problems import RefusedError
from standtrue.web.state import state_of, visitor_of
from standtrue.web.visitors import address_of

ROLES = ("nobody", "reader", "technician", "planner", "owner")
"""Each may do what those before it may. `nobody`: over the network, and not signed in."""


def may(role: str, least: str) -> bool:
    """Whether a role may do what the least role for it may. A role that is not known may nothing."""
    return role in ROLES and ROLES.index(role) >= ROLES.index(least)


def require(least: str) -> Any:
    """What a route depends on that only this role, and those above it, may ask: `dependencies=[require("reader")]`."""
    assert least in ROLES

    async def allowed(request: Request) -> None:
        visitor = visitor_of(request)
        wait = state_of(request).limits.wait(address_of(request), visitor.name)
        if wait:
            raise RefusedError("slow-down", {"Retry-After": str(math.ceil(wait))})
        role = visitor.role
        if not may(role, least):
            raise RefusedError("sign-in-first" if role == "nobody" else "may-not")

    return Depends(allowed)
