"""How quick the one search is in a very large catalogue, beside the bare index in the same run.

``python -m tests.benchmarks search [--finds 100000]``: makes that many finds, with 40,000 rare words among
them, in a folder that is thrown away. Times are processor time, the fastest of a few. The floor is one bare
question to the database's own index (FTS5) for what was typed, with nothing around it.
"""

import os
import sqlite3
import tempfile
import time

from .lists import timed

# Goals: a sheet under 30 ms, a rare or absent word under ten times the bare index.
GOAL_MS, GOAL_TIMES = 30, 10


def main(finds: int = 100_000) -> None:
    """Build, measure, print."""
    with tempfile.TemporaryDirectory(prefix="siltmark-search-") as folder:
        os.environ["SILTMARK_DATA"] = folder
        os.environ.setdefault("DJANGO_SETTINGS_MODULE", "catalogue.settings")
        import django

        django.setup()
        _build(finds)
        _searches()


def _build(finds: int) -> None:
    import random

    from django.core.management import call_command
    from django.db import connection

    from tests import factories

    from . import _large

    began = time.process_time()
    call_command("migrate", verbosity=0)
    factories.brackwater()
    connection.cursor().execute("PRAGMA synchronous=OFF")
    draw = random.Random(1)
    around, texts = _large._around(draw, finds), []
    _large._write(_large.Specimen, _large._noting(_large._finds(draw, around, finds), texts))
    keys = list(_large.Specimen.objects.order_by("pk").values_list("pk", flat=True))
    _large._entries(draw, keys, texts)
    print(f"{finds:,} finds made in {time.process_time() - began:.0f} s of processor time")


def _searches() -> None:
    from django.db import connection

    from catalogue.specimens.models import SearchEntry, SearchWord
    from catalogue.specimens.search.answers import search
    from catalogue.specimens.search.index import TRIGRAMS, Matched
    from catalogue.specimens.search.units import read_typed

    from . import _large

    print(f"{SearchEntry.objects.count():,} entries, {SearchWord.objects.count():,} words")
    store = sqlite3.connect(connection.settings_dict["NAME"])
    asked = (
        ("a common word", "silt", "silt"),
        ("another common one", "bottle", "bottle"),
        ("two words", "heron silt", "heron"),
        ("a phrase", "heron-ledge", "heron ledge"),
        ("a rare word", _large.RARE, _large.RARE),
        ("an absent word", _large.ABSENT, _large.ABSENT),
        ("a town with a wrong letter", "brinemuoth", "brinemuoth"),
        ("two letters wrong", "corckwinng", "corckwinng"),
        ("one letter", "q", None),
        ("two letters", "co", None),
        ("a number", "2001.12.3", "2001 12 3"),
    )
    print("the search for the sheet: processor time; the bare index; times; LIKE on the same column")
    for what, typed, bare in asked:
        took = timed(lambda typed=typed: search(typed, most=4))
        said = f"  {what} ({typed}): {took:.1f} ms (goal {GOAL_MS})"
        if bare:
            sql = f"SELECT rowid FROM {TRIGRAMS} WHERE {TRIGRAMS} MATCH ? ORDER BY rowid DESC LIMIT 501"
            floor = timed(lambda bare=bare, sql=sql: store.execute(sql, (f'"{bare}"',)).fetchall())
            said += f"; {floor:.2f} ms; {took / floor:.1f} times (goal {GOAL_TIMES} where rare or absent)"
        units = read_typed(typed).units
        plain = timed(lambda units=units: Matched(units, False).anything(), 2)
        print(f"{said}; LIKE {plain:.0f} ms")
