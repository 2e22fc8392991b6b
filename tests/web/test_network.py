"""The shop's network: its own authority, what that can vouch for, a handshake with it, and what is refused."""

from __future__ import annotations

import socket
import ssl
import stat
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import UTC, datetime, timedelta
from ipaddress import ip_address
from pathlib import Path
from typing import Any
from urllib.request import Request as Asked
from urllib.request import urlopen

import pytest
import uvicorn
from cryptography import x509
from cryptography.hazmat.primitives import hashes
from fastapi import FastAPI, Request

from command_runner import Run
from standtrue.model.basics import UnansweredError
from standtrue.web import certificates, names
from standtrue.web.app import make_app
from standtrue.web.certificates import FOLDER, SERVER_FOR, Trust, given_trust, own_trust
from standtrue.web.moving import Follower
from standtrue.web.names import DNS, Name, named, own_names
from standtrue.web.network import on_network
from standtrue.web.serving import config_of, free_socket
from standtrue.web.visitors import address_of
from web_fixtures import new_state

NOW = datetime.now(UTC)
NAMES: frozenset[Name] = frozenset(
    {"shop-pc", "shop-pc.local", "localhost", ip_address("127.0.0.1"), ip_address("10.1.2.3")}
)
PUBLIC = ip_address("203.0.113.9")


def made(folder: Path, names: frozenset[Name] = NAMES, asked: tuple[Name, ...] = (), at: datetime = NOW) -> Trust:
    folder.mkdir(exist_ok=True)
    return own_trust(folder, names, asked, at)


def handshake(trust: Trust, authority: bytes, name: str) -> str:
    """What a browser that trusts an authority comes to, on loopback: "" or why it refuses."""
    server = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    server.load_cert_chain(trust.server.certificate, trust.server.key)
    client = ssl.create_default_context(cadata=authority)
    client.verify_flags |= ssl.VERIFY_X509_STRICT
    listens, port = free_socket("127.0.0.1", 18774, 400)
    listens.listen()

    def answer() -> None:
        own, _ = listens.accept()
        with suppress(OSError), own, server.wrap_socket(own, server_side=True) as tls:
            tls.recv(1)

    thread = threading.Thread(target=answer)
    thread.start()
    try:
        with socket.create_connection(("127.0.0.1", port)) as own:
            client.wrap_socket(own, server_hostname=name).close()
    except ssl.SSLCertVerificationError as error:
        return str(error.verify_message)
    finally:
        thread.join(10)
        listens.close()
    return ""


def test_a_browser_that_trusts_the_authority_trusts_the_server(tmp_path: Path) -> None:
    trust, other = made(tmp_path / "shop"), made(tmp_path / "other")
    assert [handshake(trust, trust.der, name) for name in ("shop-pc.local", "localhost", "10.1.2.3")] == ["", "", ""]
    assert handshake(trust, other.der, "localhost") != ""
    assert handshake(trust, trust.der, "elsewhere.local") != ""


def test_the_authority_can_vouch_for_nothing_else(tmp_path: Path) -> None:
    """Whoever took its key: certificates by it for a page of the internet, by name or by address, are refused."""
    trust = made(tmp_path / "shop")
    place = tmp_path / "shop" / FOLDER
    held = certificates._read(certificates.Pair(place / "authority.pem", place / "authority.key"))
    assert held is not None
    for name in ("bank.example", PUBLIC):
        forged = certificates.Pair(tmp_path / "forged.pem", tmp_path / "forged.key")
        certificates._make_server(forged, *held, frozenset({name}), NOW)
        assert handshake(Trust(forged, frozenset()), trust.der, str(name)) == "permitted subtree violation"


def test_keys_are_for_their_owner_only(tmp_path: Path) -> None:
    made(tmp_path / "shop")
    place = tmp_path / "shop" / FOLDER
    assert stat.S_IMODE(place.stat().st_mode) == 0o700
    modes = {file.name: stat.S_IMODE(file.stat().st_mode) for file in place.iterdir()}
    assert {modes["authority.key"], modes["server.key"]} == {0o600}
    assert not [name for name in modes if name.endswith(".part")]


def test_certificates_say_what_browsers_ask_for(tmp_path: Path) -> None:
    trust = made(tmp_path / "shop")
    authority = trust.authority
    assert authority is not None
    (server, *_) = x509.load_pem_x509_certificates(trust.server.certificate.read_bytes())
    assert authority.not_valid_after_utc - NOW >= timedelta(days=3651)
    assert server.not_valid_after_utc - server.not_valid_before_utc < timedelta(days=825)
    constraints = authority.extensions.get_extension_for_class(x509.NameConstraints)
    assert constraints.critical
    basic = authority.extensions.get_extension_for_class(x509.BasicConstraints)
    assert (basic.critical, basic.value.ca, basic.value.path_length) == (True, True, 0)
    assert isinstance(server.signature_hash_algorithm, hashes.SHA256)
    assert trust.digest == authority.fingerprint(hashes.SHA256()).hex().upper()


def test_the_authority_stays_and_the_server_s_certificate_is_renewed(tmp_path: Path) -> None:
    first = made(tmp_path / "shop")
    before = first.server.certificate.read_bytes()
    assert made(tmp_path / "shop", at=NOW + SERVER_FOR - timedelta(days=31)).server.certificate.read_bytes() == before
    later = made(tmp_path / "shop", at=NOW + SERVER_FOR - timedelta(days=29))
    assert later.digest == first.digest
    assert later.server.certificate.read_bytes() != before
    moved = made(tmp_path / "shop", NAMES | {ip_address("10.1.2.4")}, at=NOW)
    assert handshake(moved, first.der, "10.1.2.4") == ""
    (tmp_path / "shop" / FOLDER / "server.key").write_text("damaged")
    assert handshake(made(tmp_path / "shop"), first.der, "localhost") == ""
    assert made(tmp_path / "shop", at=NOW + timedelta(days=3650)).digest != first.digest


def test_a_name_is_asked_for_when_the_authority_is_made(tmp_path: Path) -> None:
    trust = made(tmp_path / "shop", NAMES | {PUBLIC})
    assert trust.names == NAMES, "an address that the authority cannot vouch for is left out"
    with pytest.raises(UnansweredError) as refused:
        made(tmp_path / "shop", asked=("shop.example",))
    assert [one.code for one in refused.value.faults] == ["authority-not-for-name"]
    asked = made(tmp_path / "asked", asked=("shop.example", PUBLIC))
    assert handshake(asked, asked.der, "shop.example") == ""
    assert handshake(asked, asked.der, str(PUBLIC)) == ""


def test_files_of_somebody_else_are_taken_if_they_can_be(tmp_path: Path) -> None:
    own = made(tmp_path / "shop").server
    assert given_trust(own.certificate, own.key).names == NAMES
    for certificate, key in ((own.key, own.key), (own.certificate, tmp_path / "none"), (tmp_path / "none", own.key)):
        with pytest.raises(UnansweredError) as refused:
            given_trust(certificate, key)
        assert [one.code for one in refused.value.faults] == ["certificate-unusable"]


@pytest.mark.parametrize(
    ("text", "name"),
    [("Shop.local.", "shop.local"), ("10.0.0.7", ip_address("10.0.0.7")), ("[fd00::7]", ip_address("fd00::7")),
     ("-shop", None), ("shop pc", None), ("", None), ("shop_pc", None), ("a..b", None)],
)  # fmt: skip
def test_a_name_is_read_as_somebody_writes_it(text: str, name: Name | None) -> None:
    assert named(text) == name


def test_this_machine_has_names() -> None:
    names = own_names()
    assert {"localhost", ip_address("127.0.0.1")} <= names
    assert all(DNS.fullmatch(one) for one in names if isinstance(one, str))


@contextmanager
def served(config: uvicorn.Config, listens: socket.socket) -> Iterator[None]:
    """An app by TLS, until the test is through with it."""
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listens]}, daemon=True)
    thread.start()
    while not server.started:
        assert thread.is_alive()
    yield
    server.should_exit = True
    thread.join(10)


def telling() -> FastAPI:
    """An app that tells from where and how it is asked."""
    app = FastAPI()

    @app.get("/")
    def page(request: Request) -> str:
        return f"{address_of(request)} by {request.url.scheme}"

    return app


def test_nobody_says_for_himself_from_where_he_asks() -> None:
    """A program at this machine that guesses does not become many by what it says of itself, nor its cookies safe."""
    listens, port = free_socket("127.0.0.1", 18974, 400)
    lies = {"X-Forwarded-For": "10.9.9.9", "X-Forwarded-Proto": "https", "Forwarded": "for=10.9.9.9;proto=https"}
    with served(config_of(telling()), listens), urlopen(Asked(f"http://127.0.0.1:{port}/", headers=lies)) as told:
        assert told.read() == b'"127.0.0.1 by http"'


def test_on_the_network_there_is_tls_and_nothing_else(tmp_path: Path) -> None:
    """The socket listens everywhere, its page is read by TLS, and a request without it gets no answer."""
    over = on_network(tmp_path, 18574, ["shop.local"], None, None)
    with served(config_of(telling(), over.tls), over.listens):
        assert over.authority is not None
        assert over.address == f"https://shop.local:{over.port}/"
        assert {"shop.local", "127.0.0.1"} <= over.hosts
        client = ssl.create_default_context(cadata=over.authority.certificate)
        asked = b"GET / HTTP/1.1\r\nhost: shop.local\r\nconnection: close\r\n\r\n"
        own = socket.create_connection(("127.0.0.1", over.port))
        with client.wrap_socket(own, server_hostname="shop.local") as tls:
            tls.sendall(asked)
            assert tls.recv(4096).startswith(b"HTTP/1.1 200")
        with socket.create_connection(("127.0.0.1", over.port)) as own, suppress(ConnectionResetError):
            own.sendall(asked)
            assert own.recv(4096) == b""


def test_a_machine_with_another_address_is_reached_by_it_at_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A tablet that trusts the authority opens the new address while the same server runs: by TLS, and by its name."""
    state = new_state(tmp_path / "shop")
    over = on_network(tmp_path / "shop", 18874, [], None, None)
    assert over.authority is not None
    state.hosts, state.authority = over.hosts, over.authority
    client, told, addresses = ssl.create_default_context(cadata=over.authority.certificate), list[str](), list[Any]()
    follower = Follower(state, over, lambda network: told.append(network.address))
    monkeypatch.setattr(names, "_routed", lambda: reversed(addresses))
    config = config_of(make_app(state), over.tls)

    def asked(host: str) -> bytes:
        own = socket.create_connection(("127.0.0.1", over.port))
        with client.wrap_socket(own, server_hostname=host) as tls:
            tls.sendall(f"GET /api/v1/health HTTP/1.1\r\nhost: {host}\r\nconnection: close\r\n\r\n".encode())
            return tls.recv(4096)

    with served(config, over.listens):
        assert config.ssl is not None
        follower.look(config.ssl)
        with pytest.raises(ssl.SSLCertVerificationError):
            asked("10.1.2.77")
        addresses.append(ip_address("10.1.2.77"))
        follower.look(config.ssl)
        assert asked("10.1.2.77").startswith(b"HTTP/1.1 200")
        assert asked("localhost").startswith(b"HTTP/1.1 200"), "by the names from before, too"
        addresses.append(PUBLIC)
        follower.look(config.ssl)
        follower.look(config.ssl)
        assert told == [f"https://10.1.2.77:{over.port}/"]
        assert str(PUBLIC) not in state.hosts, "for that the authority cannot vouch"
    assert state.authority.address == told[0], "as the page tells that a tablet opens"
    assert state.authority.digest == over.authority.digest


def test_a_taken_port_leads_to_the_next(tmp_path: Path) -> None:
    first = on_network(tmp_path, 18674, [], None, None)
    try:
        second = on_network(tmp_path, first.port, [], None, None)
        second.listens.close()
        assert second.port > first.port
    finally:
        first.listens.close()


def test_what_counts_on_the_network_alone_is_refused_without_it(run: Run, tmp_path: Path) -> None:
    """So that nothing but loopback is ever served without TLS."""
    for option in (("--host", "shop.local"), ("--certificate", "a.pem"), ("--key", "a.key")):
        refused = run("serve", tmp_path, *option)
        assert (refused.status, "only this machine is served" in refused.err) == (2, True)
    assert not any(tmp_path.iterdir())
