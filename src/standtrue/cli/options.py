"""The arguments and options that several commands share."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

FolderArg = Annotated[Path, typer.Argument()]
JsonOpt = Annotated[bool, typer.Option("--json")]
JobOpt = Annotated[str | None, typer.Option("--job")]
OutOpt = Annotated[list[Path] | None, typer.Option("--out", metavar="FILE")]
SetupOpt = Annotated[str | None, typer.Option("--setup")]
SiteOpt = Annotated[str | None, typer.Option("--site")]
VehicleOpt = Annotated[str | None, typer.Option("--vehicle")]
ReachOpt = Annotated[bool, typer.Option("--reach")]
DoorOpt = Annotated[list[str] | None, typer.Option("--door")]
FailOpt = Annotated[bool, typer.Option("--fail-on-no")]
