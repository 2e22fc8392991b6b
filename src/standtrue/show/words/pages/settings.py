"""What the pages of settings say: how it is read, which instruments there are, and whom a tablet is to trust."""

from __future__ import annotations

from collections.abc import Mapping

from standtrue.show.words.pages.completing import blank, pieces
from standtrue.show.words.reader import Reader
from standtrue.work.settings.instruments import Held

Words = Mapping[str, str]


def settings_words(reader: Reader) -> Words:
    """How it is read, and by whom else it is set."""
    return {
        "question": reader.say("How do you read, and how does the shop?"),
        "answer": reader.say("Your own choice stays on this device; the shop's counts for whoever has not chosen."),
        "own": reader.say("For you, on this device"),
        "own_act": reader.say("Keep for this device"),
        "shop": reader.say("For the shop"),
        "shop_act": reader.say("Keep for the shop"),
        "shop_kept": reader.say("The shop is read so from now on. It is a new version of its document."),
        "shop_who": reader.say("An owner can change how the shop is read."),
        "site": reader.say("site"),
        "units": reader.say("units"),
        "language": reader.say("language"),
        "paper": reader.say("paper"),
        "more": reader.say("What else is set?"),
        "people": reader.say("Who works here, and who may do what"),
        "me": reader.say("Your PIN, your password, your devices"),
        "instruments": reader.say("Which instruments are due for a check"),
        "trust": reader.say("How a tablet comes to trust this server"),
    }


def own_sentence(reader: Reader) -> tuple[str, ...]:
    """How somebody reads, to be completed."""
    return pieces(
        reader.say(
            "I read lengths in {units}, words in {language}, and print on {paper}.",
            **_blanks("units", "language", "paper"),
        )
    )


def shop_sentence(reader: Reader) -> tuple[str, ...]:
    """How the shop is read, to be completed."""
    return pieces(
        reader.say(
            "At {site} lengths are in {units}, words in {language}, and paper is {paper}.",
            **_blanks("site", "units", "language", "paper"),
        )
    )


def _blanks(*names: str) -> dict[str, str]:
    return {name: blank(name) for name in names}


def choices(reader: Reader) -> Mapping[str, tuple[tuple[str, str], ...]]:
    """What may be chosen in each blank: value and words."""
    return {
        "units": (("us", reader.say("feet and inches")), ("metric", reader.say("meters"))),
        "language": (("en", "English"), ("es", "Español")),
        "paper": (("letter", reader.say("Letter")), ("a4", "A4")),
    }


def instruments_words(reader: Reader) -> Words:
    """The page of instruments."""
    return {
        "question": reader.say("Which instruments are due for a check?"),
        "title": reader.say("Instruments"),
        "name": reader.say("instrument"),
        "what": reader.say("reads"),
        "serial": reader.say("serial number"),
        "checked": reader.say("last check"),
        "state": reader.say("its check"),
        "how": reader.say(
            "An instrument stands in the document of its site, with the day of its last check. With an overdue one no "
            "set-up is accepted."
        ),
    }


def instruments_answer(held: tuple[Held, ...], reader: Reader) -> str:
    """How many are overdue."""
    late = tuple(one.instrument.name for one in held if one.late)
    unknown = sum(one.late is None for one in held)
    if not held:
        return reader.say("No document of a site names an instrument.")
    if late:
        return reader.say_n("{n} check is overdue: {names}.", "{n} checks are overdue: {names}.", len(late), names=late)
    if unknown:
        return reader.say_n(
            "No check is known to be overdue; of {n} instrument nobody said when it was checked.",
            "No check is known to be overdue; of {n} instruments nobody said when they were checked.",
            unknown,
        )
    return reader.say("No check is overdue.")


def instrument_cells(one: Held, reader: Reader) -> tuple[str, str, str, str]:
    """What an instrument is, what it reads, its serial number, and when it was last checked."""
    checked = one.instrument.checked_on[:10]
    return (
        one.instrument.name,
        reader.term(one.instrument.what),
        one.instrument.serial,
        checked or reader.say("nobody said"),
    )


def check_state(one: Held, reader: Reader) -> tuple[str, str]:
    """The mark and the words of how an instrument's check stands."""
    if one.late is None or one.due is None:
        return "unsure", reader.say("cannot tell")
    if one.late:
        return "late", reader.say_n(
            "late since {day}, {n} day", "late since {day}, {n} days", one.late, day=one.due.isoformat()
        )
    return "yes", reader.say("current until {day}", day=one.due.isoformat())


def trust_words(reader: Reader) -> Words:
    """How a tablet comes to trust this server."""
    return {
        "question": reader.say("How does this tablet come to trust the server?"),
        "answer": reader.say(
            "It takes the certificate of the shop's own authority, once. From then on the browser warns no more, and "
            "readings are kept on the tablet while the network is away."
        ),
        "digest": reader.say("Compare first"),
        "digest_why": reader.say(
            "These characters have to be the same as where the server was begun. If one differs, stop: it is not this "
            "shop's authority."
        ),
        "take": reader.say("Take the certificate"),
        "steps": reader.say("Then, once on each device"),
        "untried": reader.say(
            "These steps were not tried on a device of each kind, and systems call their settings differently from "
            'version to version: where a name is missing, search the settings for "certificate".'
        ),
        "address": reader.say("Address of the shop"),
        "address_why": reader.say(
            "Where the shop opens no more, the address of its machine may have changed: the terminal there tells the "
            "new one. What this tablet kept under the old one it sends once the machine has that again: let the router "
            "always give it the same."
        ),
        "bounds": reader.say(
            "The authority can vouch for this shop's names and for addresses of private networks only: no page on the "
            "internet can be made with it."
        ),
        "begin": reader.say("Go to the shop"),
        "none": reader.say("This server uses no certificate of its own: there is nothing to trust."),
    }


def trust_steps(reader: Reader) -> tuple[tuple[str, str], ...]:
    """What to press on each kind of device: common practice, no source, tried on none of them; the page says so."""
    return (
        (
            "Android",
            reader.say(
                "Settings, Security, More, Encryption and credentials, Install a certificate, CA certificate: choose "
                "the file that was taken."
            ),
        ),
        (
            "iOS, iPadOS",
            reader.say(
                "Settings, Profile downloaded: install it. Then Settings, General, About, Certificate trust settings: "
                "turn it on for this authority."
            ),
        ),
        (
            "Windows",
            reader.say(
                "Open the file, Install certificate, Local machine, and choose the store Trusted root certification "
                "authorities."
            ),
        ),
        ("macOS", reader.say("Open the file, find it in Keychain Access, and under Trust choose Always trust.")),
        (
            "Linux",
            reader.say("In the browser's settings: Certificates, Authorities, Import; trust it for websites."),
        ),
    )
