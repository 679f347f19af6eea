"""The server's connections (channels): what a stranger may send and hold is decided from a request's head.

Without a sign-in a body may have 1 MB, an address 20 connections, and a head ten seconds to arrive; so a
stranger on the network can neither fill the disk nor keep the owner out.
"""

import select
import time
from typing import Any

from django.template.loader import render_to_string
from waitress.channel import HTTPChannel
from waitress.parser import HTTPRequestParser
from waitress.utilities import Error, RequestEntityTooLarge

from catalogue.access.middleware import known_sessions
from catalogue.access.startup.network import is_own_machine

# Our own figures. A visitor's largest form asks for a piece, a few thousand bytes; a browser opens six
# connections to a host; a head takes one packet.
STRANGER_BODY_BYTES = 1_000_000
DISCARDED_BYTES = 4_000_000
STRANGER_CONNECTIONS = 20
REFUSED_POLITELY = 40
OWN_MACHINE_CONNECTIONS = 400
ALL_CONNECTIONS = 800
HEAD_SECONDS = 10.0
# A browser that has just been answered is likely to go on where it is.
IDLE_SECONDS = 2.0
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


class BodyTooLarge(RequestEntityTooLarge):  # type: ignore[misc]  # waitress has no types
    """The answer to a body that is too large, as a page like any other; made without the database."""

    def to_response(self, ident: str | None = None) -> tuple[str, list[tuple[str, str]], bytes]:
        """Status, headers and body."""
        page = render_to_string("pages/errors/413.html")
        headers = [
            ("Content-Type", "text/html; charset=utf-8"),
            ("Content-Security-Policy", "default-src 'self'"),
        ]
        return f"{self.code} {self.reason}", headers, page.encode()


class HeadDecidesParser(HTTPRequestParser):  # type: ignore[misc]  # waitress has no types
    """A request whose body may be large only where its head names a session that is signed in."""

    adj: Any
    error: Any
    expect_continue: bool
    signed_in = False
    to_discard = 0

    def received(self, data: bytes) -> int:
        """Take in what came; a body that is only somewhat too large is read past, so that its answer arrives.

        Closed at once, the connection would be reset while the browser still sends, and the sentence lost.
        """
        if self.to_discard:
            taken = min(len(data), self.to_discard)
            self.to_discard -= taken
            self.completed = not self.to_discard
            return taken
        consumed: int = super().received(data)
        if isinstance(self.error, RequestEntityTooLarge):
            self.error = BodyTooLarge(self.error.body)
        if isinstance(self.error, RequestEntityTooLarge) and not self.body_bytes_received:
            if self.expect_continue:
                self.expect_continue = False
            elif self.content_length <= DISCARDED_BYTES:
                self.to_discard, self.completed = self.content_length, False
        return consumed

    def parse_header(self, header_plus: bytes) -> None:
        """Read the head, then set the limit that the rest of the request is measured by."""
        super().parse_header(header_plus)
        self.signed_in = known_sessions.is_signed_in(self.headers.get("COOKIE", ""))
        if not self.signed_in:
            self.adj = StrangersLimits(self.adj)


class TooManyConnections(Error):  # type: ignore[misc]  # waitress has no types
    """The answer to a connection beyond what an address may hold."""

    code = 503
    reason = "Service Unavailable"


class RefusingParser(HeadDecidesParser):
    """A request that is answered by 503 as soon as its head is read."""

    def received(self, data: bytes) -> int:
        """Take in the head and nothing after it."""
        consumed = super().received(data)
        if self.headers_finished:
            self.error, self.completed = TooManyConnections("too many connections from your address"), True
        return consumed


class LimitedChannel(HTTPChannel):  # type: ignore[misc]  # waitress has no types
    """One connection; a stranger's counts against its address and must soon say what it wants.

    Where an address has as many as it may, its longest idle one makes room; where none is idle, a few more
    are told so (503), and beyond them connections are closed unheard.
    """

    will_close: bool
    parser_class: type[HeadDecidesParser] = HeadDecidesParser

    def __init__(self, server: Any, sock: Any, addr: Any, adj: Any, map: Any = None) -> None:
        super().__init__(server, sock, addr, adj, map=map)
        self.signed_in = self.refusing = False
        self.head_awaited_since: float | None = time.monotonic()
        self.make_room()

    @property
    def address(self) -> str:
        """The address of the other end."""
        return str(self.addr[0]) if self.addr else ""

    @property
    def is_idle(self) -> bool:
        """Whether it has been answered and has asked for nothing for a while."""
        quiet = time.time() - self.last_activity > IDLE_SECONDS
        return quiet and self.head_awaited_since is None and self.request is None and not self.requests

    def make_room(self) -> None:
        """See that the address holds no more than it may, this connection included."""
        strangers = [
            each
            for each in list(self.server.active_channels.values())
            if each is not self
            and isinstance(each, LimitedChannel)
            and each.address == self.address
            and not (each.signed_in or each.will_close)
        ]
        most = OWN_MACHINE_CONNECTIONS if is_own_machine(self.address) else STRANGER_CONNECTIONS
        heard = [each for each in strangers if not each.refusing]
        if len(heard) < most:
            return
        idle = min(
            (each for each in heard if each.is_idle), key=lambda each: each.last_activity, default=None
        )
        if idle is not None:
            idle.will_close = True
        elif len(strangers) - len(heard) < REFUSED_POLITELY:
            self.refusing, self.parser_class = True, RefusingParser
        else:
            self.will_close = True

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
