"""The command of a card's life."""

from __future__ import annotations

from datetime import date
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer
from attrs import evolve

from standtrue.cli import output
from standtrue.cli.files import asked_files
from standtrue.cli.giving import give
from standtrue.cli.interrupt import unbroken
from standtrue.cli.options import FailOpt, FolderArg, JobOpt, JsonOpt, OutOpt, WhyOpt
from standtrue.cli.reader import reader
from standtrue.cli.where import by as whoever
from standtrue.cli.where import open_shop, where
from standtrue.model.basics import Fault, UnansweredError
from standtrue.model.reason import because
from standtrue.model.shop import Shop
from standtrue.show.answers.cards import of_cards
from standtrue.show.answers.kept import said_of
from standtrue.show.words.cards import card_told
from standtrue.show.words.preference import from_environment, from_settings
from standtrue.work.card.editions import remember, supersede
from standtrue.work.card.kept import Keeper
from standtrue.work.card.life import CardsAnswer, compare_cards, list_cards, refused
from standtrue.work.card.second import make_blank, read_second


class Action(StrEnum):
    """What is asked of cards."""

    LIST = "list"
    BLANK = "blank"
    SECOND = "second"
    COMPARE = "compare"
    SUPERSEDE = "supersede"
    PLANNED = "planned"


TAKES = {Action.BLANK: "CARD", Action.SECOND: "CARD", Action.COMPARE: "OLD NEW", Action.SUPERSEDE: "OLD NEW"}
"""Which cards are named behind the folder; none for the others."""


def add_to(app: typer.Typer) -> None:
    """Add the command to the program."""
    app.command()(card)


def card(  # one parameter an option
    action: Annotated[Action, typer.Argument()],
    folder: FolderArg,
    cards: Annotated[list[str] | None, typer.Argument(metavar="CARD")] = None,
    reading: Annotated[Path | None, typer.Option("--reading", metavar="FILE")] = None,
    by: Annotated[str | None, typer.Option("--by", metavar="NAME")] = None,
    job: JobOpt = None,
    out: OutOpt = None,
    why: WhyOpt = False,
    fail_on_no: FailOpt = False,
    json: JsonOpt = False,
) -> None:
    """The life of cards: how far each is to be trusted, a second reading, editions side by side."""
    names = _named(action, cards or [])
    shop = open_shop(folder)
    who = reader(shop)
    if action is Action.BLANK:
        _give_blank(folder, make_blank(shop, names[0]), out or [])
        return
    files = asked_files(out)
    with unbroken():
        answer = _answer(action, folder, shop, names, reading, by, job)
    give(
        lambda: card_told(answer, who),
        answer.basis,
        who,
        shape=lambda: of_cards(answer),
        json=json,
        files=files,
        why=why,
    )
    output.end(no=answer.differs or (fail_on_no and bool(answer.differences)), unsure=False)


def _named(action: Action, cards: list[str]) -> list[str]:
    """The cards that an action takes. Raises UnansweredError for more or fewer."""
    form = TAKES.get(action, "")
    if len(cards) == len(form.split()):
        return cards
    what = {2: "name-two-cards", 1: "name-one-card", 0: "name-no-card"}[len(form.split())]
    remedy = because("name-cards-so", action=action.value, form=form)
    raise UnansweredError([Fault("name-missing", because(what), "", "cards", " ".join(cards), remedy)])


def _answer(
    action: Action, folder: Path, shop: Shop, names: list[str], reading: Path | None, by: str | None, job: str | None
) -> CardsAnswer:
    keeper = Keeper(folder, where(), by or whoever(), lambda one: said_of(of_cards(one)))
    if action is Action.SECOND:
        if reading is None:
            raise refused("name-missing", "reading-missing", "give-reading", field="--reading")
        who = by or from_environment().by or from_settings().by
        return read_second(evolve(keeper, by=who or ""), shop, names[0], reading, who, date.today())
    if action is Action.COMPARE:
        return compare_cards(shop, *names)
    if action is Action.SUPERSEDE:
        return supersede(keeper, shop, *names)
    if action is Action.PLANNED:
        return remember(keeper, shop, job)
    return list_cards(shop)


def _give_blank(folder: Path, answer: CardsAnswer, out: list[Path]) -> None:
    """Write the form into files outside the shop folder, or print it: nothing beside it, since all else is a value."""
    for file in out:
        if file.resolve().is_relative_to(folder.resolve()):
            raise refused("inside-shop", "out-in-shop", "out-elsewhere", field="--out", value=str(file))
    faults = [fault for file in out if (fault := output.write_file(file, answer.form)) is not None]
    if faults:
        raise UnansweredError(faults)
    if out:
        output.tell_all(str(file) for file in out)
    else:
        output.print_text(answer.form)
