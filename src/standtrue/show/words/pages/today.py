"""What the page of today says."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta

from standtrue.model.order import Title
from standtrue.show.words.catalog import N_
from standtrue.show.words.clock import promise_words
from standtrue.show.words.days import day_words, moment_words, of_day
from standtrue.show.words.reader import Reader
from standtrue.work.today.values import Row, Today, Wait, WaitKind

DAYS_NAMED = 6
"""So many days ahead a day is told by its name alone."""

LABELS: Mapping[str, str] = {
    "waits": N_("Waits for somebody"),
    "who": N_("Who does what now"),
    "cars": N_("Car by car"),
    "coming": N_("Coming"),
    "aside": N_("Put aside"),
    "person": N_("person"),
    "now": N_("now"),
    "next": N_("next"),
    "order": N_("order"),
    "car": N_("car"),
    "stands": N_("stands"),
    "then": N_("then"),
    "ready": N_("ready"),
    "promised": N_("promised"),
    "comes": N_("comes"),
    "start": N_("Start an order"),
    "finished": N_("Find a finished order"),
    "open": N_("Open the order"),
    "same": N_("The same as a table"),
    "find": N_("Find by number, car or plate"),
    "find_it": N_("Find"),
    "none_found": N_("No order is called that."),
    "as_of": N_("as of {time}"),
    "orders": N_("Drawn from"),
}
"""Headings, columns and buttons; the time of the last news is filled in by the page."""

NOTES: Mapping[WaitKind, str] = {
    "plan": N_("Nobody has planned it."),
    "plan again": N_("Out of date: {what} changed since it was planned."),
    "decide": N_("No rule knows what was done to it: {what}."),
    "look": N_("Somebody must look first: {what}."),
    "not done": N_("Not done here: {what}."),
    "reader": N_("Its card {what} waits for a second person to read it from its source."),
    "step": N_("Planned to be done by now, and nobody says that it is: {what}."),
    "sign": N_("Every step is done. It is not signed off."),
    "cure": N_("It cures or dries: {what}. Nobody needs to do anything."),
    "owner": N_("Done and signed. It waits to be fetched."),
    "out": N_("Sent out: {what}. It is done on once it is back."),
    "part": N_("It did not finish, and waits for a part: {what}."),
}
"""What is said of each thing that an order waits for."""

ACTS: Mapping[WaitKind, str] = {
    "plan": N_("Plan it"),
    "plan again": N_("Plan again"),
    "decide": N_("Decide"),
    "look": N_("Decide"),
    "not done": N_("Decide"),
    "reader": N_("Read the card"),
    "step": N_("Open the order"),
    "sign": N_("Work at the car"),
}
"""What somebody does about it; nothing where only time helps."""


def today_question(reader: Reader) -> str:
    """Its question."""
    return reader.say("What waits for whom today?")


def today_labels(reader: Reader) -> Mapping[str, str]:
    """Headings, columns, buttons."""
    return {key: reader.say(said, time="{time}") for key, said in LABELS.items()}


def date_words(now: datetime, reader: Reader) -> str:
    """The day, with its year."""
    return reader.say("{day}, {year}", day=day_words(now, reader, dated=True), year=now.year)


def moment(when: datetime, now: datetime, reader: Reader) -> str:
    """A moment as short as it is plain: today by its time alone."""
    if when.date() == now.date():
        return of_day(when, reader)
    near = now.date() < when.date() <= now.date() + timedelta(days=DAYS_NAMED)
    return moment_words(when, reader, dated=not near)


def nothing_words(reader: Reader) -> str:
    """No order at all."""
    return reader.say("No order yet.")


def answer_words(today: Today, reader: Reader, *, decides: bool) -> str:
    """How many orders are late, how many wait for a decision, and how the others stand."""
    rows = today.in_hand
    if not rows:
        return nothing_words(reader)
    late, decide = (sum(1 for row in rows if row.state == state) for state in ("late", "decide"))
    waits = {who_words(row.waits[0], reader, decides=decides) for row in rows if row.state == "late"}
    rest = [row for row in rows if row.state not in ("late", "decide")]
    may = sum(1 for row in rest if row.keeps in ("yes", "may be"))
    told = []
    if late and len(waits) == 1:
        told.append(reader.say_n("{n} order is late and {waits}.", "{n} orders are late, and each {waits}.", late,
                                 waits=min(waits)))  # fmt: skip
    elif late:
        told.append(reader.say_n("{n} order is late.", "{n} orders are late.", late))
    if decide:
        told.append(reader.say_n("{n} order needs a decision.", "{n} orders need a decision.", decide))
    if may:
        told.append(reader.say_n("{n} order may be ready after its promise.",
                                 "{n} orders may be ready after their promise.", may))  # fmt: skip
    if well := len(rest) - may:
        others = late or decide or may
        if others:
            told.append(reader.say_n("The other {n} runs to time.", "The other {n} run to time.", well))
        else:
            told.append(reader.say_n("{n} order runs to time.", "All {n} orders run to time.", well))
    return " ".join(told)


def when_words(wait: Wait, now: datetime, reader: Reader) -> str:
    """Since when something is late, or by when it must be there."""
    if wait.urgency == "late" and wait.since is not None:
        return reader.say("Late since {when}", when=moment(wait.since, now, reader))
    if wait.until is not None:
        first, last = (moment(one, now, reader) for one in wait.until)
        return (
            reader.say("Until {when}", when=last)
            if first == last
            else reader.say("Until {first} to {last}", first=first, last=last)
        )
    if wait.by is not None:
        return reader.say("To decide by {when}", when=moment(wait.by, now, reader))
    if wait.since is not None:
        return reader.say("Since {when}", when=moment(wait.since, now, reader))
    return reader.say("To decide")


def who_words(wait: Wait, reader: Reader, *, decides: bool) -> str:
    """For whom an order waits. `decides`: whoever reads may decide."""
    if wait.kind == "cure":
        return reader.say("waits for time")
    if wait.kind == "owner":
        return reader.say("waits for its owner")
    if wait.kind == "part":
        return reader.say("waits for a part")
    if wait.kind == "out":
        return reader.say("waits for what was sent out")
    if wait.kind == "reader":
        return reader.say("waits for a second reader")
    if wait.who:
        return reader.say("waits for {who}", who=wait.who)
    return reader.say("waits for you") if decides else reader.say("waits for a planner")


def note_words(wait: Wait, reader: Reader) -> str:
    """What it waits for, in a sentence."""
    return reader.say(NOTES[wait.kind], what=wait.what)


def act_words(wait: Wait, reader: Reader) -> str:
    """What somebody does about it; "" for nothing."""
    return reader.say(ACTS[wait.kind]) if wait.kind in ACTS and wait.urgency != "time" else ""


def title_words(title: Title, reader: Reader) -> str:
    """What is done, by its own name."""
    return reader.write(title)


def state_words(row: Row, title: str, reader: Reader) -> str:
    """A row's state in a few words: what is done now, or what it waits for. `title`: what is in hand."""
    kinds = {wait.kind for wait in row.waits}
    if "plan again" in kinds and row.state != "late":
        return reader.say("out of date")
    if row.state == "late":
        return reader.say("late: {why}", why=_short(row.waits[0], title, reader))
    if row.state == "now":
        return title
    if row.state == "time":
        cure = next((wait for wait in row.waits if wait.kind == "cure"), None)
        if cure is not None:
            return reader.say("{what} cures", what=cure.what)
        away = next(wait for wait in row.waits if wait.kind in ("out", "part"))
        return reader.say("sent out") if away.kind == "out" else reader.say("waits for a part")
    if row.state == "done":
        return reader.say("done")
    if row.state == "decide":
        return _short(next(wait for wait in row.waits if wait.urgency == "decide"), title, reader)
    return reader.say("not begun")


def _short(wait: Wait, title: str, reader: Reader) -> str:
    """What is waited for, in a few words."""
    short: Mapping[WaitKind, str] = {
        "plan": reader.say("not planned"),
        "plan again": reader.say("out of date"),
        "decide": reader.say("no rule knows it"),
        "look": reader.say("look first"),
        "not done": reader.say("not done here"),
        "reader": reader.say("card not verified"),
        "sign": reader.say("not signed off"),
    }
    return short.get(wait.kind) or title


def then_words(titles: tuple[str, ...], more: int, reader: Reader) -> str:
    """What comes then."""
    said = ", ".join(titles)
    return reader.say_n("{said} and {n} more", "{said} and {n} more", more, said=said) if more else said


def span_words(first: str, last: str, reader: Reader) -> str:
    """From one moment to another."""
    return first if first == last else reader.say("{first} to {last}", first=first, last=last)


def unknown_words(reader: Reader) -> str:
    """When a car is ready that nobody planned."""
    return reader.say("not known")


def outside_words(reader: Reader) -> str:
    """Where a car stands that is not on the floor."""
    return reader.say("outside")


def promised_words(row: Row, now: datetime, reader: Reader) -> str:
    """By when it is promised."""
    if row.promise is None:
        return ""
    if not row.promise.all_day:
        return moment(row.promise.at, now, reader)
    return promise_words(row.promise, now, reader)


def person_words(step: str, number: str, reader: Reader) -> str:
    """What somebody does, for which order."""
    return reader.say("{step}, {number}", step=step, number=number)


def next_words(when: str, step: str, number: str, reader: Reader) -> str:
    """What somebody does next."""
    if not when:
        return person_words(step, number, reader)
    return reader.say("{when} at the earliest: {step}, {number}", when=when, step=step, number=number)


def free_words(until: str, reader: Reader) -> str:
    """Somebody who has nothing in hand."""
    return reader.say("free until {when}", when=until) if until else reader.say("free")


def caption_words(now: str, reader: Reader) -> str:
    """What stands under the floor."""
    return reader.say("{now}. Dashed: waits. Solid: being worked on or done.", now=now)


def floor_words(now: str, cars: tuple[str, ...], reader: Reader) -> str:
    """The floor for whoever does not see it."""
    if not cars:
        return reader.say("The shop floor at {now}, without cars.", now=now)
    return reader.say("The shop floor at {now}: {cars}.", now=now, cars=cars)


def car_at(number: str, place: str, state: str, reader: Reader) -> str:
    """A car on the floor."""
    return reader.say("{number} {place} ({state})", number=number, place=place, state=state)


def folded_words(n: int, reader: Reader) -> str:
    """What only waits for time, folded."""
    return reader.say_n(
        "{n} more waits for time; nobody need do anything", "{n} more wait for time; nobody need do anything", n
    )


def more_waits(n: int, reader: Reader) -> str:
    """More that waits for somebody, folded."""
    return reader.say_n("{n} more waits for somebody", "{n} more wait for somebody", n)


def group_words(key: str, n: int, reader: Reader) -> str:
    """A part of a long timetable."""
    parts = {
        "floor": reader.say("On the floor, {n}", n=n),
        "outside": reader.say("Outside, {n}", n=n),
        "coming": reader.say("Coming, {n}", n=n),
    }
    return parts[key]


def quiet_words(n: int, reader: Reader) -> str:
    """Orders of which nothing was heard for long."""
    return reader.say_n(
        "{n} order of which nothing was heard for 30 days is not told here. Say on its page that its car left, or find "
        "it by number.",
        "{n} orders of which nothing was heard for 30 days are not told here. Say on the page of each that its car "
        "left, or find it by number.",
        n,
    )


def orders_words(n: int, reader: Reader) -> str:
    """How many orders the page tells."""
    return reader.say_n("{n} order", "{n} orders", n)
