"""One act on many finds, as its pages do it: ``python -m tests.benchmarks many [--finds 5000]``.

Makes a catalogue of that many finds in a folder that is thrown away, chooses all of it, and for each act
times the page that shows what changes, the act itself with all that follows (history, search, years) and its
undo, in seconds by the clock and of processor time, with the number of queries; as where the redating worker
runs, which here works once the act is done. The floor is the same column and the same history
written to SQLite by plain statements, without any rule being asked.
"""

import os
import sqlite3
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

ACTS: tuple[tuple[str, dict[str, Any]], ...] = (
    ("move", {"why": "sorted"}),
    ("stage", {"stage": "drying"}),
    ("words", {"words": "crate by the door"}),
    ("kind", {"kind": "jar"}),
    ("town", {"name": "Oldquay"}),
    ("bottler", {"name": "Hark & Lowe"}),
    ("share", {}),
    ("unshare", {}),
    ("standing", {"standing": "free"}),
    ("gone", {"standing": "left", "on": "2026-05-01", "reason": "left where they lay"}),
    ("promise", {"person": "Ola", "on": "2026-05-01"}),
    ("twins", {}),
    ("soak", {}),
    ("bath", {}),
    ("bin", {}),
)
# What an act needs to find something to do; taken back when it was measured.
BEFORE = {"unshare": ("shared", True, False)}


def main(finds: int = 5000) -> None:
    """Build, measure, print."""
    with tempfile.TemporaryDirectory(prefix="siltmark-many-") as folder:
        os.environ["SILTMARK_DATA"] = folder
        os.environ.setdefault("DJANGO_SETTINGS_MODULE", "catalogue.settings")
        import django

        django.setup()
        places = _build(finds)
        _measure(finds, places)
        print(f"floor, one column and its history by plain statements: {_floor(folder):.2f} s")


def _build(finds: int) -> dict[str, dict[str, Any]]:
    """The catalogue, and what the acts lead to."""
    from django.core.management import call_command

    from catalogue.specimens.derived.entries import write_entries
    from catalogue.specimens.models import Specimen
    from catalogue.specimens.search.kinds import FIND
    from tests import factories
    from tests.care.makers import bath, soak

    from . import _large

    call_command("migrate", verbosity=0)
    factories.brackwater()
    _large.fill(finds)
    Specimen.objects.update(standing="kept", shared=False, stage="wet")
    # what the search holds of them is quickly made up: a first act would write all of it anew
    write_entries(FIND, list(Specimen.objects.values_list("pk", flat=True)))
    # a history to each, as if it had been saved once
    Specimen.history.bulk_history_create(Specimen.objects.all(), batch_size=500)
    water, tub, shelf = soak(), bath(), factories.place("Bench, upper board")
    water.save()
    tub.save()
    return {"move": {"place": shelf.pk}, "soak": {"soak": water.pk}, "bath": {"bath": tub.pk}}


def _measure(finds: int, rows: dict[str, dict[str, Any]]) -> None:
    from django.contrib.auth import get_user_model
    from django.db import connection
    from django.test import Client
    from django.test.utils import setup_test_environment

    from catalogue.specimens.derived.redating import redate_stale, stale, worker
    from catalogue.specimens.models import Specimen

    list(redate_stale())
    worker.running = True
    setup_test_environment()
    client = Client(SERVER_NAME="localhost")
    client.force_login(get_user_model().objects.create_superuser("owner"))

    def timed(run: Callable[..., Any], *given: Any) -> tuple[str, Any]:
        # Counted only: capturing them writes each with its thousands of keys in it, a tenth of an act.
        asked = 0

        def count(execute: Callable[..., Any], *query: Any) -> Any:
            nonlocal asked
            asked += 1
            return execute(*query)

        with connection.execute_wrapper(count):
            began, busy = time.perf_counter(), time.process_time()
            answer = run(*given)
            took, worked = time.perf_counter() - began, time.process_time() - busy
        return f"{took:5.2f} s ({worked:5.2f}) {asked:5}", answer

    print(f"{finds:,} finds; seconds and queries:  look, do, undo")
    for act, fields in ACTS:
        sent = {"act": act, **fields, **rows.get(act, {})}
        column, needed, afterwards = BEFORE.get(act, ("", None, None))
        if column:
            Specimen.objects.update(**{column: needed})
        chosen = client.post("/finds/many/", {"choice": "?", "act": act})
        address = chosen["Location"].partition("?")[0]
        looked, page = timed(client.get, address, {**sent, "look": "yes"})
        posted = {**sent, "seen": page.context["seen"], "how": "good"}
        done, answer = timed(client.post, address, posted)
        assert answer.status_code == 302, answer.content.decode()[-3000:]
        later, left = time.perf_counter(), stale().count()
        list(redate_stale())
        later = time.perf_counter() - later
        undone, answer = timed(client.post, f"{address}undo/")
        assert answer.status_code == 302
        list(redate_stale())
        if column:
            Specimen.objects.update(**{column: afterwards})
        looked_at = f"{act:9} {page.context['preview'].good:6,} | {looked}"
        print(f"{looked_at} | {done} | {undone} | {left:,} dated after it in {later:.0f} s", flush=True)
    chosen = client.post("/finds/many/", {"choice": "?", "act": "labels"})
    shown, page = timed(client.get, chosen["Location"])
    assert page.status_code == 200
    print(f"labels    {finds:6,} | {shown} | the page before they are printed")


def _floor(folder: str) -> float:
    """Seconds of the plainest way of writing one column of each find, and a row of history each."""
    with sqlite3.connect(Path(folder) / "catalogue.sqlite3") as plain:
        keys = plain.execute("SELECT id FROM specimens_specimen").fetchall()
        latest = plain.execute(
            "SELECT max(history_id) FROM specimens_historicalspecimen GROUP BY id"
        ).fetchall()
        named = [row[1] for row in plain.execute("PRAGMA table_info(specimens_historicalspecimen)")]
        columns = ", ".join(name for name in named if name != "history_id")
        began = time.perf_counter()
        plain.executemany("UPDATE specimens_specimen SET kind = 'ink' WHERE id = ?", keys)
        plain.executemany(
            f"INSERT INTO specimens_historicalspecimen ({columns}) "
            f"SELECT {columns} FROM specimens_historicalspecimen WHERE history_id = ?",
            latest,
        )
        plain.commit()
        return time.perf_counter() - began
