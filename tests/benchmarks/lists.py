"""How quick lists and redating are in a very large catalogue, all in one run and as ratios.

``python -m tests.benchmarks lists [--finds 100000]``: makes that many finds with three pictures each in a
folder that is thrown away. Times are processor time, the fastest of a few; the floor is each page's own
queries put to SQLite directly plus its template filled from plain objects.
"""

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

PORT = 8791


def timed(run: Callable[[], object], times: int = 5) -> float:
    """Processor milliseconds of the fastest run; one before it warms up."""
    run()
    took = []
    for _ in range(times):
        began = time.process_time()
        run()
        took.append(time.process_time() - began)
    return min(took) * 1000


def main(finds: int = 100_000) -> None:
    """Build, measure, print."""
    with tempfile.TemporaryDirectory(prefix="siltmark-lists-") as folder:
        os.environ["SILTMARK_DATA"] = folder
        os.environ.setdefault("DJANGO_SETTINGS_MODULE", "catalogue.settings")
        import django

        django.setup()
        _build(finds)
        _redating(finds)
        _lists(finds)
        _first_page(Path(folder))


def _build(finds: int) -> None:
    from django.core.management import call_command
    from django.db import connection

    from tests import factories

    from . import _large

    began = time.process_time()
    call_command("migrate", verbosity=0)
    factories.brackwater()
    connection.cursor().execute("PRAGMA synchronous=OFF")
    _large.fill(finds)
    connection.cursor().execute("PRAGMA synchronous=FULL")
    print(
        f"{finds:,} finds with their pictures made in {time.process_time() - began:.0f} s of processor time"
    )


def _redating(finds: int) -> None:
    """The whole catalogue twice: with every answer new, and after a mark changed with nearly all the same."""
    import datetime

    from catalogue.specimens.derived.redating import redate_stale, stale
    from catalogue.specimens.models import OwnMark, PhraseChange

    steps = redate_stale()
    next(steps)
    steps.close()
    print(f"redating stopped after a batch leaves {stale().count():,} to do")
    for what in ("every answer new", "after one mark changed"):
        left = stale().count()
        begun, clock = _processor(), time.perf_counter()
        steps = sum(1 for _ in redate_stale())
        phrases = PhraseChange.objects.count()
        took, waited = _processor() - begun, time.perf_counter() - clock
        per = 100_000 / left
        print(
            f"redating, {what}: {waited * per:.1f} s by the clock for 100,000 (goal 60 s), "
            f"{took * per:.1f} s of processor time in all, {steps} steps, {phrases:,} phrases changed"
        )
        later = datetime.datetime(2030, 1, 1, tzinfo=datetime.UTC)
        OwnMark.objects.update(from_year=1930, changed=later)
    OwnMark.objects.update(from_year=1922)
    list(redate_stale())


def _processor() -> float:
    """Processor seconds of this process and of those it started that have ended."""
    spent = os.times()
    return spent.user + spent.system + spent.children_user + spent.children_system


def _lists(finds: int) -> None:
    """The finds list against its floor and against the framework's own list with the same filters."""
    from django.test import override_settings

    from catalogue.specimens.models import Town

    town = Town.objects.get(slug="town-0")
    asked = (
        ("unfiltered", "", ""),
        ("one filter, a town", "?town=town-0", f"?town__id__exact={town.pk}"),
        ("one filter, most of all", "?stage=done", "?stage__exact=done"),
        (
            "three filters",
            "?town=town-0&stage=done&decade=1900",
            f"?town__id__exact={town.pk}&stage__exact=done&decade=1900",
        ),
        ("unfiltered, the last page", f"?page={finds // 48}", f"?p={finds // 48 - 1}"),
        ("unfiltered, as a table by town", "?view=table&sort=town", "?o=3"),
        # years drawn on the ruler, and a size: the framework's list has neither
        ("years", "?years_from=1900&years_to=1920", None),
        ("years and a filter", "?years_from=1900&years_to=1920&stage=done", None),
        ("a size", "?height_from=100&height_to=200", None),
    )
    client = _owner()
    print("finds list: processor time; floor; times the floor; the framework's own list, counted and not")
    with override_settings(ROOT_URLCONF="tests.benchmarks._administration"):
        for what, ours, theirs in asked:
            took, floor, queries = _beside_floor(client, f"/finds/{ours}")
            said = f"  {what}: {took:.0f} ms; {floor:.0f} ms ({queries} queries); {took / floor:.1f} times"
            if theirs is None:
                print(f"{said} (goal 3)")
                continue
            other = [
                timed(lambda at=f"/{site}/specimens/specimen/{theirs}": _whole(client, at), 2)
                for site in ("counted", "plain")
            ]
            print(
                f"{said} (goal 3); {other[0]:.0f} ms, {other[0] / took:.0f} times ours (goal 10); "
                f"without counts {other[1]:.0f} ms, {other[1] / took:.1f} times ours"
            )


def _first_page(folder: Path) -> None:
    """From the start of the program to the first page, by the clock."""
    from http.cookiejar import CookieJar
    from urllib.request import HTTPCookieProcessor, build_opener

    words = [sys.executable, "manage.py", "start", "--no-browser", "--port", str(PORT), "--data", str(folder)]
    for what in ("once", "again"):
        began = time.perf_counter()
        with subprocess.Popen(words, stdout=subprocess.PIPE, text=True) as program:
            assert program.stdout is not None
            link = next(line.strip() for line in program.stdout if "/enter/" in line)
            opened = time.perf_counter() - began
            browser = build_opener(HTTPCookieProcessor(CookieJar()))
            first = len(browser.open(link, timeout=60).read())
            took = time.perf_counter() - began
            program.terminate()
        print(
            f"started {what}: ready after {opened:.2f} s, first page ({first:,} bytes) after {took:.2f} s by "
            "the clock (goal 2 s)"
        )


def _owner():
    from django.test import Client

    from catalogue.access.services import the_owner

    client = Client(SERVER_NAME="127.0.0.1")
    client.force_login(the_owner())
    return client


def _whole(client, address: str) -> None:
    answer = client.get(address)
    assert answer.status_code == 200, (address, answer.status_code)


def _beside_floor(client, address: str) -> tuple[float, float, int]:
    """Milliseconds of the page and of its floor, and how many queries both have."""
    from ._floor import floor_of

    floor, queries = floor_of(client, address)
    return timed(lambda: _whole(client, address)), timed(floor), queries
