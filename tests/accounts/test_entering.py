"""Coming in: what is said and done is the same for names that nobody has; codes are good once; sessions end."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from attrs import evolve
from pwdlib import PasswordHash
from pwdlib.hashers.argon2 import Argon2Hasher
from sqlalchemy import select

from standtrue.model.basics import UnansweredError
from standtrue.model.reason import Duration, Reason
from standtrue.store import tables
from standtrue.store.database import Store
from standtrue.work.accounts import secrets_kept
from standtrue.work.accounts.entering import Caller, Entered, change_password, first_code, invite, invited, sign_in
from standtrue.work.accounts.entering import sign_up as choose
from standtrue.work.accounts.people import add_person, change_role, happened, lift_locks, person, remove_person
from standtrue.work.accounts.sessions import IDLE, LONGEST, SignedIn, sign_out, sign_out_others, signed_in

pytestmark = pytest.mark.usefixtures("quick")

BOTH = pytest.mark.parametrize("own_store", ["sqlite", "postgresql"], indirect=True)

AT = datetime.fromisoformat("2026-03-02T13:40-06:00")
HERE = Caller(AT, "192.0.2.7")
PASSWORD = "a long enough word"


@pytest.fixture
def shop(own_store: Store) -> Store:
    """An owner, who signed up with the first code."""
    code = first_code(own_store, AT)
    assert code is not None
    assert isinstance(choose(own_store, code, "Olga", PASSWORD, HERE), Entered)
    return own_store


def later(**after: float) -> Caller:
    return evolve(HERE, at=AT + timedelta(**after))


def why(found: object) -> str:
    return found.code if isinstance(found, Reason) else "in"


def number_of(found: Entered | Reason) -> str:
    assert isinstance(found, Entered)
    return found.number


def test_the_first_owner_signs_up_by_a_code_and_nobody_else_does(shop: Store) -> None:
    assert first_code(shop, AT) is None
    assert why(sign_in(shop, "olga", PASSWORD, HERE)) == "in"
    found = person(shop, "Olga")
    assert found is not None
    assert (found.role, found.has_pin) == ("owner", False)


def test_a_code_is_good_once_and_for_a_while_and_the_latest_alone(shop: Store) -> None:
    add_person(shop, "Ana", "technician", AT, "Olga")
    older = invite(shop, "Ana", AT, "Olga")
    code = invite(shop, "Ana", AT, "Olga")
    assert why(invited(shop, older, HERE)) == "code-wrong"
    assert why(invited(shop, code, later(days=3))) == "code-wrong"
    assert why(choose(shop, f" {code.lower().replace('-', ' ').replace('0', 'o')} ", "", PASSWORD, HERE)) == "in"
    assert why(choose(shop, code, "", PASSWORD, HERE)) == "code-wrong"
    assert why(choose(shop, "", "", PASSWORD, HERE)) == "code-wrong"


def test_a_first_code_is_no_good_once_there_is_an_owner(own_store: Store) -> None:
    code = first_code(own_store, AT)
    assert code is not None
    add_person(own_store, "Ana", "owner", AT, "")
    assert why(choose(own_store, invite(own_store, "Ana", AT, ""), "", PASSWORD, HERE)) == "in"
    assert why(choose(own_store, code, "Eve", PASSWORD, HERE)) == "code-wrong"


def test_what_cannot_be_a_password_leaves_the_code_good(shop: Store) -> None:
    add_person(shop, "Ana", "technician", AT, "Olga")
    code = invite(shop, "Ana", AT, "Olga")
    for password in ("short", "x" * 201, "ababababab"):
        with pytest.raises(UnansweredError):
            choose(shop, code, "", password, HERE)
    assert why(choose(shop, code, "", PASSWORD, HERE)) == "in"


def test_no_secret_is_in_the_store(shop: Store) -> None:
    add_person(shop, "Ana", "technician", AT, "Olga")
    code = invite(shop, "Ana", AT, "Olga")
    number = number_of(sign_in(shop, "Olga", PASSWORD, HERE))
    sign_in(shop, "my password typed here", "x", HERE)
    with shop.reading() as connection:
        told = str([connection.execute(select(t)).all() for t in tables.metadata.sorted_tables])
    for secret in (code, code.replace("-", ""), number, PASSWORD, "my password typed here"):
        assert secret not in told


def test_a_name_that_nobody_has_is_told_from_no_other(shop: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    """By no sentence, no lock, and no hash left out: the same number of hashes is computed for each try."""
    add_person(shop, "Ana", "technician", AT, "Olga")  # without a password yet
    computed: list[str] = []

    class Counting(PasswordHash):
        def verify(self, password: str | bytes, hash: str | bytes) -> bool:
            computed.append(str(hash))
            return super().verify(password, hash)

    monkeypatch.setattr(secrets_kept, "_HASHER", Counting((Argon2Hasher(1, 8, 1),)))
    said = {
        name: [why(sign_in(shop, name, "wrong", Caller(AT + timedelta(hours=n), f"{name} {n}"))) for n in range(12)]
        for name in ("Olga", "Ana", "Nobody")
    }
    assert said["Olga"] == said["Ana"] == said["Nobody"] == ["sign-in-wrong"] * 10 + ["sign-in-locked"] * 2
    assert len(computed) == 30
    assert {one.split("$")[1:4] == ["argon2id", "v=19", "m=8,t=1,p=1"] for one in computed} == {True}


def test_wrong_tries_make_one_wait_longer_and_then_lock_until_an_owner_lifts_it(shop: Store) -> None:
    for _ in range(3):
        assert why(sign_in(shop, "Olga", "wrong", HERE)) == "sign-in-wrong"
    waits = sign_in(shop, "Olga", PASSWORD, HERE)
    assert isinstance(waits, Reason)
    assert waits["wait"] == Duration(5.0)
    assert why(sign_in(shop, "Olga", PASSWORD, later(seconds=4))) == "sign-in-wait"
    assert why(sign_in(shop, "Olga", PASSWORD, later(seconds=5))) == "in"
    for n in range(10):
        assert why(sign_in(shop, "Olga", "wrong", Caller(AT + timedelta(hours=n), f"{n}"))) == "sign-in-wrong"
    assert why(sign_in(shop, "Olga", PASSWORD, later(days=300))) == "sign-in-locked"
    found = person(shop, "Olga")
    assert found is not None
    assert found.is_locked
    lift_locks(shop, "Olga", AT, "")
    assert why(sign_in(shop, "Olga", PASSWORD, later(days=300))) == "in"


def test_a_code_of_an_owner_unlocks_too(shop: Store) -> None:
    add_person(shop, "Ana", "technician", AT, "Olga")
    for n in range(11):
        sign_in(shop, "Ana", "wrong", Caller(AT + timedelta(hours=n), f"{n}"))
    choose(shop, invite(shop, "Ana", AT, "Olga"), "", PASSWORD, HERE)
    assert why(sign_in(shop, "Ana", PASSWORD, HERE)) == "in"


@BOTH
def test_an_address_waits_whatever_it_tries(shop: Store) -> None:
    for n in range(10):
        assert why(sign_in(shop, f"name {n}", "wrong", HERE)) == "sign-in-wrong"
        assert why(invited(shop, f"code {n}", HERE)) == "code-wrong"
    assert why(sign_in(shop, "Olga", PASSWORD, HERE)) == "address-wait"
    assert why(invited(shop, "code", HERE)) == "address-wait"
    assert why(sign_in(shop, "Olga", PASSWORD, Caller(AT, "192.0.2.8"))) == "in"
    assert why(sign_in(shop, "Olga", PASSWORD, later(minutes=15))) == "in"


def test_a_session_is_new_at_every_sign_in_and_the_one_before_ends(shop: Store) -> None:
    first = number_of(sign_in(shop, "Olga", PASSWORD, HERE))
    second = number_of(sign_in(shop, "Olga", PASSWORD, evolve(HERE, before=first)))
    assert signed_in(shop, first, AT) is None
    assert signed_in(shop, second, AT) == SignedIn("Olga", "owner")
    planted = number_of(sign_in(shop, "Olga", PASSWORD, evolve(HERE, before="planted by somebody")))
    assert planted != "planted by somebody"
    assert signed_in(shop, "planted by somebody", AT) is None


def test_a_session_ends_unused_and_in_any_case(shop: Store) -> None:
    idle = number_of(sign_in(shop, "Olga", PASSWORD, HERE))
    assert signed_in(shop, idle, AT + IDLE - timedelta(seconds=1)) is not None
    assert signed_in(shop, idle, AT + 2 * IDLE - timedelta(seconds=1)) is None
    used, at = number_of(sign_in(shop, "Olga", PASSWORD, HERE)), AT
    while at < AT + LONGEST - timedelta(hours=9):
        at += timedelta(hours=9)
        assert signed_in(shop, used, at) is not None
    assert signed_in(shop, used, AT + LONGEST) is None


@BOTH
def test_sessions_end_with_role_password_code_person_and_when_told(shop: Store) -> None:
    add_person(shop, "Ana", "technician", AT, "Olga")

    def new() -> str:
        return number_of(choose(shop, invite(shop, "Ana", AT, "Olga"), "", PASSWORD, HERE))

    before = new()
    number = new()
    assert signed_in(shop, before, AT) is None, "by a further code"
    change_role(shop, "Ana", "planner", AT, "Olga")
    assert signed_in(shop, number, AT) is None, "by another role"
    number = new()
    assert signed_in(shop, number, AT) == SignedIn("Ana", "planner")
    other = number_of(sign_in(shop, "Ana", PASSWORD, HERE))
    sign_out_others(shop, "Ana", other, AT)
    assert (signed_in(shop, number, AT), signed_in(shop, other, AT)) == (None, SignedIn("Ana", "planner"))
    changed = number_of(change_password(shop, "Ana", PASSWORD, "another long word", HERE))
    assert (signed_in(shop, other, AT), signed_in(shop, changed, AT)) == (None, SignedIn("Ana", "planner"))
    sign_out(shop, changed, AT)
    assert signed_in(shop, changed, AT) is None
    number = number_of(sign_in(shop, "Ana", "another long word", HERE))
    remove_person(shop, "Ana", AT, "Olga")
    assert signed_in(shop, number, AT) is None


def test_the_last_owner_stays_one(shop: Store) -> None:
    with pytest.raises(UnansweredError) as refused:
        change_role(shop, "Olga", "reader", AT, "")
    with pytest.raises(UnansweredError) as kept:
        remove_person(shop, "Olga", AT, "")
    assert [one.code for one in (*refused.value.faults, *kept.value.faults)] == ["last-owner"] * 2


@pytest.mark.parametrize(
    ("name", "role", "code"),
    [("", "reader", "name-missing-here"), ("x" * 81, "reader", "name-missing-here"),
     ("a\x07", "reader", "name-missing-here"), ("Bo", "boss", "unknown-role"),
     (" OLGA", "reader", "person-there-already")],
)  # fmt: skip
def test_a_person_has_a_name_of_their_own_and_a_role(shop: Store, name: str, role: str, code: str) -> None:
    with pytest.raises(UnansweredError) as refused:
        add_person(shop, name, role, AT, "Olga")
    assert [one.code for one in refused.value.faults] == [code]


@BOTH
def test_what_happened_is_told_with_who_and_from_where(shop: Store) -> None:
    sign_in(shop, "Olga", "wrong", HERE)
    sign_in(shop, "Olga", PASSWORD, HERE)
    add_person(shop, "Ana", "technician", AT, "Olga", "192.0.2.7")
    told = [(one.what, one.name, one.by, one.address) for one in happened(shop, 3)]
    assert told == [
        ("added", "Ana", "Olga", "192.0.2.7"),
        ("signed in", "Olga", "", "192.0.2.7"),
        ("password tried", "Olga", "", "192.0.2.7"),
    ]
