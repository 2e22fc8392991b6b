"""What the page of an order says."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from standtrue.model.basics import Fault
from standtrue.model.job import Event, Job
from standtrue.model.reason import Length, Ref, Term, because
from standtrue.needs import Need
from standtrue.show.words.clock import far
from standtrue.show.words.days import moment_words, of_day
from standtrue.show.words.plan import sent_out_figures
from standtrue.show.words.reader import Reader
from standtrue.show.words.texts import as_sentence
from standtrue.work.plan.answer import PlanAnswer
from standtrue.work.plan.ordered import Undone


def order_question(reader: Reader) -> str:
    """Its question."""
    return reader.say("How does this order get done?")


def over_words(job: Job, reader: Reader) -> str:
    """The car, its plate, and who pays, behind the number."""
    parts = [job.vehicle]
    parts += [reader.say("plate {plate}", plate=job.plate)] if job.plate else []
    parts += [job.odometer] if job.odometer else []
    parts += [reader.say("{payer} pays", payer=job.payer)] if job.payer else []
    return ", ".join(parts)


def came_words(job: Job, now: datetime, reader: Reader) -> str:
    """When the car came, or comes."""
    if not job.arrives:
        return reader.say("Nobody has said when it comes.")
    when = datetime.fromisoformat(job.arrives)
    said = moment_words(when, reader, dated=True)
    return reader.say("Came {when}.", when=said) if when <= now else reader.say("Comes {when}.", when=said)


def nothing_done_words(reader: Reader) -> str:
    """An order that says nothing yet."""
    return reader.say("Nothing is written yet of what was done to it: begin with that.")


def computing_words(what: str, reader: Reader) -> str:
    """What is being worked out, before anything is known."""
    return reader.say("The order of work is being worked out: {what}.", what=what)


def computing_first(reader: Reader) -> str:
    """The same before anything was told of it."""
    return reader.say("The order of work is being worked out.")


def so_far_words(n: int, reader: Reader) -> str:
    """What is known before there is a plan: how much is called for."""
    return reader.say_n(
        "So far known: {n} calibration is called for.", "So far known: {n} calibrations are called for.", n
    )


def done_of_words(done: int, total: int, reader: Reader) -> str:
    """How far it is."""
    return reader.say("{done} of {total}", done=done, total=total)


def stopped_words(reader: Reader) -> str:
    """A search that somebody stopped."""
    return reader.say("It was stopped: this is the best that was found by then.")


def decide_first(n: int, reader: Reader) -> str:
    """A link to what must be decided."""
    return reader.say_n("{n} thing to decide first", "{n} things to decide first", n)


def stale_words(names: tuple[str, ...], reader: Reader) -> str:
    """A plan that rests on documents that changed since."""
    if names:
        return reader.say("Out of date: {names} changed since this was planned. The old plan stays until then.",
                          names=names)  # fmt: skip
    return reader.say("Out of date: something that it rests on changed since this was planned. The old plan stays.")


def handed_words(to: str, when: datetime, now: datetime, reader: Reader) -> str:
    """That an order was handed over."""
    said = of_day(when, reader) if when.date() == now.date() else moment_words(when, reader, dated=True)
    return reader.say("Handed to {to}, {when}.", to=to, when=said)


def handed_stale(names: tuple[str, ...], reader: Reader) -> str:
    """That what was handed over rests on documents that changed since."""
    return reader.say("What was handed over is out of date: {names} changed since. Hand it over again.", names=names)


def aside_words(why: str, reader: Reader) -> str:
    """Why an order is put aside."""
    return reader.say("Put aside: {why}", why=why)


def left_words(at: str, reader: Reader) -> str:
    """When its car went away."""
    if len(at) <= len("2026-03-02"):
        return reader.say("Its car left on {day}.", day=at)
    return reader.say("Its car left: {when}.", when=moment_words(datetime.fromisoformat(at), reader, dated=True))


def hand_words(to: str, reader: Reader) -> str:
    """The button that hands it over."""
    return reader.say("Hand to {to}", to=to) if to else reader.say("Hand to the technician")


def with_change_words(change: str, reader: Reader) -> str:
    """That the plan takes a change to be made."""
    return reader.say("As it would be if you {change}: do that first.", change=change)


def glance_words(required: int, look: int, dropped: int, reader: Reader) -> str:
    """How much is called for."""
    parts = [reader.say_n("{n} required", "{n} required", required)]
    parts += [reader.say_n("{n} to look at first", "{n} to look at first", look)] if look else []
    parts += [reader.say_n("{n} dropped", "{n} dropped", dropped)] if dropped else []
    return ", ".join(parts)


def glance_names(reader: Reader) -> tuple[str, str, str]:
    """What the three lines at a glance are called."""
    return reader.say("calibrate"), reader.say("stands"), reader.say("people")


def then_words(places: tuple[str, ...], reader: Reader) -> str:
    """Where the car stands, one after the other."""
    return reader.say(", then ").join(places)


def step_of(number: int, count: int, what: str, reader: Reader) -> str:
    """The step that the picture shows."""
    return reader.say("{number} of {count}. {what}", number=number, count=count, what=what)


def on_the_road(reader: Reader) -> str:
    """A chapter outside the shop."""
    return reader.say("On the road")


def chapter_words(first: str, last: str, begins: str, ends: str, reader: Reader) -> str:
    """The steps of a chapter and its times."""
    if first == last:
        return reader.say("step {first}, {begins} to {ends} at the earliest", first=first, begins=begins, ends=ends)
    return reader.say(
        "steps {first} to {last}, {begins} to {ends} at the earliest", first=first, last=last, begins=begins, ends=ends
    )


def rules_words(n: int, reader: Reader) -> str:
    """The fold with every reason."""
    return reader.say("All reasons, rule by rule ({n})", n=n)


def unknown_event(event: str, reader: Reader) -> str:
    """A question about what no rule knows."""
    return reader.say("Did '{event}' touch a sensor?", event=event)


def and_more(n: int, reader: Reader) -> str:
    """Further reasons, folded."""
    return reader.say_n("and {n} more reason", "and {n} more reasons", n)


def the_road(reader: Reader) -> str:
    """Outside the shop, in a list of places."""
    return reader.say("the road")


def has_it(sensor: Ref, reader: Reader) -> str:
    """A question about a car."""
    return reader.say("Does it have this: {sensor}?", sensor=sensor)


def must_it(sensor: Ref, reader: Reader) -> str:
    """A question about a calibration."""
    return reader.say("Must this be calibrated: {sensor}?", sensor=sensor)


def nobody_looked(reader: Reader) -> str:
    """What is known of it, and what comes if it has none."""
    return reader.say("Nobody has looked. Has it none, the plan stands without it.")


def no_change_helps(reader: Reader) -> str:
    """Where nothing that was tried helps."""
    return reader.say("No single change that was tried makes room.")


def not_done_question(what: str, reader: Reader) -> str:
    """A question about what the plan leaves out."""
    return reader.say("How is this done: {what}?", what=what)


def send_out_words(undone: Undone, reader: Reader) -> str:
    """Sending it out, with time and price; "" where nobody offers it."""
    if undone.sent_out is None:
        return ""
    time, price = sent_out_figures(undone.sent_out, reader)
    return reader.say("Send it out: {time}, {price}", time=time, price=price)


def second_reader(reader: Reader) -> str:
    """A question about a card."""
    return reader.say("Who reads the card a second time?")


def not_verified(card: str, by: str, reader: Reader) -> str:
    """What hangs on the card being read again."""
    if not by:
        return reader.say("The card {card} waits for a second person to read it from its source.", card=card)
    return reader.say(
        "The card {card} waits for a second person to read it from its source: before {by} at the earliest.",
        card=card,
        by=by,
    )


def required_words(needs: tuple[Need, ...], reader: Reader) -> str:
    """What is required, in one sentence of names."""
    if not needs:
        return reader.say("Nothing is required.")
    return reader.say("Required: {sensors}.", sensors=tuple(need.ref for need in needs))


def least_room(margin_m: float, sensor: Ref, reader: Reader) -> str:
    """The least room to spare among what is required."""
    return reader.say("Least to spare: {margin:down}, {sensor}.", margin=Length(margin_m), sensor=sensor)


def spare_words(margin_m: float, reader: Reader) -> str:
    """Room to spare, short."""
    return reader.say("{margin:down} to spare", margin=Length(margin_m))


def dropped_by(by: str, reader: Reader) -> str:
    """Who decided against it."""
    return reader.say("Dropped by {by}", by=by)


def event_words(event: Event, reader: Reader) -> tuple[str, str]:
    """What was done, and what is said of it."""
    values: dict[str, Term | str] = {"where": Term(event.where)} if event.where else {}
    values |= {"part": Term(event.part)} if event.part else {}
    said = reader.reason(because("event", event=Term(event.event), **values))
    return said[:1].upper() + said[1:], reader.text(event.note)


def scan_words(findings: tuple[str, ...], reader: Reader) -> str:
    """What the scan before the repair read."""
    return reader.say("Before repair the scan read: {findings}.", findings="; ".join(findings))


def as_planned(reader: Reader) -> str:
    """The first column."""
    return reader.say("As planned")


def no_order(reader: Reader) -> str:
    """An alternative without an order."""
    return reader.say("no order was found")


def moment_at(when: datetime, answer: PlanAnswer, reader: Reader) -> str:
    """A moment of a plan."""
    return moment_words(when, reader, dated=far(when, answer.clock.begins))


def documents_words(n: int, reader: Reader) -> str:
    """How many documents it rests on."""
    return reader.say_n("{n} document", "{n} documents", n)


def fault_words(faults: Iterable[Fault], reader: Reader) -> tuple[str, ...]:
    """What is wrong with what was sent, and how it is mended; a sentence each."""
    told = (as_sentence(reader.reason(part)) for fault in faults for part in (fault.what, fault.remedy))
    return tuple(dict.fromkeys(told))


def changed_meanwhile(by: str, reader: Reader) -> str:
    """Somebody saved another version since the page was opened."""
    return reader.say("{by} changed this order since you opened it. Look at it as it is now, then send yours again.",
                      by=by)  # fmt: skip


def name_missing(reader: Reader) -> str:
    """A decision wants a name."""
    return reader.say("A decision wants a name: write yours beside it.")


def reason_missing(reader: Reader) -> str:
    """A decision wants a reason."""
    return reader.say("A decision wants a reason: write it beside it.")


def event_missing(reader: Reader) -> str:
    """An empty field."""
    return reader.say("Write what was done first.")


def car_missing(reader: Reader) -> str:
    """A new order without a car of the shop."""
    return reader.say("Choose the car: one that this shop has a document of.")


def not_to_be_handed(reader: Reader) -> str:
    """There is no plan, or an old one, or nobody to hand it to."""
    return reader.say("It was not handed over: that wants a plan that is current, and a name.")


def broken_words(reader: Reader) -> str:
    """Planning ended in a fault of the program."""
    return reader.say("Something went wrong in the program while it planned. Your documents are as they were.")
