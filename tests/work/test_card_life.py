"""The life of a card: what it counts as, a second reading that knows nothing of the first, editions, no mixing."""

from __future__ import annotations

import copy
import datetime
import random
import sys
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from attrs import evolve

sys.path.append(str(Path(__file__).parents[1] / "documents"))
from random_cards import random_card, texts
from record_makers import import_said

from standtrue.demo import demo_files, write_demo
from standtrue.documents import gather, read_document, read_folder
from standtrue.documents.procedure import ProcedureForm
from standtrue.documents.second_reading import blank_reading
from standtrue.documents.source import content_digest
from standtrue.documents.writing import to_toml
from standtrue.model.cautions import Fact
from standtrue.model.persons import same_person
from standtrue.show.answers.cards import of_cards
from standtrue.show.answers.kept import said_of
from standtrue.show.words.gate import gate_line
from standtrue.show.words.kept import content_words
from standtrue.show.words.reader import ENGLISH
from standtrue.work.aim.aiming import judge_measured
from standtrue.work.aim.gate import May
from standtrue.work.aim.laying import lay_targets_out
from standtrue.work.ask import UnansweredError, open_shop
from standtrue.work.card.editions import remember, supersede
from standtrue.work.card.kept import Keeper, Write
from standtrue.work.card.life import CardsAnswer, card_basis, compare_cards, list_cards
from standtrue.work.card.second import make_blank, read_second
from standtrue.work.caution_facts import card_facts
from standtrue.work.exchange.folders import history_of, take_in
from standtrue.work.keep.answers import Said, keep_answer
from standtrue.work.needs.jobs import find_job_needs
from standtrue.work.plan.operations import _card_sent_out
from standtrue.work.records.searching import read_job
from standtrue.work.records.verifying import verify_store
from standtrue.work.where import IN_FOLDER

TODAY = datetime.date(2026, 3, 4)
CARD = "front radar reflector"
FILE = "card-front-radar-tavlin.toml"


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    folder = tmp_path / "shop"
    write_demo(folder)
    return folder


def changed(folder: Path, file: str, old: str, new: str) -> None:
    text = (folder / file).read_text(encoding="utf-8")
    assert old in text, old
    (folder / file).write_text(text.replace(old, new, 1), encoding="utf-8")


def transcribed(folder: Path, file: str = FILE) -> None:
    changed(folder, file, 'status = "demonstration"', 'status = "transcribed"\ntranscribed_by = "Ada Marsh"')


def standing(content: dict[str, Any]) -> tuple[str, str]:
    read = gather([read_document(content, "c")])
    assert not read.faults
    source = read.procedures[0].source
    return source.status, source.short_of.code if source.short_of else ""


def sealed(**source: object) -> dict[str, Any]:
    """A card that a second person verified, and what is changed of its source then."""
    card = random_card(random.Random(7))
    digest = content_digest(card)
    card["source"] |= {"status": "verified", "verified_by": "Ben Ode", "verified_digest": digest}
    card["source"] = {key: value for key, value in (card["source"] | source).items() if value is not None}
    return card


def test_a_card_counts_as_verified_only_by_a_second_person_and_as_it_was_then() -> None:
    assert standing(sealed()) == ("verified", "")
    assert standing(sealed(read_on="2026-02-02", transcribed_on="2026-02-02")) == ("verified", "")
    assert standing(sealed() | {"name": "called otherwise"}) == ("verified", "")
    assert standing(sealed(verified_by=None)) == ("transcribed", "verified-by-nobody")
    assert standing(sealed(transcribed_by=None)) == ("transcribed", "transcribed-by-nobody")
    assert standing(sealed(verified_by="MARSH, Ada")) == ("transcribed", "verified-by-transcriber")
    assert standing(sealed(verified_digest=None)) == ("transcribed", "verified-without-digest")
    assert standing(sealed(edition="3")) == ("transcribed", "changed-since-verified")
    assert standing(sealed() | {"people": 2}) == ("transcribed", "changed-since-verified")
    assert standing(sealed() | {"demonstration": True}) == ("transcribed", "changed-since-verified")
    assert standing(sealed(status="draft")) == ("draft", "")
    assert standing(sealed(status="superseded")) == ("superseded", "")


def test_what_counts_as_less_than_it_says_is_told_with_a_remedy() -> None:
    read = gather([read_document(sealed(verified_by=None, verified_digest=None), "c")])
    assert [(one.code, one.field) for one in read.doubts] == [("card-not-verified", "source.status")]
    assert "standtrue card blank" in ENGLISH.reason(read.doubts[0].remedy)


@pytest.mark.parametrize("status", ["transcribed", "draft"])
def test_a_draft_supersedes_nothing_yet(status: str) -> None:
    old, new = sealed(), copy.deepcopy(sealed(status=status, supersedes="a card")) | {"name": "newer"}
    cards = {card.name: card for card in gather([read_document(old, "o"), read_document(new, "n")]).procedures}
    assert cards["a card"].source.status == ("superseded" if status == "transcribed" else "verified")


@pytest.mark.parametrize(
    "written", ["ada marsh", " ADA  MARSH ", "Marsh, Ada", "A. Marsh", "Ada-Marsh", "AdaMarsh", "Áda Marsh"]
)
def test_one_person_in_another_spelling_is_one_person(written: str) -> None:
    assert same_person("Ada Marsh", written)
    assert same_person(written, "Ada Marsh")


@pytest.mark.parametrize("other", ["Ben Ode", "Adam Marsh", "B. Marsh", "Ada March", "Ada B. Marsh", ""])
def test_another_person_is_another(other: str) -> None:
    assert not same_person("Ada Marsh", other)
    assert not same_person(other, "Ada Marsh")


@pytest.mark.parametrize("seed", range(20))
def test_the_blank_form_holds_no_value_of_the_card(seed: int) -> None:
    """It is the same for every card of a name; and no value of a random card stands in it."""
    form = blank_reading("a card")
    card = random_card(random.Random(seed))
    told = [text for text in texts(card) if len(text) > 4 and text not in (*CLOSED, *MORE_CLOSED)]
    assert len(told) > 30
    assert not [text for text in told if text in form]


CLOSED = ("front", "front radar", "right", "rear", "floor", "lift down", "lift up", "static or drive", "front axle")
MORE_CLOSED = ("rear axle", "stand", "clear", "metal-free", "plain")
"""Words of closed lists: the form offers all of them, whichever the card has."""


def test_the_blank_form_of_the_demonstrations_cards_is_one_but_for_their_names(shop: Path) -> None:
    cards = list_cards(open_shop(shop)).cards
    forms = {blank_reading(card.name).replace(card.name, "NAME") for card in cards}
    assert len(cards) > 20
    assert len(forms) == 1


def test_the_blank_form_asks_for_every_field_and_reads_once_filled() -> None:
    text = blank_reading('a "quoted" card')
    assert tomllib.loads(text)["name"] == 'a "quoted" card'
    life = {"read_on", "status", "transcribed_by", "transcribed_on", "verified_by", "verified_on", "verified_digest"}
    life |= {"questioned", "by", "on", "order"}  # what is said against a card is no part of it
    for model in _forms(ProcedureForm):
        for name in set(model.model_fields) - life - {"supersedes", "kind", "schema_version", "demonstration", "name"}:
            assert name in text.replace("#", ""), name
    filled = text.replace(
        "#[[zones]]\n#name =\n#needs =\n#anchor =", '[[zones]]\nname = "z"\nneeds = "walk"\nanchor = "front"'
    )
    filled = filled.replace("#box =", "box = [0, 0, 1, 1]", 1).replace("#top =", "top = 2", 1)
    filled = filled.replace("#title =", 'title = "t"').replace("#method =", 'method = "static"')
    filled = filled.replace("#sensor.kind =", 'sensor.kind = "lidar"').replace("#units =", 'units = "m"')
    assert not read_document(tomllib.loads(filled), "r").faults


def _forms(form: Any) -> list[Any]:
    found = [form]
    for info in form.model_fields.values():
        inner = _inner(info.annotation)
        found += _forms(inner) if inner is not None and hasattr(inner, "model_fields") else []
    return found


def _inner(annotation: Any) -> Any:
    if hasattr(annotation, "model_fields"):
        return annotation
    for part in getattr(annotation, "__args__", ()):
        if (found := _inner(part)) is not None:
            return found
    return None


# The second reading


def second(shop: Path, tmp_path: Path, by: str | None = "Ben Ode", change: Callable[[str], str] = lambda t: t) -> Any:
    reading = tmp_path / "second.toml"
    reading.write_text(change((shop / FILE).read_text(encoding="utf-8")), encoding="utf-8")
    return read_second(Keeper(shop), open_shop(shop), CARD, reading, by, TODAY)


def refusal(ask: Callable[[], object]) -> str:
    with pytest.raises(UnansweredError) as refused:
        ask()
    return refused.value.faults[0].code


def test_two_readings_alike_write_the_card_verified_and_keep_every_other_line(shop: Path, tmp_path: Path) -> None:
    transcribed(shop)
    before = (shop / FILE).read_text(encoding="utf-8").splitlines()
    answer = second(shop, tmp_path)
    assert (answer.differences, answer.written, answer.differs) == ((), (FILE,), False)
    after = (shop / FILE).read_text(encoding="utf-8").splitlines()
    new = [line for line in after if line not in before]
    assert [line.partition(" = ")[0] for line in new] == ["status", "verified_by", "verified_on", "verified_digest"]
    assert [line for line in before if line not in after] == ['status = "transcribed"']
    card = compare_cards(open_shop(shop), CARD, CARD).cards[0]
    assert (card.source.status, card.source.verified_by, card.source.verified_on) == (
        "verified",
        "Ben Ode",
        "2026-03-04",
    )
    changed(shop, FILE, "invented, 3", "invented, 4")
    assert compare_cards(open_shop(shop), CARD, CARD).cards[0].source.status == "transcribed"


def test_two_readings_that_differ_write_nothing(shop: Path, tmp_path: Path) -> None:
    transcribed(shop)
    before = (shop / FILE).read_bytes()
    answer = second(shop, tmp_path, change=lambda text: text.replace("invented, 3", "invented, 2"))
    assert [one.path for one in answer.differences] == [("source.edition",)]
    assert (answer.differs, answer.written) == (True, ())
    assert (shop / FILE).read_bytes() == before


@pytest.mark.parametrize(
    ("by", "code"), [("ada marsh", "same-person"), ("MARSH A.", "same-person"), (None, "person-missing")]
)
def test_the_transcriber_is_no_second_reader(shop: Path, tmp_path: Path, by: str | None, code: str) -> None:
    transcribed(shop)
    before = (shop / FILE).read_bytes()
    assert refusal(lambda: second(shop, tmp_path, by)) == code
    assert (shop / FILE).read_bytes() == before


def test_a_card_that_is_not_ready_is_not_read_a_second_time(shop: Path, tmp_path: Path) -> None:
    assert refusal(lambda: second(shop, tmp_path)) == "card-not-ready"
    changed(shop, FILE, '"demonstration"', '"transcribed"')
    assert refusal(lambda: second(shop, tmp_path)) == "person-missing"
    changed(shop, FILE, '"transcribed"', '"draft"\ntranscribed_by = "Ada Marsh"')
    assert refusal(lambda: second(shop, tmp_path)) == "card-not-ready"
    assert refusal(lambda: make_blank(open_shop(shop), CARD)) == "card-not-ready"
    changed(shop, FILE, '"draft"', '"transcribed"')
    assert (
        refusal(lambda: second(shop, tmp_path, change=lambda t: t.replace(f'"{CARD}"', '"other"'))) == "card-not-ready"
    )


def test_a_card_that_changed_while_it_was_compared_is_not_written(shop: Path, tmp_path: Path) -> None:
    transcribed(shop)
    opened = open_shop(shop)
    reading = tmp_path / "second.toml"
    reading.write_bytes((shop / FILE).read_bytes())
    changed(shop, FILE, "invented, 3", "invented, 4")
    before = (shop / FILE).read_bytes()
    assert refusal(lambda: read_second(Keeper(shop), opened, CARD, reading, "Ben Ode", TODAY)) == "file-changed"
    assert (shop / FILE).read_bytes() == before


# Editions


def newer(shop: Path) -> None:
    """A newer edition of the radar's card, in a file of its own."""
    text = (shop / FILE).read_text(encoding="utf-8")
    text = text.replace(f'name = "{CARD}"', f'name = "{CARD} 2027"').replace("invented, 3", "invented, 4")
    (shop / "newer.toml").write_text(text, encoding="utf-8")


def test_a_newer_edition_takes_the_older_ones_place(shop: Path) -> None:
    remember(Keeper(shop), open_shop(shop), "corrow front")
    newer(shop)
    answer = supersede(Keeper(shop), open_shop(shop), CARD, f"{CARD} 2027")
    assert [one.path for one in answer.differences or ()] == [("source.edition",)]
    assert answer.written == ("newer.toml", FILE)
    opened = open_shop(shop)
    needs = find_job_needs(opened, opened.jobs["corrow front"])
    keys = [card.name for card in needs.cards]
    assert f"{CARD} 2027" in keys
    assert CARD not in keys
    told = [ENGLISH.reason(one) for one in needs.of_cards]
    assert told == [
        f"planned with edition invented, 3 of the card {CARD} 2027, now edition invented, 4; changed: edition; "
        "plan again"
    ]
    remember(Keeper(shop), open_shop(shop), "corrow front")
    opened = open_shop(shop)
    assert find_job_needs(opened, opened.jobs["corrow front"]).of_cards == ()
    assert refusal(lambda: supersede(Keeper(shop), open_shop(shop), CARD, CARD)) == "card-not-ready"
    assert refusal(lambda: supersede(Keeper(shop), open_shop(shop), f"{CARD} 2027", CARD)) == "card-not-ready"
    assert refusal(lambda: supersede(Keeper(shop), open_shop(shop), CARD, "lidar wall")) == "card-not-ready"


def test_a_planned_job_whose_card_changed_says_so_in_every_later_answer(shop: Path) -> None:
    job = (shop / "job-corrow-front.toml").read_text(encoding="utf-8")
    remember(Keeper(shop), open_shop(shop), "corrow front")
    assert (shop / "job-corrow-front.toml").read_text(encoding="utf-8").startswith(job.rstrip())
    opened = open_shop(shop)
    assert find_job_needs(opened, opened.jobs["corrow front"]).of_cards == ()
    changed(shop, "card-forward-camera-tavlin.toml", "facing = 180", "facing = 181")
    opened = open_shop(shop)
    needs = find_job_needs(opened, opened.jobs["corrow front"])
    (said,) = needs.of_cards
    assert said.code == "card-changed"
    assert said in needs.basis.warnings
    setup = opened.setups["corrow camera"]
    assert lay_targets_out(opened, setup).of_card == (said,)
    assert said in judge_measured(opened, setup).gate.told


@pytest.mark.parametrize("status", ["draft", "superseded"])
def test_no_calibration_by_a_draft_or_an_old_edition(shop: Path, status: str) -> None:
    changed(shop, "card-forward-camera-tavlin.toml", '"demonstration"', f'"{status}"')
    opened = open_shop(shop)
    setup = opened.setups["corrow camera"]
    answer = judge_measured(opened, setup)
    assert answer.gate.verdict is May.NO
    assert gate_line(answer.gate, ENGLISH).startswith("Do not calibrate yet: the card forward camera wide board is ")
    assert "unusable-card" in [caution.code for caution in answer.basis.cautions]
    assert Fact.UNUSABLE_CARD in card_facts([answer.setup.scene.card])
    assert lay_targets_out(opened, setup).of_card[0].code == f"card-{status}"


def test_a_transcribed_card_is_allowed_and_named(shop: Path) -> None:
    transcribed(shop, "card-forward-camera-tavlin.toml")
    opened = open_shop(shop)
    gate = judge_measured(opened, opened.setups["corrow camera"]).gate
    assert gate.status == "transcribed"
    assert not [hold for hold in gate.holds if "card" in hold.what.code]


def test_a_draft_is_chosen_only_where_there_is_nothing_else(shop: Path) -> None:
    newer(shop)
    changed(shop, "newer.toml", '"demonstration"', '"draft"')
    opened = open_shop(shop)
    assert CARD in [card.name for card in find_job_needs(opened, opened.jobs["corrow front"]).cards]


# Invented and real


@pytest.mark.parametrize("file", sorted(name for name in demo_files() if name[:4] in ("site", "vehi", "surv", "lift")))
def test_a_real_document_in_an_invented_job_is_a_fault(shop: Path, file: str) -> None:
    changed(shop, file, "demonstration = true", "demonstration = false")
    found = read_folder(shop).faults
    used = (
        file.startswith(("site", "surv", "lift"))
        or "corrow" in file
        or "nib" in file
        or "brask" in file
        or "dromond" in file
    )
    assert [(one.code, one.file, one.field) for one in found] == (
        [("demonstration-mixed", file, "demonstration")] if used else []
    )


def test_a_demonstration_card_never_serves_a_real_job(shop: Path) -> None:
    for file in shop.glob("*.toml"):
        if not file.name.startswith("card-"):
            text = file.read_text(encoding="utf-8").replace("demonstration = true", "demonstration = false", 1)
            file.write_text(text, encoding="utf-8")
    for file in shop.glob("setup-*.toml"):
        file.unlink()
    opened = open_shop(shop)
    assert refusal(lambda: find_job_needs(opened, opened.jobs["corrow front"])) == "demonstration-mixed"


def test_the_rules_that_come_with_the_program_go_with_both(shop: Path) -> None:
    from standtrue.documents import default_rules_text

    (shop / "rules.toml").write_text(default_rules_text(), encoding="utf-8")
    assert not read_folder(shop).faults
    text = default_rules_text().replace("schema = 1", 'schema = 1\nunits = "m"', 1)
    (shop / "rules.toml").write_text(text, encoding="utf-8")
    assert [one.file for one in read_folder(shop).faults] == ["rules.toml"]


def test_a_card_in_json_is_written_verified_too(shop: Path, tmp_path: Path) -> None:
    import json

    transcribed(shop)
    reading = (shop / FILE).read_bytes()
    content = tomllib.loads(reading.decode())
    (shop / FILE).unlink()
    (shop / "card.json").write_text(json.dumps(content, default=lambda day: day.isoformat()), encoding="utf-8")
    (tmp_path / "second.toml").write_bytes(to_toml(content).encode())
    answer = read_second(Keeper(shop), open_shop(shop), CARD, tmp_path / "second.toml", "Ben Ode", TODAY)
    assert answer.written == ("card.json",)
    assert compare_cards(open_shop(shop), CARD, CARD).cards[0].source.status == "verified"


def test_in_a_store_the_card_gets_a_further_version(shop: Path, tmp_path: Path) -> None:
    transcribed(shop)
    take_in(shop, IN_FOLDER, "Ada Marsh", {}, import_said)
    reading = tmp_path / "second.toml"
    reading.write_bytes((shop / FILE).read_bytes())
    before = (shop / FILE).read_bytes()
    keeper = Keeper(shop, IN_FOLDER, "Ben Ode", lambda one: said_of(of_cards(one)))
    answer = read_second(keeper, open_shop(shop), CARD, reading, "Ben Ode", TODAY)
    assert answer.written == (FILE,)
    assert (shop / FILE).read_bytes() == before
    versions = history_of(shop, IN_FOLDER, "procedure", CARD)
    assert [(one.version, one.based_on, one.saved_by) for one in versions] == [(1, 0, "Ada Marsh"), (2, 1, "Ben Ode")]
    brought, read = read_job(str(shop), "")
    assert (brought.entry.kind, read.entry.kind, read.entry.who) == ("import", "card", "Ben Ode")
    told = content_words("card", 1, read.content, ENGLISH)
    assert told == [
        "Invented demonstration data.",
        f"{CARD}: the second reading says the same, verified by Ben Ode.",
        f"changed: procedure {CARD}, version 2",
    ]
    assert verify_store(str(shop)).wrong == ()
    assert compare_cards(open_shop(shop), CARD, CARD).cards[0].source.status == "verified"


def kept_plan(shop: Path) -> None:
    """A plan of the job is kept in the shop's store, on the documents as they are stored now."""
    opened = open_shop(shop)
    marks = find_job_needs(opened, opened.jobs["corrow front"]).basis.marks
    place = IN_FOLDER.place(shop)
    assert place is not None
    keep_answer(place, opened, "corrow front", Said("plan", 1, b"{}"), marks, "Ada Roe")


def told_of_cards(shop: Path) -> list[str]:
    opened = open_shop(shop)
    return [ENGLISH.reason(one) for one in find_job_needs(opened, opened.jobs["corrow front"]).of_cards]


def test_a_job_whose_plan_was_kept_remembers_its_cards_without_a_word_in_its_order(shop: Path) -> None:
    take_in(shop, IN_FOLDER, "Ada Roe", {}, import_said)
    assert told_of_cards(shop) == [], "nothing was planned yet"
    kept_plan(shop)
    assert told_of_cards(shop) == []
    changed(shop, FILE, "facing = 180", "facing = 181")
    take_in(shop, IN_FOLDER, "Ada Roe", {}, import_said)
    (said,) = told_of_cards(shop)
    assert said.startswith(f"planned with edition invented, 3 of the card {CARD}")
    assert "facing" in said
    kept_plan(shop)
    assert told_of_cards(shop) == [], "planned again"
    keeper = Keeper(shop, IN_FOLDER, "Ada Roe", lambda one: said_of(of_cards(one)))
    remember(keeper, open_shop(shop), "corrow front")
    changed(shop, FILE, "facing = 181", "facing = 182")
    take_in(shop, IN_FOLDER, "Ada Roe", {}, import_said)
    kept_plan(shop)
    assert len(told_of_cards(shop)) == 1, "what the order says itself comes first"


def test_who_else_can_do_a_card_can_do_its_newer_edition(shop: Path) -> None:
    before = (shop / "site.toml").read_text(encoding="utf-8")
    offer = f'\n[[sent_out]]\nprocedures = ["{CARD}"]\nminutes = [30, 60]\ntransport = [20, 30]\nprice = [100, 200]\n'
    (shop / "site.toml").write_text(before + offer, encoding="utf-8")
    newer(shop)
    supersede(Keeper(shop), open_shop(shop), CARD, f"{CARD} 2027")
    opened = open_shop(shop)
    card = next(card for card in opened.procedures if card.name == f"{CARD} 2027")
    assert card.names == (f"{CARD} 2027", CARD)
    site, job = opened.sites["Tanbark Row"], opened.jobs["corrow front"]
    assert _card_sent_out(job, site, card) == site.sent_out[-1]
    other = next(card for card in opened.procedures if card.name == "forward camera wide board")
    assert _card_sent_out(job, site, other) is None
    each = next(card for card in opened.procedures if card.key == "front corner radar reflector/left")
    assert set(each.names) == {"front corner radar reflector", "front corner radar reflector/left"}


def test_of_several_documents_in_a_store_all_are_written_or_none(shop: Path) -> None:
    take_in(shop, IN_FOLDER, "Ada Marsh", {}, import_said)
    keeper, opened = Keeper(shop, IN_FOLDER, "Ben Ode", lambda one: said_of(of_cards(one))), open_shop(shop)
    one, other = keeper.document("procedure", CARD), keeper.document("procedure", "lidar wall")
    writes = [Write(document, lambda source, _: source + b"# more\n", "") for document in (one, other)]
    stale = evolve(writes[1], document=evolve(other, source=b"what another has written over"))
    answer = CardsAnswer((), card_basis(opened, ()))
    assert refusal(lambda: keeper.write([writes[0], stale], answer)) == "file-changed"
    assert len(history_of(shop, IN_FOLDER, "procedure", CARD)) == 1
    assert len(keeper.write(writes, answer).saved) == len(read_job(str(shop), "")) == 2
    assert len(history_of(shop, IN_FOLDER, "procedure", CARD)) == 2
