"""A job is signed off by a person's name, or not at all while anything that it would cover is not decided."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from record_makers import JOB, ORDER, TOLD, write_shop

from standtrue.model.basics import UnansweredError
from standtrue.model.shop import Shop
from standtrue.show.words.reader import ENGLISH
from standtrue.store.database import open_store
from standtrue.work.keep.signing import sign
from standtrue.work.records.searching import read_job
from standtrue.work.records.verifying import verify_store


@pytest.fixture
def empty(tmp_path: Path) -> str:
    """A store with nothing in it."""
    place = str(tmp_path / "kept.db")
    open_store(place, make=True).close()
    return place


def refusal(place: str | None, shop: Shop, by: str = "Person B") -> list[str]:
    with pytest.raises(UnansweredError) as refused:
        sign(place, shop, JOB, by, TOLD)
    return [ENGLISH.reason(fault.what) for fault in refused.value.faults]


def test_a_sign_off_keeps_what_it_covers_and_says_what_it_leaves_out(empty: str, tmp_path: Path) -> None:
    signed, kept = sign(empty, write_shop(tmp_path / "shop"), JOB, " Person B ", TOLD)
    entries = read_job(empty, JOB)
    assert [one.entry.kind for one in entries] == ["needs", "measured", "sign"]
    assert entries[-1] == kept
    assert '{"kind":"setup","name":"corrow camera, moved","version":0}' in entries[1].entry.documents
    assert kept.content is not None
    told = json.loads(kept.content)
    assert (told["by"], told["entries"], told["last"]) == ("Person B", 2, entries[1].digest.hex())
    assert [(c["sensor"], c["setup"], c["entry"]) for c in told["covers"]] == [
        ("forward camera", "corrow camera, moved", 1)
    ]
    assert [(o["sensor"], o["because"]) for o in told["outside"]] == [
        ("front radar", ["nobody has looked whether it must be"])
    ]
    assert any("does not say that the vehicle is safe" in said for said in told["says"])
    assert len(signed.says) == 2
    assert verify_store(empty).wrong == ()


def test_signed_again_the_same_answers_are_not_kept_again(empty: str, tmp_path: Path) -> None:
    shop = write_shop(tmp_path / "shop")
    for who in ("Person B", "Person C"):
        sign(empty, shop, JOB, who, TOLD)
    assert [one.entry.kind for one in read_job(empty, JOB)] == ["needs", "measured", "sign", "sign"]


def test_an_event_that_no_rule_knows_stands_against_it_until_somebody_decides(empty: str, tmp_path: Path) -> None:
    order = f'{ORDER}\n[[events]]\nevent = "roof rack fitted"\n'
    assert any("roof rack" in said for said in refusal(empty, write_shop(tmp_path / "shop", order)))
    decided = f"""{order}
[[decisions]]
event = "roof rack fitted"
verdict = "drop"
because = "It touches no sensor."
by = "Person A"
on = 2026-03-02
"""
    sign(empty, write_shop(tmp_path / "decided", decided), JOB, "Person B", TOLD)


def test_a_setup_that_may_not_be_calibrated_stands_against_it(empty: str, tmp_path: Path) -> None:
    (said,) = refusal(empty, write_shop(tmp_path / "shop", setup="corrow-camera"))
    assert said.startswith(
        "corrow camera may not be calibrated yet (forward camera): the wide board is out of tolerance"
    )


def test_a_needed_calibration_without_a_setup_stands_against_it(empty: str, tmp_path: Path) -> None:
    order = ORDER.replace("windshield replaced", "front bumper removed")
    told = refusal(empty, write_shop(tmp_path / "shop", order))
    assert "no set-up of this job is for the front radar (card front radar reflector)" in told


def test_nobody_signs_without_a_name_or_a_store(empty: str, tmp_path: Path) -> None:
    shop = write_shop(tmp_path / "shop")
    assert refusal(empty, shop, "  ") == ["a sign-off needs the name of a person"]
    assert refusal(None, shop) == ["this shop is in no store, so nothing can be kept of it"]
    assert verify_store(empty).head.size == 0
