"""The app on the shop's network: by TLS, on every address of this machine, for whoever signed in."""

from __future__ import annotations

import socket
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path

from attrs import frozen

from standtrue.model.basics import Fault, UnansweredError
from standtrue.model.reason import because
from standtrue.web.certificates import Pair, Trust, given_trust, own_trust
from standtrue.web.names import Name, host_of, named, own_names, shown
from standtrue.web.serving import socket_everywhere
from standtrue.web.state import Authority

LOOPBACKS = frozenset({"127.0.0.1", "localhost", "[::1]"})


@frozen(eq=False)
class Network:
    """A socket that listens, what it shows, by which names it is called, and the address to open on another device.

    `asked` are the names that somebody asked for; `folder` holds the shop's own authority (None: it is another's).
    """

    listens: socket.socket
    port: int
    tls: Pair
    hosts: frozenset[str]
    address: str
    authority: Authority | None
    names: frozenset[Name]
    asked: tuple[Name, ...] = ()
    folder: Path | None = None


def on_network(folder: Path, port: int, hosts: Sequence[str], certificate: Path | None, key: Path | None) -> Network:
    """The app of a shop folder on the network. Raises UnansweredError, and OSError where no port is free."""
    asked = tuple(_named(one) for one in hosts)
    if (certificate is None) != (key is None):
        what, remedy = because("certificate-without-key"), because("name-pem-files")
        raise UnansweredError([Fault("certificate-unusable", what, "", "--certificate", "", remedy)])
    if certificate is not None and key is not None:
        trust, own = given_trust(certificate, key), None
    else:
        trust, own = own_trust(folder, own_names(), asked, datetime.now(UTC)), folder
    if not _called(trust, asked):
        what, remedy = because("certificate-without-names"), because("name-the-host", option="--host")
        raise UnansweredError([Fault("certificate-unusable", what, "", "--host", "", remedy)])
    listens, found = socket_everywhere(port)
    return _network(listens, found, trust, asked, own)


def moved(before: Network, names: frozenset[Name]) -> Network:
    """The same network, where this machine is reached by further names: its certificate is for these, too."""
    assert before.folder is not None
    trust = own_trust(before.folder, before.names | names, before.asked, datetime.now(UTC))
    return _network(before.listens, before.port, trust, before.asked, before.folder)


def _network(listens: socket.socket, port: int, trust: Trust, asked: tuple[Name, ...], folder: Path | None) -> Network:
    names = _called(trust, asked)
    address = f"https://{host_of(asked[0]) if asked else shown(names)}:{port}/"
    called = frozenset({host_of(one) for one in (*names, *trust.names)} | LOOPBACKS)
    authority = None if trust.authority is None else Authority(trust.der, trust.digest, address)
    return Network(listens, port, trust.server, called, address, authority, trust.names, asked, folder)


def _called(trust: Trust, asked: tuple[Name, ...]) -> tuple[Name, ...]:
    """The names to open it by: those that were asked for, else those that the certificate is for."""
    return asked or tuple(one for one in trust.names if not str(one).startswith("*"))


def _named(host: str) -> Name:
    found = named(host)
    if found is None:
        what, remedy = because("no-host-name", value=host), because("name-the-host", option="--host")
        raise UnansweredError([Fault("no-host-name", what, "", "--host", host, remedy)])
    return found
