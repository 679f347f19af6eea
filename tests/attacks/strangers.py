"""Strangers on the network: slow heads, many connections, large bodies, odd hosts beside the owner."""

import socket
import time
from contextlib import ExitStack, suppress
from pathlib import Path

from tests.attacks._catalogue import Browser, catalogue
from tests.attacks._report import Report

SLOW, MANY, PATIENT_S = 18, 60, 14.0
BODY = 2_000_000
MULTIPART, ENCODED = "multipart/form-data", "application/x-www-form-urlencoded"
BAD_BASE64 = (
    b'--x\r\nContent-Disposition: form-data; name="a"\r\n'
    b"Content-Transfer-Encoding: base64\r\n\r\n!!!\r\n--x--"
)
NO_HTTP = (
    b"GARBAGE\r\n\r\n",
    b"GET / HTTP/9.9\r\n\r\n",
    b"GET /%00 HTTP/1.1\r\nHost: x\r\n\r\n",
    b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\r\n\r\n",
    b"POST / HTTP/1.1\r\nHost: x\r\nTransfer-Encoding: chunked\r\nContent-Length: 3\r\n\r\nzzz\r\n",
    b"GET / HTTP/1.1\r\nContent-Length: -1\r\n\r\n",
)


def attack(room: Path, report: Report) -> None:
    """All of it from an address of this machine that is not the loopback one, as another machine would."""
    address = _address()
    if address is None:
        report.left_out("strangers", "this machine has no address on a network")
        return
    folder = room / "catalogue"
    with catalogue(room, folder, "--lan") as (running, owner):
        port = owner.port
        owner.record("mine")
        log = folder / "siltmark.log"
        before = log.read_text()
        screen = running.log.read_text()
        _slow_heads(address, port, owner, report)
        _many(address, port, owner, report)
        _large_bodies(address, port, folder, report)
        _heads(address, port, report)
        _odd(address, port, report)
        _at_once(address, port, owner, report)
        time.sleep(1)
        told = log.read_text()[len(before) :].strip().splitlines()
        report.check(not told, "nothing of it is in the owner's log", told[:6])
        shown = running.log.read_text()[len(screen) :].strip()
        report.check(not shown, "nor on the screen", shown[:300])
        report.check(owner.get("/finds/").status == 200 and owner.record("mine too"), "the owner goes on")


def _address() -> str | None:
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe, suppress(OSError):
        # Nothing is sent: the system only says from where it would be.
        probe.connect(("198.51.100.1", 9))
        own: str = probe.getsockname()[0]
        return None if own.startswith("127.") else own
    return None


def _answer_time(owner: Browser) -> float:
    began = time.monotonic()
    status = owner.get("/finds/").status
    return time.monotonic() - began if status == 200 else 999.0


def _slow_heads(address: str, port: int, owner: Browser, report: Report) -> None:
    with ExitStack() as stack:
        slow = [stack.enter_context(socket.create_connection((address, port))) for _ in range(SLOW)]
        end, slowest = time.monotonic() + PATIENT_S, 0.0
        for each in slow:
            each.sendall(b"GET / HTTP/1.1\r\nHost: ")
        while time.monotonic() < end:
            for each in slow:
                with suppress(OSError):
                    each.sendall(b"a")
            slowest = max(slowest, _answer_time(owner))
            time.sleep(1)
        report.check(
            slowest < 5, "heads that come a letter a second: the owner is answered", f"{slowest:.1f} s"
        )
        ended = sum(_is_closed(each) for each in slow)
        report.check(ended == SLOW, "and each is dropped", f"{ended} of {SLOW} after {PATIENT_S:.0f} s")


def _is_closed(link: socket.socket) -> bool:
    link.settimeout(1)
    with suppress(OSError):
        while True:
            if link.recv(4096) == b"":
                return True
    try:
        link.sendall(b"a")
        time.sleep(0.1)
        link.sendall(b"a")
    except OSError:
        return True
    return False


def _many(address: str, port: int, owner: Browser, report: Report) -> None:
    with ExitStack() as stack:
        answered = refused = silent = 0
        links = []
        for _ in range(MANY):
            link = stack.enter_context(socket.create_connection((address, port)))
            link.settimeout(3)
            with suppress(OSError):
                link.sendall(f"GET /enter/ HTTP/1.1\r\nHost: {address}:{port}\r\n".encode())
            links.append(link)
        time.sleep(0.5)
        slowest = _answer_time(owner)
        for link in links:
            said = b""
            with suppress(OSError):
                link.sendall(b"\r\n")
                said = link.recv(4096)
            answered += said.startswith(b"HTTP/1.1 200") or said.startswith(b"HTTP/1.1 30")
            refused += b" 503 " in said[:40]
            silent += said == b""
        report.check(
            answered <= 20,
            "one address holds twenty connections at most",
            f"{answered} answered, {refused} refused, {silent} closed",
        )
        report.check(slowest < 5, "the owner is answered beside them", f"{slowest:.1f} s")


def _large_bodies(address: str, port: int, folder: Path, report: Report) -> None:
    before = sum(path.stat().st_size for path in folder.rglob("*") if path.is_file())
    statuses: list[object] = []
    for path in ("/finds/new/", "/photos/hold/", "/enter/", "/giving/", "/nothing/here/"):
        try:
            statuses.append(Browser(port, host=address).ask("POST", path, b"x" * BODY).status)
        except OSError as error:
            statuses.append(type(error).__name__)
    report.check(set(statuses) <= {413, 403, 404}, "bodies of 2 MB without a sign-in are refused", statuses)
    grown = sum(path.stat().st_size for path in folder.rglob("*") if path.is_file()) - before
    report.check(grown < 200_000, "and none is on the disk", grown)


def _heads(address: str, port: int, report: Report) -> None:
    with_body = []
    for path in (
        "/",
        "/enter/",
        "/giving/",
        "/finds/",
        "/static/common/tokens.css",
        "/nowhere/",
        "/enter/x/",
    ):
        with socket.create_connection((address, port)) as link:
            link.settimeout(5)
            link.sendall(
                f"HEAD {path} HTTP/1.1\r\nHost: {address}:{port}\r\nConnection: close\r\n\r\n".encode()
            )
            got = b""
            with suppress(OSError):
                while part := link.recv(65536):
                    got += part
        if got.partition(b"\r\n\r\n")[2]:
            with_body.append(path)
        if b" 500 " in got[:40]:
            with_body.append(f"{path} 500")
    report.check(not with_body, "HEAD carries no body", with_body)


def _odd(address: str, port: int, report: Report) -> None:
    hosts = (
        "evil.example",
        "",
        "localhost.",
        "[::1",
        "a b",
        "x" * 5000,
        "\xff\xfe",
        f"{address}@evil.example",
    )
    statuses = []
    for host in hosts:
        statuses.append(
            _raw(
                address,
                port,
                b"GET / HTTP/1.1\r\nHost: " + host.encode("latin-1") + b"\r\nConnection: close\r\n\r\n",
            )
        )
    report.check(set(statuses) <= {400, 403, 404, 431}, "hosts that are not ours are refused", statuses)
    own = f"Host: {address}:{port}\r\nConnection: close\r\n"
    bodies = {
        "multipart without a boundary": (b"abc", MULTIPART),
        "multipart with a header that never ends": (
            b"--x\r\nA: " + b"b" * 20_000,
            f"{MULTIPART}; boundary=x",
        ),
        "multipart of bad base64": (BAD_BASE64, f"{MULTIPART}; boundary=x"),
        "five thousand fields": (b"&".join(b"a%d=1" % n for n in range(5000)), ENCODED),
        "another letter set": (b"a=b", f"{ENCODED}; charset=nonsense"),
    }
    browser = Browser(port, host=address)
    browser.get("/enter/")
    cookie, token = next((each for each in browser.cookies.items() if "csrf" in each[0]), ("none", ""))
    own += f"Cookie: {cookie}={token}\r\nX-CSRFToken: {token}\r\n"
    for name, (body, kind) in bodies.items():
        told = {}
        for path in ("/enter/", "/giving/", "/photos/hold/"):
            head = f"POST {path} HTTP/1.1\r\n{own}Content-Type: {kind}\r\n"
            head += f"Content-Length: {len(body)}\r\n\r\n"
            told[path] = _raw(address, port, head.encode() + body)
        report.check(all(200 <= status < 500 for status in told.values()), name, told)
    statuses = [_raw(address, port, each) for each in NO_HTTP]
    report.check(all(status < 500 or status == 501 for status in statuses), "what is no HTTP", statuses)


def _raw(address: str, port: int, sent: bytes) -> int:
    """The status of the answer; 0 where the connection was closed without one."""
    said = b""
    with socket.create_connection((address, port)) as link, suppress(OSError):
        link.settimeout(10)
        link.sendall(sent)
        said = link.recv(200)
    word = said.split(b" ", 2)[1:2]
    return int(word[0]) if word and word[0].isdigit() else 0


def _at_once(address: str, port: int, owner: Browser, report: Report) -> None:
    """More requests at once than there are threads, each hung up on before it is answered."""
    slowest = 0.0
    for _ in range(6):
        links = []
        for _ in range(20):
            with suppress(OSError):
                link = socket.create_connection((address, port), timeout=3)
                link.sendall(f"GET /giving/ HTTP/1.1\r\nHost: {address}:{port}\r\n\r\n".encode() * 3)
                links.append(link)
        slowest = max(slowest, _answer_time(owner))
        for link in links:
            link.close()
    report.check(
        slowest < 8, "twenty connections that ask and hang up: the owner is answered", f"{slowest:.1f} s"
    )
