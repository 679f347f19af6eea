"""Generated requests over every address and every form: no answer is a server error.

The folder is the invented catalogue's. Each page is opened once for its forms and links; then forms are sent
with odd values, and addresses asked for with odd parts and odd questions behind them.
"""

import random
import re
import secrets
import urllib.parse
from collections import Counter
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from http.client import HTTPException
from pathlib import Path
from typing import Any

from tests.attacks._catalogue import Browser, catalogue, errors_said, integrity, jpeg, write_row
from tests.attacks._report import Report
from tests.faults._filled import filled, manage, verified
from tests.posted import forms_in

PER_MOMENT, SEED, PAGES_AT_MOST = 50, 12, 700
TOLD_EVERY = 1000
ODD = (
    "", " ", "0", "-1", "1e309", "nan", "0x10", "9" * 19, "9" * 5000, "2147483648", "1,5", "٣", "½", "\x00",
    "a\x00b", "\U0001f9ff" * 30, "é" * 300, "z" * 11000, "\u202eabc", "\u200b", "\r\n", "\t",
    "<script>alert(1)</script>", "{{7*7}}", "%s%n", "' OR 1=1 --", "../../../etc/passwd", "true", "None",
    "[]", "{}", "on", "2026-13-45", "0000-00-00", "9999-12-31", "0001-01-01", "2026-02-30",
    "2026-05-01T25:61",
    "1850/1860", "../1900", "19XX", "1900~", "2026.1.1", "2026.999999.999999", "44° 20' N", "91", "999 N",
    "?", "[..]", "//", "&amp;", "a,b," * 300, ",", "-", "+", "1e", "١٩٠٠",
)  # fmt: skip
# What ends the session, waits for a restore, or would delete what the others are to work on.
LEFT_OUT = re.compile(
    r"leave|sign-out|logout|/restore/|/backup/|/place/|take-out/file|empty|erase|/password/"
)
PLACE = re.compile(r"<(?:\w+:)?\w+>|\(\?P<\w+>(?:[^()]|\([^()]*\))*\)")
ADDRESSES = """
import django, os
os.environ["DJANGO_SETTINGS_MODULE"] = "catalogue.settings"
django.setup()
from tests.access.address_table import every_address
print(chr(10).join(every_address()))
"""


class Asker:
    """The owner's window, and what came of each request."""

    def __init__(self, owner: Browser, folder: Path) -> None:
        self.owner, self.folder = owner, folder
        self.statuses: Counter[int] = Counter()
        self.errors: list[str] = []
        self.chance = random.Random(SEED)

    def ask(self, method: str, path: str, values: dict[str, Any] | None = None, **more: Any) -> str:
        """One request; the page where it is one. A session that a form ended is begun anew."""
        path = urllib.parse.quote(path, safe="/?=&%:+-_.~#,;@!$'()*")
        try:
            answer = self.owner.post(path, values or {}, **more) if method == "POST" else self.owner.get(path)
        except (OSError, HTTPException, ValueError) as error:
            self.errors.append(f"no answer: {method} {path[:120]} {error!r}")
            return ""
        self.statuses[answer.status] += 1
        if answer.status >= 500:
            sent = {k: str(v)[:60] for k, v in (values or {}).items()}
            self.errors.append(f"{answer.status} {method} {path[:160]} {str(sent)[:400]}")
        if answer.status == 302 and "/enter/" in answer.location:
            self.enter()
        return answer.text if "html" in answer.headers.get("content-type", "") else ""

    def enter(self) -> None:
        """A new key as a start makes it."""
        key = secrets.token_urlsafe(24)
        now = datetime.now(UTC)
        write_row(
            self.folder,
            "insert into access_onetimekey (digest, opens, created, expires) values (?, 'owner', ?, ?)",
            sha256(key.encode()).hexdigest(),
            f"{now:%Y-%m-%d %H:%M:%S}+00",
            f"{now + timedelta(days=1):%Y-%m-%d %H:%M:%S}+00",
        )
        self.owner.get(f"/enter/{key}/")

    def odd(self) -> str:
        return self.chance.choice(ODD)


def crawled(asker: Asker) -> tuple[list[str], list[tuple[str, dict[str, Any]]]]:
    """Pages reached by links, a few of each shape, and the forms on them, each shape once."""
    waiting, seen, shapes = ["/"], {"/"}, Counter[str]()
    pages: list[str] = []
    forms: dict[tuple[str, ...], tuple[str, dict[str, Any]]] = {}
    while waiting and len(pages) < PAGES_AT_MOST:
        page = waiting.pop(0)
        html = asker.ask("GET", page)
        pages.append(page)
        for said, values in forms_in(html):
            address = urllib.parse.urljoin(page, said.get("action") or page)
            shape = (_shape(address), *sorted({re.sub(r"\d+", "N", name) for name in values}))
            if not LEFT_OUT.search(address):
                forms.setdefault(shape, (address, dict(values)))
        for link in re.findall(r'(?:href|hx-get|src)="(/[^"]*)"', html):
            link = urllib.parse.urljoin(page, link.replace("&amp;", "&").split("#")[0])
            if link in seen or link.startswith("/static/") or LEFT_OUT.search(link):
                continue
            seen.add(link)
            shapes[_shape(link)] += 1
            if shapes[_shape(link)] <= 3:
                waiting.append(link)
    return pages, list(forms.values())


def _shape(address: str) -> str:
    path, _, query = address.partition("?")
    names = sorted(name for name, _ in urllib.parse.parse_qsl(query, keep_blank_values=True))
    return re.sub(
        r"\d+", "N", re.sub(r"/(makers|towns|sites|bottlers|products)/[^/]+", r"/\1/X", path)
    ) + str(names)


def fault(room: Path, report: Report, moments: int) -> None:
    """Ask as often as fifty times the moments, then look whether pages still open."""
    wanted = PER_MOMENT * moments
    folder = filled(room)
    routes = manage(room, folder, "-c", ADDRESSES).split("\n")
    with catalogue(room, folder) as (running, owner):
        for number in range(4):
            owner.record(f"Bottle {number}", [("a.jpg", jpeg(number))], new_place=f"P{number}", notes="tide",
                         **{"readings-0-letters": "BW", "pick": "unknown"})  # fmt: skip
        asker = Asker(owner, folder)
        pages, forms = crawled(asker)
        print(f"     {len(routes)} addresses, {len(pages)} pages, {len(forms)} forms", flush=True)
        requests = generated(asker, pages, forms, routes)
        while sum(asker.statuses.values()) < wanted:
            method, path, values = next(requests)
            asker.ask(method, path, values)
            if (asked := sum(asker.statuses.values())) % TOLD_EVERY == 0:
                print(f"     {asked} requests, {len(asker.errors)} errors", flush=True)
        report.check(not asker.errors, f"{sum(asker.statuses.values())} requests, no server error",
                     dict(asker.statuses))  # fmt: skip
        for error in asker.errors[:20]:
            print(f"     {error}", flush=True)
        before = len(asker.errors)
        asker.enter()
        for page in pages[:200]:
            asker.ask("GET", page)
        report.check(len(asker.errors) == before, "every page opens afterwards", asker.errors[before:][:3])
        report.check(running.process.poll() is None, "the program goes on")
        errors = errors_said(running, folder)
        report.check(not errors, "no trace in the log", errors[:3])
    report.check(not integrity(folder), "the database is whole", integrity(folder)[:2])
    amiss = verified(room, folder)
    report.check(not amiss, "manage.py verify finds nothing amiss", amiss[:3])


def generated(
    asker: Asker, pages: list[str], forms: list[tuple[str, dict[str, Any]]], routes: list[str]
) -> Iterator[tuple[str, str, dict[str, Any]]]:
    """Method, address and form of one odd request after another, without end."""
    chance = asker.chance
    names = sorted({name for _, values in forms for name in values} - {"csrfmiddlewaretoken"})
    names += [
        "q",
        "page",
        "sort",
        "view",
        "col",
        "next",
        "find",
        "like",
        "dive",
        "letters",
        "years_from",
        "to",
    ]
    routes = [route for route in routes if not LEFT_OUT.search(route)]
    while True:
        kind = chance.choice(("form", "form", "form", "query", "query", "address"))
        if kind == "form":
            address, values = chance.choice(forms)
            yield "POST", address, mutated(values, chance, asker)
        elif kind == "query":
            path = chance.choice(pages).split("?")[0]
            asked = [(chance.choice(names), asker.odd()[:2000]) for _ in range(chance.choice((1, 1, 2, 4)))]
            yield "GET", f"{path}?{urllib.parse.urlencode(asked)}", {}
        else:
            route = PLACE.sub(
                lambda _: urllib.parse.quote(asker.odd()[:300] or "x", safe=""), chance.choice(routes)
            )
            path = "/" + route.replace("^", "").replace("$", "").replace("\\", "")
            yield chance.choice(("GET", "GET", "POST")), path, {}


def odd_part(asker: Asker) -> str:
    """One part of an address."""
    return urllib.parse.quote(asker.odd()[:300] or "x", safe="")


def mutated(values: dict[str, Any], chance: random.Random, asker: Asker) -> dict[str, Any]:
    """A form with one, some or all of its values odd, some of them missing or doubled."""
    found = {name: value for name, value in values.items() if name != "csrfmiddlewaretoken"}
    how = chance.choice(("one", "one", "two", "all", "missing", "double", "extra"))
    names = list(found) or ["x"]
    if how in ("one", "two"):
        for name in chance.sample(names, min(len(names), 1 + (how == "two"))):
            found[name] = asker.odd()
    elif how == "all":
        found = {name: asker.odd() for name in names}
    elif how == "missing":
        for name in chance.sample(names, max(1, len(names) // 3)):
            found.pop(name, None)
    elif how == "double":
        name = chance.choice(names)
        found[name] = [asker.odd(), asker.odd()]
    else:
        found[chance.choice(("next", "act", "seen", "once", "pk", "find", "held", "then"))] = asker.odd()
    return found
