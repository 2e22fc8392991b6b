"""The Spanish catalog: each sentence of the program once, with its blanks, and one word for one thing."""

from __future__ import annotations

import re
from collections import Counter
from importlib import resources

from babel.messages.catalog import Message
from babel.messages.pofile import read_po

from standtrue.model.sensor_kinds import SENSORS
from standtrue.show.words.extract import lacking, messages

WITHOUT_BLANKS = {"{n}"}
"""The form for exactly one may say it in a word."""


def entries() -> list[Message]:
    folder = resources.files("standtrue.show.words") / "es"
    found: list[Message] = []
    for file in sorted(folder.iterdir(), key=lambda f: f.name):
        if file.name.endswith(".po"):
            with file.open("rb") as opened:
                found += [message for message in read_po(opened, abort_invalid=True) if message.id]
    return found


def forms(text: object) -> tuple[str, ...]:
    return (text,) if isinstance(text, str) else tuple(text) if isinstance(text, (list, tuple)) else ()


def test_every_sentence_is_translated() -> None:
    assert lacking("es") == {}


def test_no_message_stands_twice() -> None:
    counted = Counter(forms(message.id)[0] for message in entries())
    counted.update(sensor.name for sensor in SENSORS)
    assert [text for text, times in counted.items() if times > 1] == []


def test_no_message_is_left_over() -> None:
    said = {form for message in messages() for form in message.forms}
    assert [message.id for message in entries() if forms(message.id)[0] not in said] == []


def test_a_translation_has_the_blanks_of_its_sentence() -> None:
    def blanks(text: str) -> set[str]:
        return set(re.findall(r"\{[^{}]*\}", text.replace("{{", "").replace("}}", "")))

    for message in entries():
        for said, own in zip(forms(message.string), forms(message.id), strict=True):
            assert blanks(said) | WITHOUT_BLANKS == blanks(own) | WITHOUT_BLANKS, message.id


def test_a_car_has_one_name() -> None:
    """`auto` everywhere; `vehículo` only of the vehicle maker, and where no vehicle at all is meant."""
    for message in entries():
        if "vehículo" in " ".join(forms(message.string)).lower():
            assert re.search(r"vehicle maker|a vehicle safe|any vehicle", " ".join(forms(message.id))), message.id


def test_one_word_for_one_thing() -> None:
    """Words that once stood beside another for the same thing."""
    other = re.compile(r"\b(sitio|renglón|renglones|trocha|orientación|cubierta|cubiertas|postura|posturas)\b")
    for message in entries():
        assert not other.search(" ".join(forms(message.string)).lower()), message.id
