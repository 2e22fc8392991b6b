"""The command that serves the app."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from standtrue.cli import output
from standtrue.cli.options import FolderArg
from standtrue.cli.reader import reader
from standtrue.cli.where import by, where
from standtrue.model.basics import Fault, UnansweredError
from standtrue.model.reason import because
from standtrue.show.words.command_line import address_moved, network_lines, port_taken, served_at

if TYPE_CHECKING:
    from standtrue.web.network import Network
    from standtrue.work.served import Served


def add_to(app: typer.Typer) -> None:
    """Add the command to the program."""
    app.command()(serve)


def serve(  # long: one parameter for each option
    folder: FolderArg,
    port: Annotated[int | None, typer.Option("--port", min=1, max=65535)] = None,
    network: Annotated[bool, typer.Option("--network")] = False,
    host: Annotated[list[str] | None, typer.Option("--host", metavar="NAME")] = None,
    certificate: Annotated[Path | None, typer.Option("--certificate", metavar="FILE")] = None,
    key: Annotated[Path | None, typer.Option("--key", metavar="FILE")] = None,
    as_of: Annotated[datetime | None, typer.Option("--as-of", formats=["%Y-%m-%dT%H:%M"], metavar="DAYTIME")] = None,
) -> None:
    """Serve the app from this machine, for this machine, until Ctrl-C; with --network for the shop's tablets, too."""
    from standtrue.show.answers.exchange import of_taken_in  # what a server takes is loaded for a server only
    from standtrue.show.answers.kept import said_of
    from standtrue.web.app import make_app
    from standtrue.web.moving import Follower
    from standtrue.web.serving import LOOPBACK, PORT, free_socket
    from standtrue.web.serving import serve as run
    from standtrue.web.state import State
    from standtrue.work.served import serve_folder

    if not network and (host or certificate or key):
        what, remedy = because("network-not-asked"), because("ask-network", option="--network")
        raise UnansweredError([Fault("network-not-asked", what, "", "--network", "", remedy)])
    served = serve_folder(folder, where(), by(), lambda one: said_of(of_taken_in(one)))
    served.shop()  # so that the first page does not wait for it
    state = State(served) if as_of is None else State(served, now=_clock_from(as_of))
    wanted = port or PORT
    try:
        if network:
            over = _on_network(served, wanted, host or [], certificate, key)
            own, found, tls = over.listens, over.port, over.tls
            state.hosts, state.sign_in, state.authority = over.hosts, True, over.authority
            lines = _network_lines(over, served, state.now())
            follow = Follower(state, over, lambda now: output.tell_all(_moved_lines(now))).begin
        else:
            own, found = free_socket(LOOPBACK, wanted)
            tls, follow, lines = None, None, (served_at(f"http://{LOOPBACK}:{found}/", reader()),)
    except OSError as error:
        what, remedy = because("port-taken", port=wanted), because("name-free-port", option="--port")
        raise UnansweredError([Fault("port-taken", what, "", "--port", str(wanted), remedy)]) from error
    if found != wanted:
        output.tell(port_taken(wanted, found, reader()))
    run(make_app(state), own, lambda: output.tell_all(lines), tls, follow)


def _on_network(served: Served, port: int, hosts: list[str], certificate: Path | None, key: Path | None) -> Network:
    """The socket and the certificate. The keys lie in the shop's folder."""
    from standtrue.web.network import on_network

    folder = served.folder if served.folder.is_dir() else served.folder.parent
    return on_network(folder, port, hosts, certificate, key)


def _network_lines(over: Network, served: Served, now: datetime) -> tuple[str, ...]:
    """How a tablet gets here, and how the first owner signs up."""
    from standtrue.work.accounts.entering import first_code

    return tuple(network_lines(over.address, _steps(over), first_code(served.store, now), reader()))


def _moved_lines(over: Network) -> tuple[str, ...]:
    """How a tablet gets here from now on."""
    return (address_moved(over.address, reader()), *network_lines(over.address, _steps(over), None, reader()))


def _steps(over: Network) -> tuple[str, str, str] | None:
    from standtrue.show.pages.settings import address_lines

    told, steps = over.authority, f"{over.address}trust"
    return None if told is None else (steps, told.digest, address_lines(steps))


def _clock_from(at: datetime) -> Callable[[], datetime]:
    """A clock that showed `at` when the app was begun, and runs on."""
    begun, shown = datetime.now().astimezone(), at.astimezone()
    return lambda: shown + (datetime.now().astimezone() - begun)
