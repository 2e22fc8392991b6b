"""A shop's mix of cars: its form, what must hold in it, and the model of it."""

from __future__ import annotations

from typing import Any

from pydantic import Field

from standtrue.documents.fields import NotNegative, Word
from standtrue.documents.parts import DocumentForm, Form, Kind, References, Tell, names_once, tables
from standtrue.model.job import Mix, MixEntry
from standtrue.model.reason import because


class MixEntryForm(Form):
    name: Word
    share: NotNegative


class MixForm(DocumentForm):
    vehicles: tuple[MixEntryForm, ...] = Field(min_length=1)


def check_mix(form: MixForm, tell: Tell) -> None:
    """A car mix."""
    names_once(form.vehicles, ("vehicles",), tell)
    if form.vehicles and sum(entry.share for entry in form.vehicles) == 0:
        tell(("vehicles",), "value-impossible", because("shares-add-up-to-nothing"), because("write-shares"))


def _references(content: dict[str, Any]) -> References:
    return ((("vehicles", i, "name"), "vehicle", entry.get("name")) for i, entry in tables(content.get("vehicles")))


def to_mix(form: MixForm) -> Mix:
    """A shop's car mix."""
    return Mix(form.name, tuple(MixEntry(entry.name, entry.share) for entry in form.vehicles), form.demonstration)


KIND = Kind("mix", MixForm, check_mix, references=_references)
