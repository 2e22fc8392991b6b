"""A company's own server: by TLS, its certificate verified, its password asked; what is wrong is told."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

from standtrue.model.basics import UnansweredError
from standtrue.store.database import connected, open_store
from store_fixtures import PORT, Server

ACCESS = """\
local all all trust
hostssl all shop 127.0.0.1/32 scram-sha-256
"""
"""Nobody is let in over the network but by TLS and a password: https://www.postgresql.org/docs/current/auth-pg-hba-conf.html."""


def certificate(folder: Path, name: str) -> Path:
    """A certificate of a server at 127.0.0.1 that signed itself, beside its key."""
    made = folder / f"{name}.pem"
    subject = ["-subj", "/CN=127.0.0.1", "-addext", "subjectAltName=IP:127.0.0.1", "-days", "2"]
    command = [
        "openssl",
        "req",
        "-x509",
        "-newkey",
        "ec",
        "-pkeyopt",
        "ec_paramgen_curve:prime256v1",
        "-nodes",
        *subject,
    ]
    subprocess.run([*command, "-keyout", made.with_suffix(".key"), "-out", made], check=True, capture_output=True)
    return made


@pytest.fixture
def company(postgresql: Server, tmp_path: Path) -> Iterator[tuple[str, Path]]:
    """The address of a company's server, without password and TLS; and its certificate."""
    own = certificate(postgresql.folder, "company")
    (postgresql.folder / "access.conf").write_text(ACCESS, encoding="utf-8")
    for file in (own, own.with_suffix(".key")):
        shutil.chown(file, postgresql.user)
    own.with_suffix(".key").chmod(0o600)
    trusted = tmp_path / "company.pem"
    trusted.write_bytes(own.read_bytes())
    postgresql.say("CREATE ROLE shop LOGIN PASSWORD 'of the shop'")
    postgresql.say("CREATE DATABASE shop OWNER shop")
    tls = {"ssl": "on", "ssl_cert_file": str(own), "ssl_key_file": str(own.with_suffix(".key"))}
    postgresql.stop()
    try:
        more = {"hba_file": str(postgresql.folder / "access.conf"), "listen_addresses": "127.0.0.1"}
        postgresql.start(**tls, **more)
        yield f"shop:{{}}@127.0.0.1:{PORT}/shop", trusted
    finally:
        postgresql.stop()
        postgresql.start()
        postgresql.say("DROP DATABASE shop")
        postgresql.say("DROP ROLE shop")


def refusal(address: str) -> tuple[str, str]:
    with pytest.raises(UnansweredError) as refused:
        open_store(address, make=True)
    (fault,) = refused.value.faults
    return fault.code, f"{fault.what} {fault.file}"


def test_a_server_is_reached_by_a_verified_name_and_a_password_only(company: tuple[str, Path], tmp_path: Path) -> None:
    at, trusted = company
    verified = f"sslmode=verify-full&sslrootcert={trusted}"
    right = f"postgresql://{at.format('of%20the%20shop')}"
    with open_store(f"{right}?{verified}", make=True) as store:
        assert "of%20the%20shop" not in store.where
        assert "of the shop" not in store.where
    code, told = refusal(f"postgresql://{at.format('secret')}?{verified}")
    assert code == "store-refused"
    assert "secret" not in told
    code, told = refusal(f"{right}?sslmode=verify-full&sslrootcert={certificate(tmp_path, 'other')}")
    assert code == "store-unreachable"
    assert "certificate" in told
    code, told = refusal(f"{right}?sslmode=disable")
    assert code == "store-unreachable"
    assert "no encryption" in told


def test_a_server_elsewhere_is_verified_unless_its_address_says_otherwise() -> None:
    for address, mode in (
        ("postgresql://a@db.company.example/shop", "verify-full"),
        ("postgresql://a@/shop?host=db.company.example", "verify-full"),
        ("postgresql://a@db.company.example/shop?sslmode=require", "require"),
        ("postgresql://a@localhost/shop", None),
        ("postgresql://a@/shop?host=/run/postgresql", None),
    ):
        with connected(address, make=False) as store:
            assert store.engine.url.query.get("sslmode") == mode, address
