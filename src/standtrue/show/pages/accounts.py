"""The pages of people: signing in and up, what one has to come in with, and who works here."""

from __future__ import annotations

from attrs import frozen

from standtrue.model.basics import Fault
from standtrue.model.reason import Reason
from standtrue.show.words.pages import accounts as words
from standtrue.show.words.reader import Reader
from standtrue.store.accounts import Event
from standtrue.work.accounts.people import Person
from standtrue.work.accounts.roles import ROLES


@frozen
class FormPage:
    """A page with a form. `trouble`: why what was typed was not taken; `done`: what was kept; "" for neither."""

    words: words.Words
    trouble: str = ""
    done: str = ""


@frozen
class MePage:
    """What one has to come in and sign with; `pin` and `devices` say what there is."""

    form: FormPage
    pin: str
    devices: str


@frozen
class PersonRow:
    """A person of the shop, and what may be done about them. `key` is unlike any other's, for the page's own use."""

    key: str
    name: str
    role: str
    role_name: str
    lines: tuple[str, ...]
    is_locked: bool
    has_pin: bool
    is_in: bool


@frozen
class NewCode:
    """A code that was made, shown once."""

    code: str
    line: str


@frozen
class PeoplePage:
    """Who works here. `roles` are value and name; `network`: over it, people sign up and set their own PINs."""

    form: FormPage
    answer: str
    add: tuple[str, ...]
    people: tuple[PersonRow, ...]
    roles: tuple[tuple[str, str], ...]
    role_lines: tuple[tuple[str, str], ...]
    events: tuple[tuple[str, str, str], ...]
    network: bool
    code: NewCode | None


Trouble = Reason | tuple[Fault, ...] | None
"""Why something that was typed was not taken."""


def trouble_words(trouble: Trouble, reader: Reader) -> str:
    """It, in words."""
    if trouble is None:
        return ""
    reasons = [trouble] if isinstance(trouble, Reason) else [fault.what for fault in trouble]
    return " ".join(reader.reasons(reasons))


def sign_in_page(reader: Reader, trouble: Trouble = None) -> FormPage:
    """Who comes in."""
    return FormPage(words.sign_in_words(reader), trouble_words(trouble, reader))


def sign_up_page(reader: Reader, name: str | None = None, trouble: Trouble = None) -> FormPage:
    """By a code; `name`: whose it is, "": the first owner's, None: not typed yet."""
    return FormPage(words.sign_up_words(reader, name), trouble_words(trouble, reader))


def me_page(person: Person, reader: Reader, trouble: Trouble = None, done: str = "") -> MePage:
    """What one has to come in and sign with. `done` is the place of a word: what was kept."""
    fixed = words.me_words(reader, person.name, person.role)
    form = FormPage(fixed, trouble_words(trouble, reader), fixed.get(done, ""))
    return MePage(form, words.pin_line(person, reader), words.devices_line(person, reader))


def people_page(  # long: one parameter for each thing that is shown
    people: tuple[Person, ...],
    events: tuple[Event, ...],
    reader: Reader,
    *,
    network: bool,
    trouble: Trouble = None,
    code: tuple[str, str] | None = None,
) -> PeoplePage:
    """Who works here. `code`: one that was just made, and for whom."""
    return PeoplePage(
        form=FormPage(words.people_words(reader), trouble_words(trouble, reader)),
        answer=words.people_answer(people, reader),
        add=words.add_sentence(reader),
        people=tuple(_row(number, one, reader, network=network) for number, one in enumerate(people)),
        roles=tuple((role, words.role_words(role, reader)) for role in ROLES),
        role_lines=words.role_lines(reader),
        events=tuple(words.event_words(one, reader) for one in events),
        network=network,
        code=None if code is None else NewCode(code[0], words.code_line(code[1], reader)),
    )


def _row(number: int, one: Person, reader: Reader, *, network: bool) -> PersonRow:
    return PersonRow(
        key=f"person-{number}",
        name=one.name,
        role=one.role,
        role_name=words.role_words(one.role, reader),
        lines=tuple(words.person_lines(one, reader, network=network)),
        is_locked=one.is_locked or one.pin_is_locked,
        has_pin=one.has_pin,
        is_in=bool(one.seen),
    )
