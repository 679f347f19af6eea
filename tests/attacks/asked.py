"""A script asks a thousand times for pieces, from one address and from many, beside owner and visitors."""

import itertools
import re
import secrets
import threading
import time
from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tests.attacks._catalogue import Answer, Browser, catalogue, errors_said, integrity, rows, write_row
from tests.attacks._report import Report

REQUESTS, AT_ONCE, PIECES, HOMES = 1000, 8, 12, 250
# What catalogue/giving/asking.py and the server allow, written once more: a change there is to be seen here.
OF_ONE_HOME, OF_A_PIECE, IN_A_DAY, STRANGERS_BODY = 5, 20, 100, 1_000_000
MEMORY_MAY_GROW, DATABASE_MAY_GROW, LOG_MAY_GROW, PAGE_MAY_WEIGH = 60_000_000, 600_000, 20_000, 600_000
OWNER_WAITS_S = 5.0
MARKUP = '<script>alert(1)</script><img src=x onerror="alert(1)">'
SCRIPT = {"name": f"Bot {MARKUP}", "reach": f"bot@example.org {MARKUP}", "message": MARKUP}
PERSON = {"name": "Ola Brandt", "reach": "0551 22", "message": "For my window."}
TABLES = ("giving_piecerequest", "giving_requesttry", "common_keptform", "django_session", "people_person")
REFUSED = re.compile(r'<div class="warn" role="alert"[^>]*>\s*<b>Not sent yet\.</b>\s*([^<]*?)\s*</div>')
ONE_SAYING = re.compile(r"^[A-Z][^<]{20,180}\.$")


@dataclass
class Asked:
    """A catalogue whose pieces are asked for."""

    owner: Browser
    folder: Path
    process: int
    pieces: list[str]
    report: Report

    def visitor(self, source: str) -> Browser:
        """A browser that never asked, at an address of its own."""
        return Browser(self.owner.port, source=source)

    def ask(self, source: str, number: str, **said: Any) -> Answer:
        """As a browser does: the form first, then what was typed."""
        return self.visitor(source).send(f"/giving/{number}/ask/", "reach", **said)

    def counted(self) -> dict[str, int]:
        """How many rows each table holds that a stranger may write to."""
        return {name: rows(self.folder, f"select count(*) n from {name}")[0]["n"] for name in TABLES}

    def weights(self) -> tuple[int, int, int]:
        """Bytes of the program's memory, of its database with what waits beside it, and of its log."""
        status = Path(f"/proc/{self.process}/status").read_text()
        resident = int(re.findall(r"VmRSS:\s+(\d+)", status)[0]) * 1024
        database = sum(path.stat().st_size for path in self.folder.glob("catalogue.sqlite3"))
        return resident, database, (self.folder / "siltmark.log").stat().st_size


def attack(room: Path, report: Report) -> None:
    """Ask until the limits hold, then as a person and with odd bodies; then let the owner answer."""
    folder = room / "catalogue"
    with catalogue(room, folder) as (running, owner):
        pieces = [owner.record(f"Bottle {number}") for number in range(PIECES)]
        for number in pieces:
            owner.post(f"/giving/{number}/standing/", {"standing": "free"})
        site = Asked(owner, folder, running.process.pid, pieces, report)
        _flood(site, "from one address", ["127.0.0.2"], OF_ONE_HOME)
        _person(site, "127.0.0.3", 1, 302, "a second visitor is let in meanwhile")
        _person(site, "127.0.0.2", 1, 422, "the first address is still told to wait")
        _a_quarter_of_an_hour_later(folder)
        _person(site, "127.0.0.2", 2, 302, "and is let in once the quarter of an hour is over")
        many = [f"127.0.{4 + each // 50}.{10 + each % 50}" for each in range(HOMES)]
        _odd(site, owner.record("Private bottle"))
        taken = site.counted()["giving_piecerequest"]
        _flood(site, f"from {HOMES} addresses", many, IN_A_DAY - taken)
        _answered(site)
        said = errors_said(running, folder)
        report.check(not said, "no error in the log", said[:2])
    report.check(not integrity(folder), "the database is whole", integrity(folder))


def _flood(site: Asked, named: str, sources: list[str], most: int) -> None:
    """A thousand requests by eight threads."""
    before, weight = site.counted(), site.weights()
    told: Counter[str] = Counter()
    slowest = {"reads": 0.0, "writes": 0.0}
    over = threading.Event()

    def send(which: int) -> None:
        # It opens the form once; then each request is of a browser that never asked, under a key of its own.
        script = site.visitor(sources[0])
        _, values = script.opened(f"/giving/{site.pieces[0]}/ask/", "reach")
        for each in range(which, REQUESTS, AT_ONCE):
            script.source = sources[each % len(sources)]
            script.cookies["siltmark_asked"] = secrets.token_urlsafe(24)
            said = {**values, **SCRIPT, "once": secrets.token_urlsafe(12)}
            try:
                answer = script.post(f"/giving/{site.pieces[each % PIECES]}/ask/", said)
            except OSError as error:
                told[f"no answer: {error!r}"] += 1
                continue
            told[_said(answer)] += 1

    def go_on() -> None:
        window = site.owner.window()
        for which in itertools.cycle(("on", "off")):
            began = time.monotonic()
            read = window.get("/giving/").status
            slowest["reads"] = max(slowest["reads"], time.monotonic() - began if read == 200 else 999.0)
            began = time.monotonic()
            written = window.post(
                f"/finds/{site.pieces[0]}/share/", {"shared": "yes" if which == "on" else "no"}
            )
            took = time.monotonic() - began
            slowest["writes"] = max(slowest["writes"], took if written.status == 302 else 999.0)
            if over.wait(1):
                return

    owner = threading.Thread(target=go_on)
    owner.start()
    threads = [threading.Thread(target=send, args=(which,)) for which in range(AT_ONCE)]
    began = time.monotonic()
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    took = time.monotonic() - began
    over.set()
    owner.join()
    _judge_flood(site, named, told, most, before, weight, slowest, took)


def _judge_flood(
    site: Asked,
    named: str,
    told: Counter[str],
    most: int,
    before: dict[str, int],
    weight: tuple[int, int, int],
    slowest: dict[str, float],
    took: float,
) -> None:
    check = site.report.check
    for words, count in told.most_common():
        print(f"     {count:5} {words[:150]}")
    check(sum(told.values()) == REQUESTS, f"{REQUESTS} requests {named}", f"{took:.0f} s")
    check(told["taken"] == most, "as many are taken as may be", f"{told['taken']} of {most}")
    sentences = [words for words in told if words != "taken" and not ONE_SAYING.match(words)]
    check(not sentences, "each of the others is told why in one sentence", sentences[:2])
    grown = {name: count - before[name] for name, count in site.counted().items()}
    bounded = {"giving_piecerequest": most, "giving_requesttry": most, "common_keptform": most}
    check(all(count <= bounded.get(name, 0) for name, count in grown.items()), "rows are bounded", grown)
    of_a_piece = rows(site.folder, "select count(*) n from giving_piecerequest group by find_id")
    check(max(row["n"] for row in of_a_piece) <= OF_A_PIECE, f"of a piece {OF_A_PIECE} at most")
    memory, database, log = (now - then for now, then in zip(site.weights(), weight, strict=True))
    check(memory < MEMORY_MAY_GROW, "memory is bounded", f"{memory / 1e6:+.1f} MB")
    check(database < DATABASE_MAY_GROW, "and the database", f"{database / 1e3:+.0f} kB")
    check(log < LOG_MAY_GROW, "and the log", f"{log / 1e3:+.1f} kB")
    for act, longest in slowest.items():
        check(longest < OWNER_WAITS_S, f"the owner {act} meanwhile", f"{longest:.1f} s at most")


def _said(answer: Answer) -> str:
    """ "taken", or the sentence of a refusal with its numbers of minutes left out."""
    if answer.status == 302:
        return "taken"
    found = REFUSED.search(answer.text)
    return re.sub(r"\d+ min", "N min", found[1]) if found else f"{answer.status} without a sentence"


def _person(site: Asked, source: str, which: int, status: int, what: str) -> None:
    answer = site.ask(source, site.pieces[which], **PERSON)
    kept = answer.status != 422 or all(word in answer.text for word in PERSON.values())
    site.report.check(answer.status == status and kept, what, f"{answer.status} {_said(answer)}")


def _a_quarter_of_an_hour_later(folder: Path) -> None:
    """The tries that are on record were made sixteen minutes earlier: as if that time had gone by."""
    write_row(folder, "update giving_requesttry set at = datetime(at, '-16 minutes')")


def _odd(site: Asked, private: str) -> None:
    """Bodies and words that no form sends."""
    check, piece = site.report.check, f"/giving/{site.pieces[3]}/ask/"
    before = site.counted()
    told: list[object] = []
    for size in (STRANGERS_BODY // 2, STRANGERS_BODY + 1000, 5 * STRANGERS_BODY):
        browser = site.visitor("127.0.9.1")
        address, values = browser.opened(piece, "reach")
        try:
            told.append(browser.post(address, {**values, **PERSON, "message": "x" * size}).status)
        except OSError as error:
            # Beyond what is read past, the connection ends while the browser still sends.
            told.append(type(error).__name__)
    check(told[:2] == [422, 413] and told[2] in (413, "BrokenPipeError", "ConnectionResetError"),
          "half a megabyte, one and five are refused", told)  # fmt: skip
    odd = ("", " ", "\u200b", "\0", "a\0b", "\ud800", "\u202e\u202e", "x" * 501, "\r\n", "🙂" * 400)
    statuses: Counter[int] = Counter()
    for number, word in enumerate(odd):
        for field in PERSON:
            said = {**PERSON, field: word.encode("utf-8", "surrogatepass").decode("utf-8", "replace")}
            statuses[site.ask(f"127.0.10.{number + 1}", site.pieces[3], **said).status] += 1
    check(set(statuses) <= {302, 422}, "odd words are taken or refused", dict(statuses))
    bare = [
        site.visitor("127.0.11.1").ask(method, piece).status for method in ("POST", "PUT", "DELETE", "HEAD")
    ]
    check(set(bare[:3]) <= {403, 405} and bare[3] == 200, "other methods, and a form without its token", bare)
    hidden, none = (
        site.visitor("127.0.11.1").get(f"/giving/{number}/ask/") for number in (private, "1999.1.1")
    )
    same = hidden.status == none.status == 302 and hidden.body == none.body
    check(same, "a private piece and none at all are answered alike", [hidden.status, none.status])
    grown = site.counted()["django_session"] - before["django_session"]
    check(not grown, "no visitor begins a session", grown)


def _answered(site: Asked) -> None:
    """What the owner reads of it, as text and in bounds, and how it is answered."""
    check, owner = site.report.check, site.owner
    first = rows(site.folder, "select id, find_id from giving_piecerequest where ended='' order by id")[0]
    number = rows(site.folder, "select number from specimens_specimen where id=?", first["find_id"])[0][
        "number"
    ]
    began = time.monotonic()
    pages = {path: owner.get(path) for path in ("/", "/giving/", f"/finds/{number}/")}
    took = time.monotonic() - began
    heaviest = max(len(page.body) for page in pages.values())
    check(heaviest < PAGE_MAY_WEIGH and took < 3 * OWNER_WAITS_S, "the owner's pages stay small",
          f"{heaviest / 1000:.0f} kB, three in {took:.1f} s")  # fmt: skip
    raw = [path for path, page in pages.items() if "<script>alert" in page.text or "<img src=x" in page.text]
    check(
        not raw and "&lt;script&gt;alert" in pages["/giving/"].text, "and what was written is text there", raw
    )
    done = owner.post(f"/giving/{number}/requests/{first['id']}/promise/", {})
    check(done.status == 302, "one is promised in one touch", done.status)
    book = owner.get("/people/").text
    check("Bot &lt;script&gt;" in book and "<script>alert" not in book, "its name is text among the people")
    waiting = rows(site.folder, "select count(*) n from giving_piecerequest where ended=''")[0]["n"]
    check(waiting < IN_A_DAY, "the others wait in their order", waiting)
