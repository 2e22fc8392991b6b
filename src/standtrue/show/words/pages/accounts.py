"""What the pages of people say: signing in and up, what one has to come in with, who works here."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from standtrue.show.words.pages.completing import blank, pieces
from standtrue.show.words.pages.records import when
from standtrue.show.words.pages.shell import ROLES
from standtrue.show.words.reader import Reader
from standtrue.store.accounts import Event
from standtrue.work.accounts.people import Person

Words = Mapping[str, str]
"""The fixed words of a page by their place in it."""


def sign_in_words(reader: Reader) -> Words:
    """Who comes in."""
    return {
        "question": reader.say("Who is here?"),
        "answer": reader.say("What is planned, measured and signed here keeps the name of who did it."),
        "name": reader.say("Your name"),
        "password": reader.say("Password"),
        "act": reader.say("Sign in"),
        "first": reader.say("Here for the first time, or no password any more? Ask an owner for a code."),
        "code": reader.say("I have a code"),
    }


def sign_up_words(reader: Reader, name: str | None = None) -> Words:
    """Coming in by a code; `name`: whose it is, "": the first owner's, None: it is still to be typed."""
    fixed = {
        "code": reader.say("Code"),
        "hint": reader.say("Sixteen letters and digits. Spaces, dashes and capitals do not matter."),
        "use": reader.say("Use this code"),
        "name": reader.say("Your name, as it will stand in records"),
        "password": reader.say("Password"),
        "length": reader.say("10 characters or more. A short sentence is easy to keep in mind."),
        "again": reader.say("The same password again"),
        "act": reader.say("Sign up"),
    }
    if name is None:
        question = reader.say("Which code were you given?")
        answer = reader.say("An owner gives it to you; the first one stands where the server was begun.")
    elif name:
        question = reader.say("Which password will you use, {name}?", name=name)
        answer = reader.say("The code is right. It ends as soon as you have signed up.")
    else:
        question = reader.say("Who owns this shop?")
        answer = reader.say("You become its first owner, and invite everybody else.")
    return {**fixed, "question": question, "answer": answer}


def me_words(reader: Reader, name: str, role: str) -> Words:
    """What a person comes in and signs with."""
    return {
        "question": reader.say("How does the shop know that it is you?"),
        "answer": reader.say("You are {name}, {role}.", name=name, role=reader.say(ROLES[role])),
        "pin_title": reader.say("PIN"),
        "pin_why": reader.say("You sign with it on a tablet that others use, too. It has 4 to 8 digits."),
        "pin": reader.say("PIN"),
        "pin_again": reader.say("The same PIN again"),
        "pin_act": reader.say("Keep this PIN"),
        "password_title": reader.say("Password"),
        "password": reader.say("Your password"),
        "old": reader.say("Password until now"),
        "new": reader.say("New password"),
        "length": reader.say("10 characters or more. A short sentence is easy to keep in mind."),
        "again": reader.say("The same password again"),
        "password_act": reader.say("Change the password"),
        "devices_title": reader.say("Devices"),
        "others": reader.say("Sign out everywhere else"),
        "out": reader.say("Sign out"),
        "pin_kept": reader.say("The PIN is kept."),
        "password_kept": reader.say("The password is changed, and every other device is signed out."),
        "others_out": reader.say("Every other device is signed out."),
    }


def pin_line(person: Person, reader: Reader) -> str:
    """Whether a person can sign by PIN."""
    if person.pin_is_locked:
        return reader.say("Your PIN is locked after three wrong tries. An owner lifts it.")
    if person.has_pin:
        return reader.say("You have a PIN.")
    return reader.say("You have no PIN yet: without one you cannot sign.")


def devices_line(person: Person, reader: Reader) -> str:
    """On how many devices somebody is signed in."""
    return reader.say_n("You are signed in on {n} device.", "You are signed in on {n} devices.", len(person.seen))


def people_words(reader: Reader) -> Words:
    """Who works here."""
    return {
        "question": reader.say("Who works here, and who may do what?"),
        "add_title": reader.say("Who else works here?"),
        "add_name": reader.say("name"),
        "add_role": reader.say("role"),
        "add": reader.say("Add this person"),
        "people": reader.say("People"),
        "roles": reader.say("What may each role do?"),
        "change": reader.say("Change"),
        "role": reader.say("Role"),
        "role_act": reader.say("Change the role"),
        "code_act": reader.say("Make a code to sign up with"),
        "pin": reader.say("PIN, 4 to 8 digits"),
        "pin_act": reader.say("Keep this PIN"),
        "pin_off": reader.say("Take the PIN away"),
        "lift": reader.say("Lift the lock"),
        "end": reader.say("Sign out everywhere"),
        "remove": reader.say("Remove this person"),
        "events": reader.say("Who came in?"),
        "at": reader.say("when"),
        "what": reader.say("what"),
        "address": reader.say("from where"),
        "none": reader.say("Nobody yet."),
    }


def add_sentence(reader: Reader) -> tuple[str, ...]:
    """The sentence to complete, in pieces."""
    return pieces(reader.say("{name} works here as {role}.", name=blank("name"), role=blank("role")))


def people_answer(people: tuple[Person, ...], reader: Reader) -> str:
    """How many there are, and whether somebody waits to be let in again."""
    if not people:
        return reader.say("Nobody has a name here yet. Who signs needs one, and a PIN.")
    locked = tuple(one.name for one in people if one.is_locked or one.pin_is_locked)
    count = reader.say_n("{n} person.", "{n} people.", len(people))
    if not locked:
        return reader.say("{people} Nobody is locked out.", people=count)
    return reader.say("{people} Locked out: {names}.", people=count, names=locked)


def role_words(role: str, reader: Reader) -> str:
    """A role by its name."""
    return reader.say(ROLES[role])


def role_lines(reader: Reader) -> tuple[tuple[str, str], ...]:
    """Each role and what it may do."""
    return (
        (role_words("reader", reader), reader.say("reads everything, and changes nothing.")),
        (role_words("technician", reader), reader.say("works at the car, too: types readings, and signs.")),
        (role_words("planner", reader), reader.say("plans, too, decides, and changes orders, cards, cars and floors.")),
        (role_words("owner", reader), reader.say("says, too, who works here, and how the shop is read.")),
    )


def person_lines(person: Person, reader: Reader, *, network: bool) -> Iterator[str]:
    """What is to be known of a person: how they come in, whether they can sign, when they were last here."""
    if person.is_locked:
        yield reader.say("Locked out after ten wrong passwords.")
    if person.pin_is_locked:
        yield reader.say("The PIN is locked after three wrong tries.")
    if network and not person.has_password:
        yield reader.say("Has not signed up yet.")
    if not person.has_pin and person.role != "reader":
        yield reader.say("Has no PIN yet, and cannot sign.")
    elif person.has_pin and not person.pin_is_locked:
        yield reader.say("Signs by PIN.")
    if person.seen:
        yield reader.say_n(
            "Signed in on {n} device, last used {moment}.",
            "Signed in on {n} devices, last used {moment}.",
            len(person.seen),
            moment=when(person.seen[0], reader),
        )


def code_line(name: str, reader: Reader) -> str:
    """What is said with a code that was made."""
    return reader.say(
        "Tell {name} this code. It can be used once, within three days, and is shown this one time.",
        name=name,
    )


def event_words(event: Event, reader: Reader) -> tuple[str, str, str]:
    """When, what happened, and from where."""
    what, by = _what(event, reader), event.by
    if by and by != event.name:
        what = reader.say("{what} By {by}.", what=what, by=by)
    return when(event.at, reader), what, event.address


def _what(event: Event, reader: Reader) -> str:
    if not event.name:
        return {
            "password tried": reader.say("A password was tried for a name that nobody has."),
            "code tried": reader.say("A wrong code was tried."),
        }.get(event.what, event.what)
    name = event.name
    said = {
        "password tried": reader.say("A wrong password was tried for {name}.", name=name),
        "PIN tried": reader.say("A wrong PIN was tried for {name}.", name=name),
        "signed in": reader.say("{name} signed in.", name=name),
        "signed up": reader.say("{name} signed up by a code.", name=name),
        "PIN right": reader.say("{name} typed the right PIN.", name=name),
        "signed out": reader.say("{name} signed out.", name=name),
        "signed out everywhere": reader.say("{name} was signed out everywhere.", name=name),
        "sign-in lifted": reader.say("{name} may sign in again.", name=name),
        "PIN lifted": reader.say("The PIN of {name} counts again.", name=name),
        "PIN set": reader.say("{name} has another PIN.", name=name),
        "PIN removed": reader.say("The PIN of {name} was taken away.", name=name),
        "added": reader.say("{name} was added.", name=name),
        "role changed": reader.say("{name} got another role.", name=name),
        "removed": reader.say("{name} was removed.", name=name),
        "password set": reader.say("{name} has another password.", name=name),
        "code made": reader.say("A code was made for {name}.", name=name),
    }
    return said.get(event.what, event.what)
