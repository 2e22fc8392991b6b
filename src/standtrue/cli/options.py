"""The arguments and options that several commands share."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from standtrue.model.reader_units import System

FolderArg = Annotated[Path, typer.Argument(help="The shop folder: documents as .toml or .json files.")]
JsonOpt = Annotated[bool, typer.Option("--json", help="Answer as one JSON object on standard output.")]
UnitsOpt = Annotated[System, typer.Option("--units", help="metric or us: the units of tables and pictures.")]
JobOpt = Annotated[str | None, typer.Option("--job", help="The job's name. May be left out if there is only one.")]
SvgOpt = Annotated[
    Path | None, typer.Option("--svg", help="Draw the answer into this file; several answers get a file each.")
]
SetupOpt = Annotated[
    str | None, typer.Option("--setup", help="The set-up's name. May be left out if there is only one.")
]
SiteOpt = Annotated[str | None, typer.Option("--site", help="The site's name.")]
VehicleOpt = Annotated[str | None, typer.Option("--vehicle", help="The car's name.")]
ReachOpt = Annotated[bool, typer.Option("--reach", help="Also whether the car can be driven there from a door.")]
DoorOpt = Annotated[list[str] | None, typer.Option("--door", help="With --reach: from this door. Any if left out.")]
