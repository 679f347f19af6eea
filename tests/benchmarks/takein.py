"""A spreadsheet judged and written: ``python -m tests.benchmarks takein [--rows 10000]``.

In a folder that is thrown away. Prints processor time and time by the clock of reading the file, of the dry
run of so many messy new rows, of writing them, of their undo, and of the dry run of all that was written out.
The floor is the csv module reading the same bytes.
"""

import csv
import io
import os
import tempfile
import time
from collections.abc import Callable
from typing import Any

SAID = {"make_sites": True, "make_places": True, "make_dives": True, "unread_into_notes": True}


def main(rows: int = 10_000) -> None:
    """Build, measure, print."""
    with tempfile.TemporaryDirectory(prefix="siltmark-take-in-") as folder:
        os.environ["SILTMARK_DATA"] = folder
        os.environ.setdefault("DJANGO_SETTINGS_MODULE", "catalogue.settings")
        import django

        django.setup()
        from django.core.management import call_command

        call_command("migrate", verbosity=0)
        _measure(rows)


def _measure(rows: int) -> None:
    from catalogue.exchange.takein.answers import SheetAnswers
    from catalogue.exchange.takein.dry_run import run_dry
    from catalogue.exchange.takein.read_any import read_sheet
    from catalogue.exchange.takein.stored_sheet import begin_take_in
    from catalogue.exchange.takein.undo_take_in import undo_take_in
    from catalogue.exchange.takein.write_rows import write_take_in
    from catalogue.exchange.takeout.formats import OPEN_FORMATS, taken_out
    from catalogue.exchange.takeout.rows import keys_of
    from catalogue.specimens.models import Specimen
    from tests import factories
    from tests.exchange.takein.sheets import csv_of, messy

    factories.brackwater()
    data = csv_of(messy(rows=rows))
    timed("the csv module reads it", lambda: list(csv.reader(io.StringIO(data.decode()))))
    sheet = timed("read as a sheet", lambda: read_sheet("messy.csv", data))
    take_in = begin_take_in("messy.csv", data, sheet)
    said = SheetAnswers(units={"height": "mm"}, orders={"date found": "day"}, **SAID)
    take_in.answers = said.to_store()
    take_in.save()
    timed(f"dry run of {len(sheet.rows):,} new rows", lambda: run_dry(take_in))
    print(take_in.counts)
    timed("written", lambda: write_take_in(take_in.pk, only_good=True))
    keys = keys_of(Specimen.objects.all(), public=False)
    for key in ("csv", "xlsx", "ods"):
        out = timed(
            f"out as {key}", lambda key=key: b"".join(taken_out(keys, OPEN_FORMATS[key], public=False))
        )
        back = timed(f"in from {key}", lambda key=key, out=out: read_sheet(f"all.{key}", out))
    again = begin_take_in("all.ods", out, back)
    timed(f"dry run of {len(back.rows):,} rows on record", lambda: run_dry(again))
    print(again.counts)
    timed("undone", lambda: undo_take_in(take_in.pk))


def timed(what: str, do: Callable[[], Any]) -> Any:
    """Do it, and print how long it took."""
    clock, worked = time.perf_counter(), time.process_time()
    done = do()
    print(
        f"{what}: {time.process_time() - worked:.2f} s processor, {time.perf_counter() - clock:.2f} s",
        flush=True,
    )
    return done
