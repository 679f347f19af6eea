"""Eight windows send the sheet of many finds at once: of one sheet one is kept, of eight sheets eight."""

import re
import threading
from pathlib import Path
from typing import Any

from tests.attacks._catalogue import Answer, Browser, catalogue, errors_said, integrity, rows
from tests.attacks._report import Report

WINDOWS, ROWS, ROUNDS = 8, 12, 3
SHEET = "/finds/typed/"


def attack(room: Path, report: Report) -> None:
    """One idempotency key for all eight, a key for each, and eight with a wrong cell in the last row."""
    folder = room / "catalogue"
    with catalogue(room, folder) as (running, owner):
        owner.record("a find before", new_place="Hall case")
        for turn in range(ROUNDS):
            _one_key(folder, owner, f"one{turn}", report)
            _a_key_each(folder, owner, f"each{turn}", report)
        _wrong(folder, owner, report)
        said = errors_said(running, folder)
    report.check(not said, "no error of the program", said)
    report.check(not integrity(folder), "the database is whole", integrity(folder))


def _one_key(folder: Path, owner: Browser, word: str, report: Report) -> None:
    address, values = owner.opened(SHEET, "row-0-what")
    answers = _at_once(owner, [(address, values | _filled(word))] * WINDOWS)
    led = {(answer.status, answer.location) for answer in answers}
    report.check(len(led) == 1 and next(iter(led))[0] == 302, f"{word}: all eight are led to one page", led)
    _judge(folder, word, answers[0], report)


def _a_key_each(folder: Path, owner: Browser, word: str, report: Report) -> None:
    words = [f"{word}w{n}" for n in range(WINDOWS)]
    opened = [owner.opened(SHEET, "row-0-what") for _ in words]
    sent = [(address, values | _filled(w)) for (address, values), w in zip(opened, words, strict=True)]
    answers = _at_once(owner, sent)
    told = sorted({answer.status for answer in answers})
    report.check(told == [302], f"{word}: each of the eight sheets is kept", told)
    led = {answer.location for answer in answers}
    report.check(len(led) == WINDOWS, f"{word}: each is led to a page of its own")
    for each, answer in zip(words, answers, strict=True):
        _judge(folder, each, answer, report)
    towns = rows(folder, "select count(*) n from specimens_town where name = ?", f"Town of {word}")
    report.check(towns[0]["n"] == 1, f"{word}: the new town that all eight name is one", towns[0]["n"])


def _wrong(folder: Path, owner: Browser, report: Report) -> None:
    was = rows(folder, "select count(*) n from specimens_specimen")[0]["n"]
    opened = [owner.opened(SHEET, "row-0-what") for _ in range(WINDOWS)]
    wrong = {f"row-{ROWS - 1}-place": "nowhere at all"}
    answers = _at_once(owner, [(address, values | _filled("wrong") | wrong) for address, values in opened])
    told = sorted({answer.status for answer in answers})
    report.check(told == [422], "with one wrong cell each of the eight comes back", told)
    report.check(all("wrong piece 3" in answer.text for answer in answers), "with what was typed")
    now = rows(folder, "select count(*) n from specimens_specimen")[0]["n"]
    report.check(now == was, "and nothing of them is kept", (was, now))


def _filled(word: str) -> dict[str, Any]:
    """A sheet of twelve rows whose names begin with a word."""
    cells: dict[str, Any] = {"act": "save", "stage": "done", "row-TOTAL_FORMS": ROWS, "row-INITIAL_FORMS": 0}
    for n in range(ROWS):
        cells |= {f"row-{n}-what": f"{word} piece {n}", f"row-{n}-town": f"Town of {word.partition('w')[0]}"}
    return cells


def _at_once(owner: Browser, sent: list[tuple[str, dict[str, Any]]]) -> list[Answer]:
    gate, answers = threading.Barrier(len(sent)), [Answer(0, {}, b"")] * len(sent)

    def send(n: int, window: Browser) -> None:
        gate.wait()
        answers[n] = window.post(*sent[n])

    threads = [threading.Thread(target=send, args=(n, owner.window())) for n in range(len(sent))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return answers


def _judge(folder: Path, word: str, answer: Answer, report: Report) -> None:
    """The finds of a sheet: each once, in the order of its rows, its numbers no other's."""
    found = rows(
        folder,
        "select what, number, number_piece from specimens_specimen where what like ? order by number_piece",
        f"{word} piece %",
    )
    whats = [row["what"] for row in found]
    expected = [f"{word} piece {n}" for n in range(ROWS)]
    report.check(whats == expected, f"{word}: its rows, each once", len(found))
    named = re.findall(r"kept=([\d.]+)", answer.location)
    report.check(named == [row["number"] for row in found], f"{word}: its page names them in their order")
    taken = rows(folder, "select number from specimens_specimen group by number having count(*) > 1")
    report.check(not taken, f"{word}: no number stands twice", taken)
