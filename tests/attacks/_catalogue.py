"""A catalogue in a process of its own, a browser of the standard library, and a look at its rows."""

import contextlib
import hashlib
import http.client
import io
import re
import secrets
import sqlite3
import urllib.parse
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from PIL import Image

from tests.posted import forms_in
from tests.running import STORE, Running, start

ENDS = {"JPEG": "jpg", "PNG": "png", "WEBP": "webp", "TIFF": "tif", "HEIF": "heic"}
Picture = tuple[str, bytes]


@dataclass
class Answer:
    """What came back."""

    status: int
    headers: dict[str, str]
    body: bytes

    @property
    def text(self) -> str:
        return self.body.decode("utf-8", "replace")

    @property
    def location(self) -> str:
        return self.headers.get("location", "")


@dataclass
class Browser:
    """One window: keeps cookies, follows nothing."""

    port: int
    cookies: dict[str, str] = field(default_factory=dict)
    host: str = "127.0.0.1"
    patience_s: float = 120
    # From which address of this machine it asks; empty: as the system has it.
    source: str = ""

    def window(self) -> "Browser":
        """Another window of the same browser, to be used in another thread."""
        return Browser(self.port, dict(self.cookies), self.host, self.patience_s, self.source)

    def ask(self, method: str, path: str, body: bytes | None = None, **headers: str) -> Answer:
        """One request on a connection of its own."""
        source = (self.source, 0) if self.source else None
        link = http.client.HTTPConnection(self.host, self.port, self.patience_s, source)
        sent = {"Cookie": "; ".join(f"{k}={v}" for k, v in self.cookies.items()), **headers}
        try:
            link.request(method, path, body, {name: value for name, value in sent.items() if value})
            got = link.getresponse()
            answer = Answer(got.status, {k.lower(): v for k, v in got.getheaders()}, got.read())
            for line in got.headers.get_all("Set-Cookie") or ():
                name, _, value = line.split(";")[0].partition("=")
                self.cookies[name] = value.strip('"')
            return answer
        finally:
            link.close()

    def get(self, path: str) -> Answer:
        return self.ask("GET", path)

    def post(
        self, path: str, values: dict[str, Any], pictures: Sequence[Picture] = (), name: str = "pictures"
    ) -> Answer:
        """A form with the values given, and files under `name`."""
        token = next((v for k, v in self.cookies.items() if "csrf" in k), "")
        pairs = [("csrfmiddlewaretoken", token)]
        for key, value in values.items():
            if key != "csrfmiddlewaretoken":
                pairs += [(key, str(each)) for each in (value if isinstance(value, list) else [value])]
        mark = secrets.token_hex(12)
        parts = [_part(mark, f'name="{key}"', value.encode()) for key, value in pairs]
        parts += [
            _part(mark, f'name="{name}"; filename="{called}"\r\nContent-Type: image/jpeg', content)
            for called, content in pictures
        ]
        body = b"".join(parts) + f"--{mark}--\r\n".encode()
        return self.ask("POST", path, body, **{"Content-Type": f"multipart/form-data; boundary={mark}"})

    def opened(self, page: str, has: str) -> tuple[str, dict[str, Any]]:
        """The address and the values of the form on a page that has a field of that name."""
        for said, values in forms_in(self.get(page).text):
            if has in values:
                return urllib.parse.urljoin(page, said.get("action") or page), dict(values)
        raise LookupError(f"no form with {has!r} on {page}")

    def send(self, page: str, has: str, pictures: Sequence[Picture] = (), **typed: Any) -> Answer:
        """Open a page, fill in its form, send it."""
        address, values = self.opened(page, has)
        return self.post(address, {**values, **typed}, pictures)

    def record(self, what: str, pictures: Sequence[Picture] = (), **typed: Any) -> str:
        """Keep a new find; its number, or "" where it was not kept."""
        answer = self.send("/finds/new/", "what", pictures, what=what, **typed)
        found = re.search(r"/finds/([\d.]+[a-z]?)/", answer.location)
        return found[1] if answer.status == 302 and found else ""


def _part(mark: str, about: str, content: bytes) -> bytes:
    return f"--{mark}\r\nContent-Disposition: form-data; {about}\r\n\r\n".encode() + content + b"\r\n"


def owner_of(running: Running) -> Browser:
    """The owner's window, let in by the printed link."""
    browser = Browser(int(running.base.rsplit(":", 1)[1]))
    browser.get(urllib.parse.urlsplit(running.link).path)
    return browser


@contextmanager
def catalogue(room: Path, folder: Path, *words: str, **more: str) -> Iterator[tuple[Running, Browser]]:
    """A catalogue open on a folder, and its owner."""
    running = start(room, "--data", str(folder), *words, **more)
    try:
        yield running, owner_of(running)
    finally:
        running.stop()


def jpeg(seed: int, size: tuple[int, int] = (320, 240)) -> bytes:
    """A picture unlike those of other seeds."""
    noise = hashlib.sha256(str(seed).encode()).digest()
    picture = Image.frombytes("L", (4, 8), noise).resize(size).convert("RGB")
    out = io.BytesIO()
    picture.save(out, "JPEG", comment=str(seed).encode())
    return out.getvalue()


def rows(folder: Path, sql: str, *values: object) -> list[dict[str, Any]]:
    """Rows of a catalogue's database, read beside whoever has it open."""
    if STORE:
        with _server() as link, link.cursor() as cursor:
            found = cursor.execute(sql.replace("?", "%s") if values else sql, values or None)
            names = [column.name for column in found.description or ()]
            return [dict(zip(names, row, strict=True)) for row in found]
    address = (folder / "catalogue.sqlite3").absolute().as_uri() + "?mode=ro"
    with contextlib.closing(sqlite3.connect(address, uri=True, timeout=30)) as link:
        link.row_factory = sqlite3.Row
        return [dict(row) for row in link.execute(sql, values)]


def write_row(folder: Path, sql: str, *values: str) -> None:
    """One statement that writes, beside whoever has the catalogue open."""
    if STORE:
        with _server() as server:
            server.execute(sql.replace("?", "%s"), values)
        return
    with contextlib.closing(sqlite3.connect(folder / "catalogue.sqlite3", timeout=30)) as link:
        link.execute(sql, values)
        link.commit()


def _server() -> Any:
    import psycopg

    return psycopg.connect(STORE["DATABASE_URL"])


def integrity(folder: Path) -> list[str]:
    """What SQLite finds amiss in a folder's database; empty where it is whole, and on a server, which checks
    its references itself and says of its pages by `manage.py verify` what it knows.
    """
    if STORE:
        return []
    with contextlib.closing(sqlite3.connect(folder / "catalogue.sqlite3", timeout=30)) as link:
        said = [row[0] for row in link.execute("PRAGMA integrity_check") if row[0] != "ok"]
        return said + [f"{row[0]} points nowhere" for row in link.execute("PRAGMA foreign_key_check")]


def original(folder: Path, digest: str, kind: str = "JPEG") -> Path:
    """Where an original picture lies."""
    return folder / "files" / "originals" / digest[:2] / f"{digest}.{ENDS[kind]}"


def originals(folder: Path) -> set[str]:
    """The digests of all originals of a folder."""
    return {path.stem for path in (folder / "files" / "originals").rglob("*") if path.is_file()}


def lost_pictures(folder: Path) -> list[str]:
    """Digests that a row speaks of and whose file is missing or holds something else."""
    told = rows(
        folder, "select sha256, format from photos_photo union select sha256, format from photos_heldpicture"
    )
    return [
        row["sha256"]
        for row in told
        if not (path := original(folder, row["sha256"], row["format"])).exists()
        or hashlib.sha256(path.read_bytes()).hexdigest() != row["sha256"]
    ]


def errors_said(running: Running, folder: Path) -> list[str]:
    """First lines of what the log holds a trace of, and of the program's own errors on the screen."""
    log = folder / "siltmark.log"
    kept = log.read_text("utf-8", "replace") if log.exists() else ""
    return re.findall(r"(?m)^.*\n(?=Traceback)", kept) + re.findall(
        r"(?m)^error [0-9a-f]{8}.*$", running.log.read_text()
    )
