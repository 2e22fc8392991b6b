"""What a person of the shop may do: each role may do what those before it may."""

from __future__ import annotations

from typing import Literal, get_args

from standtrue.store.accounts import Account

Role = Literal["reader", "technician", "planner", "owner"]
ROLES: tuple[Role, ...] = get_args(Role)

SIGNS: frozenset[Role] = frozenset({"technician", "planner", "owner"})
"""Who may vouch for something."""


def at_least(role: str, least: Role) -> bool:
    """Whether a role may do what `least` may. One that is not known may nothing."""
    return role in ROLES and ROLES.index(role) >= ROLES.index(least)


def role_of(account: Account) -> Role:
    """The role of a person; one that this release does not know counts as the least."""
    return account.role if account.role in ROLES else "reader"
