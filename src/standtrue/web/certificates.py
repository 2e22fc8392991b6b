"""The shop's own authority and the certificate of its server, kept beside the store, its keys for their owner only.

The authority can vouch for this shop's names and for addresses of private networks, and for nothing else: critical name
constraints (RFC 5280, 4.2.1.10) say so, and whoever took its key could make no page of the internet with it. Addresses
are those of RFC 1918, 3927, 4193, 4291 and 5735; names end in `local` (RFC 6762), `home.arpa` (RFC 8375) or `internal`,
or are those of this machine and those asked for when it was made.
"""

from __future__ import annotations

import os
import ssl
from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from ipaddress import IPv4Address, IPv6Address, ip_network
from pathlib import Path

from attrs import frozen
from cryptography import x509
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from standtrue.model.basics import Fault, UnansweredError
from standtrue.model.reason import Reason, Term, because
from standtrue.web.names import Name

FOLDER = ".standtrue-trust"
"""Hidden: no document of the shop."""

AUTHORITY_FOR = timedelta(days=3652)
SERVER_FOR = timedelta(days=397)
"""Browsers refuse what is good for longer than 825 days, where a person trusts the authority."""

NEAR_ITS_END = timedelta(days=30)
CLOCKS_DIFFER = timedelta(days=1)

NETWORKS = (
    *("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16", "127.0.0.0/8"),
    *("fc00::/7", "fe80::/10", "::1/128"),
)
ENDINGS = ("local", "home.arpa", "internal", "localhost")


Held = tuple[x509.Certificate, ec.EllipticCurvePrivateKey]
"""A certificate and the key that belongs to it."""


@frozen(eq=False)
class Pair:
    """A certificate and its key, each a file."""

    certificate: Path
    key: Path


@frozen(eq=False)
class Trust:
    """What the server shows, and the authority that vouches for it (None: files that somebody else made)."""

    server: Pair
    names: frozenset[Name]
    authority: x509.Certificate | None = None

    @property
    def der(self) -> bytes:
        """The authority's certificate as devices take it."""
        assert self.authority is not None
        return self.authority.public_bytes(serialization.Encoding.DER)

    @property
    def digest(self) -> str:
        """Its SHA-256 in hexadecimal, by which it is told from any other."""
        assert self.authority is not None
        return self.authority.fingerprint(hashes.SHA256()).hex().upper()


def own_trust(folder: Path, names: Iterable[Name], asked: Iterable[Name], now: datetime) -> Trust:
    """The authority and the server's certificate of a shop folder, made where there is none, or none that will do.

    `names` are this machine's; those that the authority cannot vouch for are left out. `asked` are those that somebody
    asked for: raises UnansweredError where an earlier authority cannot vouch for one of them.
    """
    place, names, asked = folder / FOLDER, frozenset(names), frozenset(asked)
    place.mkdir(mode=0o700, exist_ok=True)
    pair = Pair(place / "authority.pem", place / "authority.key")
    found = _read(pair)
    if found is None or found[0].not_valid_after_utc - now < SERVER_FOR:
        found = _make_authority(pair, asked | {one for one in names if isinstance(one, str)}, now)
    certificate, key = found
    strangers = [str(one) for one in asked if not _vouches_for(certificate, one)]
    if strangers:
        remedy = because("remove-authority", folder=str(place))
        raise _fault("authority-not-for-name", because("authority-not-for-name", names=tuple(strangers)), remedy)
    own = frozenset(one for one in (*names, *asked) if _vouches_for(certificate, one))
    server = Pair(place / "server.pem", place / "server.key")
    there = _read(server)
    if there is None or not _will_do(there[0], certificate, own, now):
        _make_server(server, certificate, key, own, now)
    return Trust(server, own, certificate)


def given_trust(certificate: Path, key: Path) -> Trust:
    """Files that somebody else made. Raises UnansweredError where a server cannot show them."""
    try:
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        context.load_cert_chain(certificate, key, password=lambda: "")
        (first, *_) = x509.load_pem_x509_certificates(certificate.read_bytes())
    except (OSError, ValueError) as error:
        what = because("certificate-unusable", why=Term(str(error)))
        raise _fault("certificate-unusable", what, because("name-pem-files")) from None
    return Trust(Pair(certificate, key), _names_of(first))


def _fault(code: str, what: Reason, remedy: Reason) -> UnansweredError:
    return UnansweredError([Fault(code, what, "", "--certificate", "", remedy)])


def _read(pair: Pair) -> Held | None:
    """A certificate with the key that belongs to it; None where there is none, or they are not whole."""
    try:
        certificate = x509.load_pem_x509_certificates(pair.certificate.read_bytes())[0]
        key = serialization.load_pem_private_key(pair.key.read_bytes(), None)
    except (OSError, ValueError, TypeError):
        return None
    if not isinstance(key, ec.EllipticCurvePrivateKey) or key.public_key() != certificate.public_key():
        return None
    return certificate, key


def _make_authority(pair: Pair, asked: frozenset[Name], now: datetime) -> Held:
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, f"Standtrue authority of {now:%Y-%m-%d}")])
    permitted: list[x509.GeneralName] = [x509.DNSName(one) for one in ENDINGS]
    permitted += [x509.IPAddress(ip_network(one)) for one in NETWORKS]
    permitted += [_general(one, network=True) for one in sorted(asked, key=str)]
    usage = x509.KeyUsage(False, False, False, False, False, True, True, False, False)
    made = (
        _begun(name, name, key, key, now, AUTHORITY_FOR)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(usage, critical=True)
        .add_extension(x509.NameConstraints(permitted, None), critical=True)
        .sign(key, hashes.SHA256())
    )
    _write(pair, (made,), key)
    return made, key


def _make_server(
    pair: Pair, authority: x509.Certificate, by: ec.EllipticCurvePrivateKey, names: frozenset[Name], now: datetime
) -> None:
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "Standtrue server")])
    usage = x509.KeyUsage(True, False, False, False, False, False, False, False, False)
    own = [_general(one) for one in sorted(names, key=str)]
    made = (
        _begun(name, authority.subject, key, by, now, SERVER_FOR)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(usage, critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectAlternativeName(own), critical=False)
        .sign(by, hashes.SHA256())
    )
    _write(pair, (made, authority), key)


def _begun(
    name: x509.Name,
    issuer: x509.Name,
    key: ec.EllipticCurvePrivateKey,
    by: ec.EllipticCurvePrivateKey,
    now: datetime,
    lasts: timedelta,
) -> x509.CertificateBuilder:
    """What every certificate says."""
    return (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(issuer)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now.astimezone(UTC) - CLOCKS_DIFFER)
        .not_valid_after(now.astimezone(UTC) + lasts)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(by.public_key()), critical=False)
    )


def _will_do(server: x509.Certificate, authority: x509.Certificate, names: frozenset[Name], now: datetime) -> bool:
    """Whether a server's certificate is the authority's, for these names, and not near its end."""
    try:
        server.verify_directly_issued_by(authority)
    except (ValueError, TypeError, InvalidSignature):
        return False
    begun = server.not_valid_before_utc <= now
    return begun and server.not_valid_after_utc - now > NEAR_ITS_END and _names_of(server) == names


def _names_of(certificate: x509.Certificate) -> frozenset[Name]:
    """The names and addresses that a certificate is for."""
    try:
        told = certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    except x509.ExtensionNotFound:
        return frozenset()
    addresses = (one for one in told.get_values_for_type(x509.IPAddress) if isinstance(one, IPv4Address | IPv6Address))
    return frozenset((*told.get_values_for_type(x509.DNSName), *addresses))


def _vouches_for(authority: x509.Certificate, name: Name) -> bool:
    """Whether an authority's constraints permit a name."""
    permitted = authority.extensions.get_extension_for_class(x509.NameConstraints).value.permitted_subtrees or []
    if isinstance(name, str):
        told = [one.value for one in permitted if isinstance(one, x509.DNSName)]
        return any(name == one or name.endswith(f".{one}") for one in told)
    networks = [ip_network(str(one.value)) for one in permitted if isinstance(one, x509.IPAddress)]
    return any(name in one for one in networks)


def _general(name: Name, *, network: bool = False) -> x509.GeneralName:
    if isinstance(name, str):
        return x509.DNSName(name)
    return x509.IPAddress(ip_network(name) if network else name)


def _write(pair: Pair, chain: Iterable[x509.Certificate], key: ec.EllipticCurvePrivateKey) -> None:
    """Write both, the key first and for nobody else to read."""
    secret = key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )
    _put(pair.key, secret, 0o600)
    _put(pair.certificate, b"".join(one.public_bytes(serialization.Encoding.PEM) for one in chain), 0o644)


def _put(path: Path, content: bytes, mode: int) -> None:
    """A file, whole or not at all, that from its first byte on only those may read who shall."""
    beside = path.with_name(f"{path.name}.part")
    beside.unlink(missing_ok=True)
    with os.fdopen(os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode), "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    beside.replace(path)
