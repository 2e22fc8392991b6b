"""By which names and addresses this machine is reached. Nothing is sent to find out."""

from __future__ import annotations

import re
import socket
from collections.abc import Iterable, Iterator
from contextlib import suppress
from ipaddress import IPv4Address, IPv6Address, ip_address

Name = str | IPv4Address | IPv6Address
"""A name, in small letters, or an address."""

DNS = re.compile(r"(?!-)[a-z0-9-]{1,63}(?<!-)(\.(?!-)[a-z0-9-]{1,63}(?<!-))*", re.ASCII)

SOMEWHERE = (("192.0.2.1", socket.AF_INET), ("2001:db8::1", socket.AF_INET6))
"""Addresses of no machine (RFC 5737, RFC 3849): by the way that would lead there the system names its own address."""


def named(text: str) -> Name | None:
    """A name or an address as somebody wrote it; None for what is neither."""
    told = text.strip().lower().strip("[]").rstrip(".")
    with suppress(ValueError):
        return ip_address(told)
    return told if DNS.fullmatch(told) else None


def own_names() -> frozenset[Name]:
    """The names and addresses of this machine, also those by which only itself can reach it."""
    host = socket.gethostname()
    short = host.partition(".")[0]
    told = (named(one) for one in (host, short, f"{short}.local", "localhost", "127.0.0.1", "::1"))
    return frozenset((*(one for one in told if one is not None), *own_addresses()))


def own_addresses() -> Iterator[IPv4Address | IPv6Address]:
    """The addresses by which others reach this machine, the likeliest first."""
    yield from _routed()
    with suppress(OSError):
        for found in socket.getaddrinfo(socket.gethostname(), None, type=socket.SOCK_STREAM):
            with suppress(ValueError):
                one = ip_address(str(found[4][0]).partition("%")[0])
                if not one.is_loopback:
                    yield one


def routed() -> frozenset[Name]:
    """The addresses by which the system reaches others now. No name is looked up for that."""
    return frozenset(one for one in _routed() if not one.is_loopback)


def _routed() -> Iterator[IPv4Address | IPv6Address]:
    for address, family in SOMEWHERE:
        with suppress(OSError, ValueError), socket.socket(family, socket.SOCK_DGRAM) as asked:
            asked.connect((address, 9))  # of a datagram nothing is sent by that
            yield ip_address(asked.getsockname()[0])


def shown(names: Iterable[Name]) -> str:
    """The name of these by which to open the shop on another device: an address, since few networks know names."""
    told = set(names)
    for one in own_addresses():
        if one in told:
            return host_of(one)
    others = sorted((host_of(one) for one in told), key=lambda one: (one.startswith(("localhost", "127.", "[")), one))
    return others[0] if others else "localhost"


def host_of(name: Name) -> str:
    """A name as it stands in an address of a page."""
    return f"[{name}]" if isinstance(name, IPv6Address) else str(name)
