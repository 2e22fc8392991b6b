"""A machine that gets another address while it serves: what it shows and by which names it is called goes along."""

from __future__ import annotations

import ssl
import threading
from collections.abc import Callable

from attrs import define, field

from standtrue.model.basics import UnansweredError
from standtrue.web.names import Name, own_names, routed
from standtrue.web.network import Network, moved
from standtrue.web.state import State

LOOKED_S = 10.0
"""How often it looks, seconds. Nothing is sent for that."""


@define(eq=False)
class Follower:
    """Looks now and then by which address this machine is reached; `tell` of another one.

    The names from before stay: a machine that changes to and fro between two networks is reached by both.
    """

    state: State
    network: Network
    tell: Callable[[Network], None]
    _known: frozenset[Name] = field(init=False)

    def __attrs_post_init__(self) -> None:
        self._known = self.network.names

    def begin(self, tls: ssl.SSLContext) -> None:
        """Look from now on, beside whoever serves, for as long as that runs."""
        threading.Thread(target=self._follow, args=(tls,), name="addresses", daemon=True).start()

    def look(self, tls: ssl.SSLContext) -> None:
        """Look once: whoever comes by a new address from now on is shown a certificate for it."""
        found = routed()
        if found <= self._known or self.network.folder is None:
            return
        network = moved(self.network, own_names() | found)
        tls.load_cert_chain(network.tls.certificate, network.tls.key)
        self.state.hosts, self.state.authority = network.hosts, network.authority
        self._known |= found
        if network.address != self.network.address:
            self.tell(network)
        self.network = network

    def _follow(self, tls: ssl.SSLContext) -> None:
        ends = threading.Event()
        while not ends.wait(LOOKED_S):
            try:
                self.look(tls)
            except (OSError, UnansweredError):  # the disk is full, say: the next look tries again
                continue
