"""The command that serves the app."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import Annotated

import typer

from standtrue.cli import output
from standtrue.cli.options import FolderArg
from standtrue.cli.reader import reader
from standtrue.cli.where import by, where
from standtrue.model.basics import Fault, UnansweredError
from standtrue.model.reason import because
from standtrue.show.words.command_line import port_taken, served_at


def add_to(app: typer.Typer) -> None:
    """Add the command to the program."""
    app.command()(serve)


def serve(
    folder: FolderArg,
    port: Annotated[int | None, typer.Option("--port", min=1, max=65535)] = None,
    as_of: Annotated[datetime | None, typer.Option("--as-of", formats=["%Y-%m-%dT%H:%M"], metavar="DAYTIME")] = None,
) -> None:
    """Serve the app from this machine, for this machine, until Ctrl-C."""
    from standtrue.show.answers.exchange import of_taken_in
    from standtrue.show.answers.kept import said_of
    from standtrue.web.app import make_app  # what a server takes is loaded for a server only
    from standtrue.web.serving import LOOPBACK, PORT, free_socket
    from standtrue.web.serving import serve as run
    from standtrue.web.state import State
    from standtrue.work.served import serve_folder

    served = serve_folder(folder, where(), by(), lambda one: said_of(of_taken_in(one)))
    served.shop()  # so that the first page does not wait for it
    wanted = port or PORT
    try:
        own, found = free_socket(LOOPBACK, wanted)
    except OSError as error:
        what, remedy = because("port-taken", port=wanted), because("name-free-port", option="--port")
        raise UnansweredError([Fault("port-taken", what, "", "--port", str(wanted), remedy)]) from error
    if found != wanted:
        output.tell(port_taken(wanted, found, reader()))
    state = State(served, by=by()) if as_of is None else State(served, by=by(), now=_clock_from(as_of))
    run(make_app(state), own, lambda: output.tell(served_at(f"http://{LOOPBACK}:{found}/", reader())))


def _clock_from(at: datetime) -> Callable[[], datetime]:
    """A clock that showed `at` when the app was begun, and runs on."""
    begun, shown = datetime.now().astimezone(), at.astimezone()
    return lambda: shown + (datetime.now().astimezone() - begun)
