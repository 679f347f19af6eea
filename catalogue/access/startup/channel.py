"""The server's connections (channels): what a stranger may send and hold is decided from a request's head.

Without a sign-in a body may have 1 MB, an address 20 connections, and a head ten seconds to arrive; so a
stranger on the network can neither fill the disk nor keep the owner out.
"""

import select
import time
from collections.abc import Iterable
from typing import Any

from waitress.channel import HTTPChannel
from waitress.parser import HTTPRequestParser

from catalogue.access import known_sessions
from catalogue.access.startup.network import is_own_machine

# Our own figures. A visitor's largest form asks for a piece, a few thousand bytes; a browser opens six
# connections to a host; a head takes one packet.
STRANGER_BODY_BYTES = 1_000_000
STRANGER_CONNECTIONS = 20
OWN_MACHINE_CONNECTIONS = 400
ALL_CONNECTIONS = 800
HEAD_SECONDS = 10.0
# Where the system has no poll (Windows), select takes 512 at most.
USE_POLL = hasattr(select, "poll")
CONNECTION_LIMIT = ALL_CONNECTIONS if USE_POLL else 400


class StrangersLimits:
    """The server's adjustments, but for the size of a body."""

    max_request_body_size = STRANGER_BODY_BYTES

    def __init__(self, adjustments: Any) -> None:
        self._adjustments = adjustments

    def __getattr__(self, name: str) -> Any:
        return getattr(self._adjustments, name)


class HeadDecidesParser(HTTPRequestParser):
    """A request whose body may be large only where its head names a session that is signed in."""

    signed_in = False

    def parse_header(self, header_plus: bytes) -> None:
        """Read the head, then set the limit that the rest of the request is measured by."""
        super().parse_header(header_plus)
        self.signed_in = known_sessions.is_signed_in(self.headers.get("COOKIE", ""))
        if not self.signed_in:
            self.adj = StrangersLimits(self.adj)


class LimitedChannel(HTTPChannel):
    """One connection; a stranger's counts against its address and must soon say what it wants."""

    parser_class = HeadDecidesParser

    def __init__(self, server: Any, sock: Any, addr: Any, adj: Any, map: Any = None) -> None:
        super().__init__(server, sock, addr, adj, map=map)
        self.signed_in = False
        self.head_awaited_since: float | None = time.monotonic()
        if not has_room_for(self.address, others=(each for each in self.others() if not each.signed_in)):
            self.will_close = True

    @property
    def address(self) -> str:
        """The address of the other end."""
        return str(self.addr[0]) if self.addr else ""

    def others(self) -> Iterable["LimitedChannel"]:
        """The other open connections."""
        channels = list(self.server.active_channels.values())
        return (each for each in channels if each is not self and isinstance(each, LimitedChannel))

    def received(self, data: bytes) -> bool:
        """Take in what came, and note since when a head is incomplete."""
        if self.request is None and self.head_awaited_since is None:
            self.head_awaited_since = time.monotonic()
        went_on: bool = super().received(data)
        reading = self.request
        if reading is None or reading.headers_finished:
            self.head_awaited_since = None
        for request in [*self.requests, *([reading] if reading else [])]:
            self.signed_in = self.signed_in or request.signed_in
        return went_on

    def readable(self) -> bool:
        """Asked in each round of the server: the place to give up on a head that does not come."""
        awaited = self.head_awaited_since
        if awaited is not None and not self.requests and time.monotonic() - awaited > HEAD_SECONDS:
            self.will_close = True
        return bool(super().readable())


def has_room_for(address: str, *, others: Iterable[LimitedChannel]) -> bool:
    """Whether one more connection of strangers from an address is taken, with the `others` that are open."""
    most = OWN_MACHINE_CONNECTIONS if is_own_machine(address) else STRANGER_CONNECTIONS
    return sum(each.address == address for each in others) < most
