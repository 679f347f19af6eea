"""How quick the one search is in a very large catalogue, beside the bare index in the same run.

``python -m tests.benchmarks search [--finds 100000]``: makes that many finds, with 40,000 rare words among
them, in a folder that is thrown away. Times are processor time, the fastest of a few: of the search behind
the sheet (with its rows read and ranked), of a visitor's, and of the whole answer to the browser, drawn.

The bare index is SQLite asked by hand, without Django: for what was typed, the keys of the last 501 entries
that hold it in the trigram table, once for each of the nine kinds that answer (nine statements), and nothing
read of what was found. One such statement over all kinds is printed beside it.
"""

import os
import sqlite3
import tempfile
import time

from .lists import timed

# Goals: a sheet under 30 ms, a rare or absent word under ten times the bare index.
GOAL_MS, GOAL_TIMES = 30, 10
DATED = 600
ASKED = (
    ("a common word", "silt", "silt"),
    ("another common one", "bottle", "bottle"),
    ("two words", "heron silt", "heron"),
    ("a phrase", "heron-ledge", "heron ledge"),
    ("a rare word", "{RARE}", "{RARE}"),
    ("an absent word", "{ABSENT}", "{ABSENT}"),
    ("two absent words", "{ABSENT} qqqq", "{ABSENT}"),
    ("a town with a wrong letter", "brinemuoth", "brinemuoth"),
    ("two letters wrong", "corckwinng", "corckwinng"),
    ("one letter", "q", None),
    ("two letters", "co", None),
    ("a year", "1934", None),
    ("a number", "2001.12.3", "2001 12 3"),
)


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
    _date_and_share(draw, keys)
    print(f"{finds:,} finds made in {time.process_time() - began:.0f} s of processor time")


def _date_and_share(draw, keys: list[int]) -> None:
    """Every third piece is shown to visitors; years of the first are worked out, the rest have the same."""
    from django.db import connection

    from catalogue.specimens.derived.redating import redate_keys
    from catalogue.specimens.derived.writer import STORED

    from . import _large

    first = keys[:DATED]
    for model, rows in ((_large.MarkReading, _large._readings), (_large.ObservedFeature, _large._features)):
        _large._write(model, rows(draw, first))
    list(redate_keys(first))
    columns = ", ".join("maker_id" if name == "maker" else name for name in STORED)
    table = _large.Specimen._meta.db_table
    with connection.cursor() as cursor:
        cursor.execute(
            f"UPDATE {table} SET ({columns}) = (SELECT {columns} FROM {table} AS one WHERE one.id = %s + "
            f"{table}.id %% {len(first)}) WHERE id > %s",
            [first[0], first[-1]],
        )
        cursor.execute(f"UPDATE {table} SET shared = (id % 3 = 0)")
        # read by visitors: all but the name of the site, which stands last
        entries = _large.SearchEntry._meta.db_table
        cursor.execute(f"UPDATE {entries} SET public = substr(text, 1, length(text) - 40)")


def _searches() -> None:
    from django.db import connection

    from catalogue.specimens.models import SearchEntry, SearchWord, WordDeletion
    from catalogue.specimens.search.answers import search
    from catalogue.specimens.search.matched import Matched
    from catalogue.specimens.search.units import read_typed

    from . import _large

    counts = [f"{model.objects.count():,}" for model in (SearchEntry, SearchWord, WordDeletion)]
    print(f"{counts[0]} entries, {counts[1]} words, {counts[2]} keys for wrong letters")
    store = sqlite3.connect(connection.settings_dict["NAME"])
    drawn = _drawn()
    print(f"ms of the search (goal {GOAL_MS}); a visitor's; drawn; bare index of nine kinds; as one; LIKE")
    for what, typed, bare in ASKED:
        typed = typed.format(RARE=_large.RARE, ABSENT=_large.ABSENT)
        took = timed(lambda typed=typed: search(typed, most=4))
        visitors = timed(lambda typed=typed: search(typed, most=4, visitor=True))
        said = (
            f"  {what} ({typed}): {took:.1f}; {visitors:.1f}; {timed(lambda typed=typed: drawn(typed)):.1f}"
        )
        if bare:
            words = f'"{bare.format(RARE=_large.RARE, ABSENT=_large.ABSENT)}"'
            floor, one = _bare(store, words, 9), _bare(store, words, 1)
            goal = f" (goal {GOAL_TIMES})" if "rare" in what or "absent" in what else ""
            said += f"; {floor:.2f}; {took / floor:.1f} times{goal}; {one:.2f} ({took / one:.1f} times)"
        units = read_typed(typed).units
        plain = timed(lambda units=units: Matched(units, False).anything(), 2)
        print(f"{said}; LIKE {plain:.0f}")


def _bare(store: sqlite3.Connection, words: str, kinds: int) -> float:
    """Milliseconds of the bare index, asked for so many spans of keys."""
    from catalogue.specimens.search.index import END_OF_KEYS, KIND_STEP, TRIGRAMS

    sql = (
        f"SELECT rowid FROM {TRIGRAMS} WHERE {TRIGRAMS} MATCH ? AND rowid >= ? AND rowid < ? "
        "ORDER BY rowid DESC LIMIT 501"
    )
    step = END_OF_KEYS if kinds == 1 else KIND_STEP
    spans = [(n * step, (n + 1) * step) for n in range(kinds)]
    return timed(lambda: [store.execute(sql, (words, *span)).fetchall() for span in spans])


def _drawn():
    """Asks for the sheet as the owner's browser does."""
    from django.contrib.auth import get_user_model
    from django.test import Client

    owner = get_user_model().objects.create_user("measured")
    client = Client(HTTP_HOST="localhost")
    client.force_login(owner)

    def ask(typed: str) -> None:
        answer = client.get("/search/", {"q": typed}, headers={"HX-Request": "true"})
        assert answer.status_code == 200, answer.status_code

    return ask
