"""What a stranger may send and hold, decided from a request's head; over real sockets."""

import socket
import threading
import time
from contextlib import contextmanager
from types import SimpleNamespace

import pytest
from waitress import wasyncore
from waitress.adjustments import Adjustments
from waitress.server import create_server

from catalogue.access import known_sessions
from catalogue.access.startup import channel
from catalogue.access.startup.channel import HeadDecidesParser, has_room_for

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
    too_much = channel.STRANGER_BODY_BYTES
    assert parsed(HEAD % (too_much, b"")).error.code == 413
    assert parsed(HEAD % (too_much, b"")).completed
    assert parsed(HEAD % (too_much - 1, b"")).error is None
    assert parsed(HEAD % (too_much, cookie.replace(b"abcdef", b"forged"))).error.code == 413


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


def test_a_strange_address_has_twenty_connections_and_this_machine_more():
    def from_address(address: str, count: int) -> list:
        return [SimpleNamespace(address=address)] * count

    near, far = "127.0.0.1", "192.168.7.9"
    assert has_room_for(far, others=from_address(far, 19))
    assert not has_room_for(far, others=from_address(far, 20))
    assert has_room_for(far, others=from_address("192.168.7.10", 200))
    assert has_room_for(near, others=from_address(near, 140))


@contextmanager
def serving():
    """Our channel on a socket, answering every request with the length of its body."""

    def answers(environ, start_response):
        start_response("200 OK", [("Content-Type", "text/plain")])
        return [str(len(environ["wsgi.input"].read())).encode()]

    connected: dict = {}
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
        server.task_dispatcher.shutdown()
        wasyncore.close_all(connected, ignore_all=True)
        thread.join(5)


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
        browser.sendall(b"GET / HTTP/1.1\r\nHost: x\r\n\r\n")
        assert browser.recv(4000).startswith(b"HTTP/1.1 200")
        time.sleep(0.4)
        assert closed(slow, 5) and closed(silent, 5)
        browser.sendall(b"GET / HTTP/1.1\r\nHost: x\r\n\r\n")
        assert browser.recv(4000).startswith(b"HTTP/1.1 200")
        for each in (slow, silent, browser):
            each.close()


def test_one_connection_too_many_is_closed_and_the_others_stay(monkeypatch):
    monkeypatch.setattr(channel, "OWN_MACHINE_CONNECTIONS", 3)
    with serving() as address:
        held = [socket.create_connection(address) for _ in range(3)]
        for each in held:
            each.sendall(b"GET / HTTP/1.1\r\nHost: x\r\n\r\n")
            assert each.recv(4000).startswith(b"HTTP/1.1 200")
        more = socket.create_connection(address)
        assert closed(more, 5)
        held[0].sendall(b"GET / HTTP/1.1\r\nHost: x\r\n\r\n")
        assert held[0].recv(4000).startswith(b"HTTP/1.1 200")
        for each in (*held, more):
            each.close()
