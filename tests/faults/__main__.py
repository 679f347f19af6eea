"""``python -m tests.faults [MOMENTS] [NAME…]``: every fault in turn, or those named; exit code 1 at BAD.

MOMENTS is how often the server is killed (200 where it is left out); fifty times as many are the generated
requests.
"""

import importlib
import sys
import tempfile
import time
from pathlib import Path

from tests.attacks._report import Report

NAMES = ("killed", "cut_short", "damaged", "no_room", "many_writers", "clock", "requests")
MOMENTS = 200


def main() -> int:
    """Run what is named, print a line for each thing tried and a count for each fault."""
    words = sys.argv[1:]
    moments = int(words.pop(0)) if words and words[0].isdecimal() else MOMENTS
    if not set(words) <= set(NAMES):
        print(f"usage: python -m tests.faults [MOMENTS] {{{','.join(NAMES)}}} …", file=sys.stderr)
        return 2
    bad = 0
    for name in words or NAMES:
        report, begun = Report(name), time.monotonic()
        with tempfile.TemporaryDirectory(prefix=f"fault-{name}-", ignore_cleanup_errors=True) as room:
            importlib.import_module(f"tests.faults.{name}").fault(Path(room), report, moments)
        bad += report.end()
        print(f"     {time.monotonic() - begun:.0f} s", flush=True)
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
