"""What a stranger may send and hold, decided from a request's head; over real sockets."""

import http.client
import socket
import threading
import time
from contextlib import ExitStack, contextmanager

import pytest
from waitress.adjustments import Adjustments
from waitress.server import create_server

from catalogue.access.middleware import known_sessions
from catalogue.access.startup import channel
from catalogue.access.startup.channel import HeadDecidesParser

HEAD = b"POST /x/ HTTP/1.1\r\nHost: a\r\nContent-Length: %d\r\n%s\r\n"


@pytest.fixture
def cookie(settings) -> bytes:
    """The line by which a signed-in browser names its session."""
    known_sessions.replace({"abcdef"})
    yield f"Cookie: theme=dark; {settings.SESSION_COOKIE_NAME}=abcdef\r\n".encode()
    known_sessions.replace(set())


def parsed(head: bytes) -> HeadDecidesParser:
    parser = HeadDecidesParser(Adjustments(max_request_body_size=4 * 1024**3))
    parser.received(head)
    return parser


def test_a_strangers_large_body_is_refused_at_its_head(cookie):
    most, far_too_much = channel.STRANGER_BODY_BYTES, channel.DISCARDED_BYTES + 1
    assert parsed(HEAD % (far_too_much, b"")).error.code == 413
    assert parsed(HEAD % (far_too_much, b"")).completed
    assert parsed(HEAD % (most - 1, b"")).error is None
    assert parsed(HEAD % (most, cookie.replace(b"abcdef", b"forged"))).error.code == 413
    waiting = parsed(HEAD % (most, b"Expect: 100-continue\r\n"))
    assert waiting.completed and not waiting.expect_continue


def test_a_body_somewhat_too_large_is_read_past_and_answered():
    """Nothing of it is kept, and what follows it on the connection is another request."""
    length = channel.STRANGER_BODY_BYTES + 5
    parser = parsed(HEAD % (length, b""))
    assert not parser.completed
    assert parser.received(b"x" * (length - 3)) == length - 3 and not parser.completed
    assert parser.received(b"xxxGET / HTTP/1.1") == 3 and parser.completed
    assert parser.error.code == 413 and len(parser.get_body_stream().read()) == 0
    parser.close()


def test_what_is_too_large_is_answered_by_a_page():
    status, headers, body = parsed(HEAD % (channel.DISCARDED_BYTES + 1, b"")).error.to_response()
    assert status.startswith("413 ") and ("Content-Type", "text/html; charset=utf-8") in headers
    assert b"<h1>That was too large to take in</h1>" in body


def test_the_owners_large_body_is_taken(cookie):
    assert parsed(HEAD % (2 * 1024**3, cookie)).error is None


def test_a_body_in_chunks_ends_at_the_same_limit(cookie):
    """Without a length in the head, what has come is counted."""
    head = b"POST /x/ HTTP/1.1\r\nHost: a\r\nTransfer-Encoding: chunked\r\n%s\r\n"
    chunk = b"40000\r\n" + b"x" * 0x40000 + b"\r\n"
    stranger, owner = parsed(head % b""), parsed(head % cookie)
    for _ in range(5):
        stranger.received(chunk)
        owner.received(chunk)
    assert stranger.error.code == 413 and owner.error is None
    stranger.close()
    owner.close()


def test_sign_ins_and_sign_outs_are_followed(client, owner, settings):
    def known() -> bool:
        return known_sessions.is_signed_in(client.cookies.output(header="", sep=";"))

    known_sessions.replace(set())
    client.force_login(owner)
    assert known()
    client.logout()
    assert not known()


def test_a_session_that_memory_lost_is_known_again_by_the_first_page_it_is_shown(client, owner):
    """Forgotten as when a catalogue is put back under a server that runs; a stranger's is never known."""

    def known() -> bool:
        return known_sessions.is_signed_in(client.cookies.output(header="", sep=";"))

    client.force_login(owner)
    known_sessions.replace(set())
    client.get("/giving/")
    assert known()
    client.logout()
    client.get("/giving/")
    assert not known()


@contextmanager
def serving(connected: dict | None = None):
    """Our channel on a socket, answering every request with the length of its body.

    `connected` is filled with what the server watches: its listening socket and its channels.
    """
    connected = {} if connected is None else connected

    def answers(environ, start_response):
        start_response("200 OK", [("Content-Type", "text/plain")])
        return [str(len(environ["wsgi.input"].read())).encode()]

    listener = socket.socket()
    listener.bind(("127.0.0.1", 0))
    listener.listen(64)
    server = create_server(answers, map=connected, sockets=[listener], threads=2)
    server.channel_class = channel.LimitedChannel
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    try:
        yield listener.getsockname()
    finally:
        open_ones = list(connected.values())
        connected.clear()  # the server's loop ends where it has nothing left to watch
        thread.join(5)
        server.task_dispatcher.shutdown()
        for each in open_ones:
            each.close()


def closed(connection: socket.socket, within_s: float) -> bool:
    connection.settimeout(within_s)
    try:
        return connection.recv(1) == b""
    except TimeoutError:
        return False
    except OSError:
        return True


def test_an_incomplete_head_is_dropped_and_an_idle_browser_is_not(monkeypatch):
    monkeypatch.setattr(channel, "HEAD_SECONDS", 0.3)
    with serving() as address:
        slow, silent, browser = (socket.create_connection(address) for _ in range(3))
        slow.sendall(b"GET / HTTP/1.1\r\nHost: x")
        assert answered(browser) == b"HTTP/1.1 200"
        time.sleep(0.4)
        assert closed(slow, 5) and closed(silent, 5)
        assert answered(browser) == b"HTTP/1.1 200"
        for each in (slow, silent, browser):
            each.close()


ASK = b"GET / HTTP/1.1\r\nHost: x\r\n\r\n"


def answered(connection: socket.socket) -> bytes:
    """The first words of an answer read whole: its body may come in a packet of its own."""
    connection.sendall(ASK)
    connection.settimeout(10)
    answer = http.client.HTTPResponse(connection)
    answer.begin()
    answer.read()
    return f"HTTP/1.1 {answer.status}".encode()


def wait_until_served(connected: dict) -> None:
    """An answer is read before the server has put its request away and noted when: only then is it idle."""
    (dispatcher,) = [each.task_dispatcher for each in connected.values() if hasattr(each, "task_dispatcher")]
    until = time.monotonic() + 30
    while dispatcher.active_count or dispatcher.queue:
        assert time.monotonic() < until, "the server never put its request away"
        time.sleep(0.01)


def test_the_longest_idle_one_makes_room_for_a_new_one(monkeypatch):
    monkeypatch.setattr(channel, "OWN_MACHINE_CONNECTIONS", 3)
    monkeypatch.setattr(channel, "IDLE_SECONDS", 0.0)
    connected: dict = {}
    with serving(connected) as address, ExitStack() as at_the_end:
        held = [at_the_end.enter_context(socket.create_connection(address)) for _ in range(3)]
        for each in held:
            assert answered(each) == b"HTTP/1.1 200"
            wait_until_served(connected)
        more = at_the_end.enter_context(socket.create_connection(address))
        assert answered(more) == b"HTTP/1.1 200"
        assert closed(held[0], 5)
        assert answered(held[1]) == answered(held[2]) == b"HTTP/1.1 200"


def test_half_open_ones_of_one_address_leave_room_for_nobody_else_of_it(monkeypatch):
    """With every place taken by an unfinished head, a few more are told so and the rest closed unheard."""
    monkeypatch.setattr(channel, "OWN_MACHINE_CONNECTIONS", 2)
    monkeypatch.setattr(channel, "REFUSED_POLITELY", 1)
    with serving() as address, ExitStack() as at_the_end:
        half = [at_the_end.enter_context(socket.create_connection(address)) for _ in range(2)]
        for each in half:
            each.sendall(ASK[:10])
        time.sleep(0.1)
        told, unheard = (at_the_end.enter_context(socket.create_connection(address)) for _ in range(2))
        assert closed(unheard, 5)
        assert answered(told) == b"HTTP/1.1 503"
        half[0].sendall(ASK[10:])
        assert half[0].recv(4000).startswith(b"HTTP/1.1 200")


def test_a_signed_in_browser_counts_against_nobody(cookie, monkeypatch):
    monkeypatch.setattr(channel, "OWN_MACHINE_CONNECTIONS", 1)
    with serving() as address, ExitStack() as at_the_end:
        for _ in range(4):
            own = at_the_end.enter_context(socket.create_connection(address))
            own.sendall(b"GET / HTTP/1.1\r\nHost: x\r\n" + cookie + b"\r\n")
            assert own.recv(4000).startswith(b"HTTP/1.1 200")
        stranger = at_the_end.enter_context(socket.create_connection(address))
        assert answered(stranger) == b"HTTP/1.1 200"


def test_the_figures_of_a_strange_address():
    assert (channel.STRANGER_BODY_BYTES, channel.STRANGER_CONNECTIONS, channel.HEAD_SECONDS) == (
        10**6,
        20,
        10,
    )
