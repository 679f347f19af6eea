"""Twenty writers on one find: no lost update, no break in the chain of its moves, a whole history."""

import threading
from pathlib import Path

from tests.attacks._catalogue import Browser, catalogue, integrity, rows
from tests.attacks._report import Report

WRITERS, TIMES, TRIES = 20, 3, 10


def attack(room: Path, report: Report) -> None:
    """Move it, change its stage, write notes and add pictures, all at once."""
    folder = room / "catalogue"
    with catalogue(room, folder) as (running, owner):
        number = owner.record("Torpedo bottle", new_place="Place 0")
        for name in range(1, 8):
            owner.record(f"filler {name}", new_place=f"Place {name}")
        places = {row["id"]: row["name"] for row in rows(folder, "select id, name from shelves_place")}
        told: list[tuple[str, int, str]] = []
        gate = threading.Barrier(WRITERS)

        def write(which: int, window: Browser) -> None:
            gate.wait()
            for time in range(TIMES):
                word = f"w{which}t{time}"
                if which % 4 < 2:
                    place = sorted(places)[(which * 7 + time * 3) % len(places)]
                    done = window.send(f"/finds/{number}/", "why", place=place, why=word)
                    told.append(("move", done.status, word))
                else:
                    column = "notes" if which % 4 == 2 else "story"
                    told.extend((column, each, word) for each in _insist(window, number, column, word))

        threads = [threading.Thread(target=write, args=(n, owner.window())) for n in range(WRITERS)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        _judge(folder, number, told, report)
        page = owner.get(f"/finds/{number}/")
        report.check(page.status == 200, "its page opens", page.status)
        report.check(owner.get(f"/finds/{number}/changes/").status == 200, "its history opens")
    report.check(not integrity(folder), "the database is whole", integrity(folder))
    log = (folder / "siltmark.log").read_text()
    report.check("Traceback" not in log, "no trace in the log")


def _insist(window: Browser, number: str, column: str, word: str) -> list[int]:
    """Write a text into the find, opening its form again as often as another was first."""
    statuses = []
    while len(statuses) < TRIES:
        statuses.append(window.send(f"/finds/{number}/edit/", column, **{column: word}).status)
        if statuses[-1] == 302:
            break
    return statuses


def _judge(folder: Path, number: str, told: list[tuple[str, int, str]], report: Report) -> None:
    statuses = {(kind, status): 0 for kind, status, _ in told}
    for kind, status, _ in told:
        statuses[kind, status] += 1
    report.check(
        len({word for _, _, word in told}) == WRITERS * TIMES, "every writer was answered every time"
    )
    report.check({status for _, status, _ in told} <= {302, 409, 422}, "kept or told", statuses)
    find = rows(folder, "select id, place_id, notes, story from specimens_specimen where number=?", number)[0]
    moves = rows(
        folder,
        "select from_place_id f, to_place_id t, why from specimens_move where find_id=? order by id",
        find["id"],
    )
    breaks = [
        n for n, (one, other) in enumerate(zip(moves, moves[1:], strict=False)) if one["t"] != other["f"]
    ]
    report.check(
        not breaks,
        "each move begins where the one before it ended",
        f"{len(moves)} moves, {len(breaks)} breaks",
    )
    report.check(moves[-1]["t"] == find["place_id"], "it stands where its last move ended")
    report.check(all(move["f"] != move["t"] for move in moves), "no move leads to where it began")
    past = rows(
        folder,
        "select notes, story, place_id, history_type h from specimens_historicalspecimen"
        " where id=? order by history_id",
        find["id"],
    )
    for column in ("notes", "story"):
        kept = [word for kind, status, word in told if kind == column and status == 302]
        there = {row[column] for row in past}
        report.check(set(kept) <= there, f"each kept text ({column}) is in the history", f"{len(kept)} kept")
        report.check(kept, f"somebody's text was kept ({column})")
        report.check(
            find[column] == past[-1][column] and find[column] in kept,
            f"the last history entry is what it says ({column})",
        )
        order = [row[column] for row in past]
        seen = [word for n, word in enumerate(order) if n == 0 or order[n - 1] != word]
        report.check(len(seen) == len(set(seen)), f"no text came back once another replaced it ({column})")
    places = [row["place_id"] for row in past]
    report.check(
        places[-1] == find["place_id"] and past[0]["h"] == "+", "the history is whole from its first entry"
    )
