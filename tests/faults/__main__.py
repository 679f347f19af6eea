"""``python -m tests.faults [MOMENTS] [NAME…]``: every fault in turn, or those named; exit code 1 at BAD.

MOMENTS is how often the server is killed (200 where it is left out); fifty times as many are the generated
requests. Where DATABASE_URL names a PostgreSQL server (a user who may make databases), those that are no
matter of SQLite's file (`FAULTS_ON_A_SERVER`) run on it, and the others are refused.
"""

import importlib
import sys
import tempfile
import time
from pathlib import Path

from tests.attacks._report import Report
from tests.attacks._server import FAULTS_ON_A_SERVER, new_database, on_a_server

NAMES = ("killed", "cut_short", "damaged", "no_room", "many_writers", "clock", "requests")
MOMENTS = 200


def main() -> int:
    """Run what is named, print a line for each thing tried and a count for each fault."""
    words = sys.argv[1:]
    moments = int(words.pop(0)) if words and words[0].isdecimal() else MOMENTS
    names = FAULTS_ON_A_SERVER if on_a_server() else NAMES
    if not set(words) <= set(names):
        print(f"usage: python -m tests.faults [MOMENTS] {{{','.join(names)}}} …", file=sys.stderr)
        return 2
    bad = 0
    for name in words or names:
        report, begun = Report(name), time.monotonic()
        with (
            tempfile.TemporaryDirectory(prefix=f"fault-{name}-", ignore_cleanup_errors=True) as room,
            new_database(name),
        ):
            importlib.import_module(f"tests.faults.{name}").fault(Path(room), report, moments)
        bad += report.end()
        print(f"     {time.monotonic() - begun:.0f} s", flush=True)
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
