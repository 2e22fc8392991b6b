"""The arguments and options that several commands share, and what a shell completes of them."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Annotated, Any

import typer

from standtrue.model.reader_units import Paper

VARIABLE = "_STANDTRUE_COMPLETE"
"""By this a shell asks what may be typed next; the library that reads the command line made up its form."""


def _names(kind: str) -> Callable[..., list[str]]:
    """What completes a name of this kind: those in the folder that was typed before it."""

    def complete(ctx: typer.Context, incomplete: str) -> list[str]:
        from standtrue.cli.where import where
        from standtrue.work.shop.names import names_in

        # An option that still lacks its value leaves the words before it unread.
        words = (ctx.params.get("folder"), *ctx.args)
        folder = next((Path(word) for word in words if word is not None and Path(word).is_dir()), None)
        names = [] if folder is None else names_in(folder, kind, where())
        return [name for name in names if name.startswith(incomplete)]

    return complete


def _named(option: str, kind: str) -> Any:
    return typer.Option(option, autocompletion=_names(kind), metavar="NAME")


FolderArg = Annotated[Path, typer.Argument()]
JsonOpt = Annotated[bool, typer.Option("--json")]
OutOpt = Annotated[list[Path] | None, typer.Option("--out", metavar="FILE")]
WhyOpt = Annotated[bool, typer.Option("--why")]
FailOpt = Annotated[bool, typer.Option("--fail-on-no")]
JobOpt = Annotated[str | None, _named("--job", "job")]
SetupOpt = Annotated[str | None, _named("--setup", "setup")]
SurveyOpt = Annotated[str | None, _named("--survey", "survey")]
SiteOpt = Annotated[str | None, _named("--site", "site")]
StudyOpt = Annotated[str | None, _named("--study", "study")]
MixOpt = Annotated[str | None, _named("--mix", "mix")]
VehicleOpt = Annotated[str | None, _named("--vehicle", "vehicle")]
VehiclesOpt = Annotated[list[str] | None, _named("--vehicle", "vehicle")]
CardOpt = Annotated[str | None, _named("--procedure", "procedure")]
CardsOpt = Annotated[list[str] | None, _named("--procedure", "procedure")]
BayOpt = Annotated[str | None, _named("--bay", "bay")]
LiftOpt = Annotated[str | None, _named("--lift", "lift")]
EquipmentOpt = Annotated[str | None, _named("--equipment", "equipment")]
DoorOpt = Annotated[list[str] | None, _named("--door", "door")]
PaperOpt = Annotated[Paper | None, typer.Option("--paper")]
SupportOpt = Annotated[str | None, typer.Option("--support")]
ReachOpt = Annotated[bool, typer.Option("--reach")]
