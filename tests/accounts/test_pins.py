"""Who vouches by a PIN: three wrong ones lock it, however they are sent, and an owner lifts that."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from datetime import datetime, timedelta

import pytest

from standtrue.model.basics import UnansweredError
from standtrue.store.database import Store
from standtrue.work.accounts.people import add_person, change_role, happened, lift_locks, person, remove_pin
from standtrue.work.accounts.pins import Allowed, Refused, check_pin, set_pin

pytestmark = pytest.mark.usefixtures("quick")

BOTH = pytest.mark.parametrize("own_store", ["sqlite", "postgresql"], indirect=True)

AT = datetime.fromisoformat("2026-03-02T13:40-06:00")


@pytest.fixture
def shop(own_store: Store) -> Store:
    """A technician with a PIN."""
    add_person(own_store, "Ana", "technician", AT, "")
    set_pin(own_store, "Ana", "4711", AT, "Ana")
    return own_store


def why(found: Allowed | Refused) -> str:
    return found.why.code if isinstance(found, Refused) else "allowed"


def test_the_right_pin_lets_through_under_the_name_that_the_shop_has(shop: Store) -> None:
    assert check_pin(shop, " ANA ", "4711", AT) == Allowed("Ana", "technician")


@BOTH
def test_three_wrong_ones_lock_it_and_an_owner_lifts_it(shop: Store) -> None:
    said = [check_pin(shop, "Ana", "0815", AT) for _ in range(3)]
    assert [why(one) for one in said] == ["pin-wrong", "pin-wrong", "pin-locked"]
    found = person(shop, "Ana")
    assert found is not None
    assert found.pin_is_locked
    assert why(check_pin(shop, "Ana", "4711", AT + timedelta(days=365))) == "pin-locked"
    lift_locks(shop, "Ana", AT, "Olga")
    assert why(check_pin(shop, "Ana", "4711", AT)) == "allowed"
    assert [(one.what, one.by) for one in happened(shop, 2)] == [("PIN right", ""), ("PIN lifted", "Olga")]


def test_a_right_one_between_begins_anew(shop: Store) -> None:
    said = [why(check_pin(shop, "Ana", pin, AT)) for pin in ("1", "2", "4711", "1", "2", "4711")]
    assert said == ["pin-wrong", "pin-wrong", "allowed"] * 2


@BOTH
def test_many_at_once_are_three_tries(shop: Store) -> None:
    with ThreadPoolExecutor(8) as pool:
        said = list(pool.map(lambda n: why(check_pin(shop, "Ana", f"{n:04}", AT)), range(12)))
    assert len([one for one in happened(shop) if one.what == "PIN tried"]) == 3
    assert said.count("pin-locked") >= 9
    assert why(check_pin(shop, "Ana", "4711", AT)) == "pin-locked"


def test_another_pin_unlocks(shop: Store) -> None:
    for _ in range(3):
        check_pin(shop, "Ana", "0815", AT)
    set_pin(shop, "Ana", "47113", AT, "Olga")
    assert why(check_pin(shop, "Ana", "47113", AT)) == "allowed"


def test_who_has_none_or_may_not_is_told(shop: Store) -> None:
    assert why(check_pin(shop, "Bo", "4711", AT)) == "nobody-by-that-name"
    add_person(shop, "Bo", "technician", AT, "")
    assert why(check_pin(shop, "Bo", "", AT)) == "pin-missing"
    change_role(shop, "Ana", "reader", AT, "Olga")
    assert why(check_pin(shop, "Ana", "4711", AT)) == "role-does-not-sign"
    change_role(shop, "Ana", "planner", AT, "Olga")
    remove_pin(shop, "Ana", AT, "Olga")
    assert why(check_pin(shop, "Ana", "4711", AT)) == "pin-missing"


@pytest.mark.parametrize(
    ("pin", "code"),
    [("471", "pin-form"), ("471123456", "pin-form"), ("47a1", "pin-form"), ("٤٧١١", "pin-form"), ("4444", "pin-easy"),
     ("1234", "pin-easy"), ("87654", "pin-easy"), ("", "pin-form")],
)  # fmt: skip
def test_a_pin_has_four_to_eight_digits_that_nobody_guesses(shop: Store, pin: str, code: str) -> None:
    with pytest.raises(UnansweredError) as refused:
        set_pin(shop, "Ana", pin, AT, "Ana")
    assert [one.code for one in refused.value.faults] == [code]
