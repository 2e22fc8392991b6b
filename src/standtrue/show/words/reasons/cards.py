"""The life of a card, what two of them say differently, and why a second reading is not taken."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from standtrue.show.words.catalog import N_

if TYPE_CHECKING:
    from standtrue.model.reason import Reason
    from standtrue.show.words.reader import Reader
    from standtrue.show.words.reasons import Sentences

FIELDS: Mapping[str, str] = {
    "sensor.kind": N_("sensor"),
    "sensor.side": N_("side"),
    "vehicles": N_("cars"),
    "method": N_("method"),
    "source.title": N_("title of the source"),
    "source.edition": N_("edition"),
    "supports": N_("what the car may stand on"),
    "lift_height": N_("lift height"),
    "wheels_hanging": N_("wheels hanging"),
    "wheels_on": N_("wheels on plates"),
    "minutes.set_up": N_("time to set up"),
    "minutes.run": N_("time to run"),
    "minutes.put_away": N_("time to put away"),
    "people": N_("people"),
    "skills": N_("skills"),
    "equipment": N_("equipment"),
    "after": N_("what comes first"),
    "light": N_("light"),
    "floor_level.within": N_("how level the floor must be"),
    "floor_level.over": N_("over what it must be level"),
    "drive.speed": N_("speed of the drive"),
    "drive.distance": N_("length of the drive"),
    "drive.minutes": N_("time of the drive"),
    "drive.road": N_("road of the drive"),
    "drive.weather": N_("weather of the drive"),
    "drive.people": N_("people on the drive"),
    "what": N_("what is checked"),
    "low": N_("the least"),
    "high": N_("the most"),
    "unit": N_("unit"),
    "says": N_("what it is"),
    "code": N_("code"),
    "name": N_("name"),
    "needs": N_("what it needs"),
    "anchor": N_("measured from"),
    "bottom": N_("bottom"),
    "top": N_("top"),
    "turned": N_("turned with the sensor"),
    "from_floor": N_("height from the floor"),
    "outline": N_("outline"),
    "size": N_("size"),
    "at": N_("place"),
    "facing": N_("facing"),
    "line": N_("line that it stands on"),
    "tolerance.along": N_("tolerance along"),
    "tolerance.across": N_("tolerance across"),
    "tolerance.height": N_("tolerance of height"),
    "tolerance.turn": N_("tolerance of turn"),
    "tolerance.lean": N_("tolerance of lean"),
    "swept": N_("path of the moving target"),
}
"""What each field of a card is called."""

ITEMS: Mapping[str, str] = {
    "zones": N_("zone {name}, {field}"),
    "targets": N_("target {name}, {field}"),
    "variants": N_("variant {name}, {field}"),
    "conditions": N_("condition {name}, {field}"),
    "causes": N_("cause {name}, {field}"),
    "positions": N_("position {name}, {field}"),
}
"""A field of one of several."""

TERMS = (N_("each"), N_("plates"), N_("draft"), N_("questioned"), N_("superseded"))


def _field(reason: Reason, reader: Reader) -> str:
    """Where a field stands: `variant short, zone beam, top`."""
    path = reason["path"]
    assert isinstance(path, tuple)
    return field_words(tuple(str(part) for part in path), reader)


def field_words(path: tuple[str, ...], reader: Reader) -> str:
    """A field in words, with the items that it stands in."""
    if path[0] in ITEMS:
        return reader.say(ITEMS[path[0]], name=path[1], field=field_words(path[2:], reader))
    return reader.say(FIELDS[path[0]])


def _amount(reason: Reason, reader: Reader) -> str:
    return reader.say(N_("{value} {unit}") if reason["unit"] else N_("{value}"), **dict(reason.values))


def _point(reason: Reason, reader: Reader) -> str:
    flat = "z" not in dict(reason.values)
    return reader.say(N_("({x}, {y})") if flat else N_("({x}, {y}, {z})"), **dict(reason.values))


def _superseded(reason: Reason, reader: Reader) -> str:
    newer = reason["newer"]
    if not newer:
        return reader.say(N_("the card {card} is superseded by a newer edition"), card=reason["card"])
    return reader.say(N_("the card {card} is superseded by {newer}"), card=reason["card"], newer=newer)


def _questioned(reason: Reason, reader: Reader) -> str:
    """Who says that a card is wrong, and what is: as far as it is known."""
    if not reason["by"]:
        return reader.say(N_("the card {card} is questioned"), card=reason["card"])
    if not reason["says"]:
        return reader.say(N_("{by} says that the card {card} is wrong"), **dict(reason.values))
    return reader.say(N_("{by} says that the card {card} is wrong: {says}"), **dict(reason.values))


def _changed(reason: Reason, reader: Reader) -> str:
    """A card that says something else than when the job was planned: which edition then and now, and what changed."""
    values = dict(reason.values)
    values["was"], values["now"] = values["was"] or reader.say("unnamed"), values["now"] or reader.say("unnamed")
    said = reader.say(N_("planned with edition {was} of the card {card}, now edition {now}"), **values)
    if more := values["more"]:
        assert isinstance(more, int)
        said = reader.say_n(
            "{said}; changed: {changed} and {n} more field",
            "{said}; changed: {changed} and {n} more fields",
            more,
            said=said,
            changed=_listed(values["changed"], reader),
        )
    elif values["changed"]:
        said = reader.say(N_("{said}; changed: {changed}"), said=said, changed=_listed(values["changed"], reader))
    elif values["known"]:
        said = reader.say(N_("{said}; nothing else changed"), said=said)
    else:
        said = reader.say(N_("{said}; the earlier edition is not here to be compared"), said=said)
    return reader.say(N_("{said}; plan again"), said=said)


def _listed(fields: object, reader: Reader) -> str:
    """Fields that hold commas of their own."""
    assert isinstance(fields, tuple)
    return "; ".join(reader.write(field) for field in fields)


SENTENCES: Sentences = {
    # what a card's fields hold
    "card-field": _field,
    "card-words": N_("{words}"),
    "card-span": N_("{low} to {high}"),
    "card-size": N_("{width} by {height}"),
    "card-point": _point,
    "card-path": N_("{points}"),
    "card-amount": _amount,
    "card-box": N_("box from ({x0}, {y0}) to ({x1}, {y1})"),
    "card-circle": N_("circle about ({x}, {y}), radius {r}"),
    "card-sector": N_("sector from {inner} to {outer}, from {start} to {end}"),
    "card-corners": N_("corners {corners}"),
    # what a card counts as
    "verified-by-nobody": N_("it says that it is verified and not by whom: it counts as transcribed"),
    "transcribed-by-nobody": N_(
        "it says that it is verified and not who transcribed it, who must be somebody else: it counts as transcribed"
    ),
    "verified-by-transcriber": N_("{by} both transcribed and verified it: it counts as transcribed"),
    "verified-without-digest": N_("it does not say which content was verified: it counts as transcribed"),
    "changed-since-verified": N_("it was changed after {by} verified it: it counts as transcribed"),
    "let-second-person-read": N_(
        "Write transcribed_by, and let a second person read it: standtrue card blank, then standtrue card second."
    ),
    "card-short": N_("the card {card} is not verified: {why}"),
    "card-draft": N_("the card {card} is a draft"),
    "card-superseded": _superseded,
    "card-questioned": _questioned,
    "finish-card": N_('finish it from the maker\'s source, and write status = "transcribed"'),
    "use-newer-card": N_("use the newer edition"),
    "have-card-read-again": N_("let a second person read it again from its source"),
    "card-changed": _changed,
    "card-new": N_("the card {card} was not used when the job was planned: plan again"),
    "card-gone": N_("planned with the card {card}, which is not used any more: plan again"),
    "supersedes-itself": N_("a card cannot supersede itself"),
    "name-older-card": N_("Name the older card."),
    # invented and real
    "invented-among-real": N_("it is invented for demonstration, and the job {job} and its other documents are real"),
    "real-among-invented": N_("it is not marked as invented, and the job {job} and its other documents are"),
    "card-invented-in-real-job": N_("the card {card} is invented for demonstration, and the job {job} is real"),
    "real-card-in-invented-job": N_("the card {card} is real, and the job {job} is invented for demonstration"),
    "take-demonstration-out": N_(
        "Write your own figures, and take demonstration = true out (of a card its status, too): what is invented never "
        "serves a real car."
    ),
    "mark-as-demonstration": N_(
        "Write demonstration = true, if it is invented; else take that line out of the others."
    ),
    # a second reading
    "nobody-reads": N_("nobody says who reads it"),
    "say-who": N_("Add {option} with the name of the person."),
    "no-transcriber": N_("the card does not say who transcribed it, who must be somebody else"),
    "write-transcriber": N_("Write transcribed_by in its [source]."),
    "reader-transcribed-it": N_("{by} transcribed it: a second person must read it"),
    "ask-somebody-else": N_("Let somebody else read it, or write more of both names if they are two persons."),
    "card-not-finished": N_("it is a draft"),
    "card-is-questioned": N_("somebody says that it is wrong"),
    "card-is-old": N_("it is superseded by a newer edition"),
    "card-is-invented": N_("it is invented: there is no source to read it from"),
    "read-the-newer": N_("Read the newer edition a second time."),
    "nothing-to-read": N_("A demonstration card passes for verified where all is demonstration."),
    "reading-of-another": N_("it is a reading of {name}"),
    "reading-of-no-card": N_("it is no reading of a card"),
    "make-a-blank": N_("Begin with a blank form: standtrue card blank."),
    "out-in-shop": N_("it lies in the shop folder, where it would be read as a document"),
    "out-elsewhere": N_("Name a file outside the shop folder."),
    "card-changed-meanwhile": N_("the file changed meanwhile"),
    "field-not-changed": N_("the file cannot be changed field by field"),
    "try-again": N_("Ask again."),
    "write-it-by-hand": N_("Write these fields by hand: {fields}."),
    "name-two-cards": N_("this takes two cards, the older one first"),
    "name-one-card": N_("this takes one card"),
    "name-no-card": N_("this takes no card"),
    "name-cards-so": N_("Write: standtrue card {action} FOLDER {form}."),
    "reading-missing": N_("there is no second reading to compare"),
    "give-reading": N_("Add --reading with its file."),
    "other-sensor": N_("they are for different sensors"),
    "card-file-elsewhere": N_("the card does not lie in a file of this folder"),
    "look-at-folder": N_("Look at the folder."),
}
