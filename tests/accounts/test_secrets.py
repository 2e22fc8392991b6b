"""What is kept of secrets."""

from __future__ import annotations

import re

import pytest

from standtrue.work.accounts.secrets_kept import code_digest, hashed, is_of, key_of, new_code, new_number

pytestmark = pytest.mark.usefixtures("quick")


@pytest.mark.usefixtures("slow_hashes")
def test_a_hash_takes_as_much_memory_and_time_as_its_standard_says() -> None:
    """RFC 9106, section 4, second recommended option: Argon2id, 64 MiB, three passes, four lanes, 128-bit salt."""
    kept = hashed("a long enough word")
    found = re.fullmatch(r"\$argon2id\$v=19\$m=(\d+),t=(\d+),p=(\d+)\$([^$]+)\$[^$]+", kept)
    assert found is not None
    assert [int(found.group(n)) for n in (1, 2, 3)] == [64 * 1024, 3, 4]
    assert len(found.group(4)) * 6 // 8 == 16
    assert is_of("a long enough word", kept)
    assert not is_of("a long enough wort", kept)
    assert not is_of("", "")


def test_numbers_and_codes_are_long_and_never_twice_the_same() -> None:
    numbers, codes = {new_number() for _ in range(200)}, {new_code() for _ in range(200)}
    assert (len(numbers), len(codes)) == (200, 200)
    assert {len(one) for one in numbers} == {43}  # 256 bits, six a letter
    assert all(re.fullmatch(r"[0-9A-HJKMNP-TV-Z]{4}(-[0-9A-HJKMNP-TV-Z]{4}){3}", one) for one in codes)


def test_a_code_may_be_typed_as_it_is_read() -> None:
    assert code_digest("7k2m 9oxb-i1l1 0000") == code_digest("7K2M-90XB-1111-0000")


@pytest.mark.parametrize("name", ["Ana Ruiz", " ana  ruiz ", "ANA RUIZ", "Ana\u00a0Ruiz"])
def test_a_name_is_the_same_however_it_is_written(name: str) -> None:
    assert key_of(name) == "ana ruiz"
