"""``python -m tests.attacks [NAME…]``: run the named attacks, or ``all``, on throw-away folders.

Where DATABASE_URL names a PostgreSQL server, those of `ATTACKS_ON_A_SERVER` run on it, and no others.
"""

import importlib
import pkgutil
import sys
import tempfile
from pathlib import Path

import tests.attacks
from tests.attacks._report import Report
from tests.attacks._server import ATTACKS_ON_A_SERVER, new_database, on_a_server


def main() -> int:
    """Run what is named; without a name, list them. The exit code is 1 where anything was BAD."""
    modules = (module.name for module in pkgutil.iter_modules(tests.attacks.__path__))
    names = sorted(name for name in modules if not name.startswith("_"))
    names = [name for name in names if name in ATTACKS_ON_A_SERVER or not on_a_server()]
    chosen = names if sys.argv[1:] == ["all"] else sys.argv[1:]
    if not chosen or not set(chosen) <= set(names):
        print(f"usage: python -m tests.attacks {{{','.join(names)}}} … | all", file=sys.stderr)
        return 2
    found = 0
    for name in chosen:
        report = Report(name)
        with (
            tempfile.TemporaryDirectory(prefix="attack-", ignore_cleanup_errors=True) as room,
            new_database(name),
        ):
            importlib.import_module(f"tests.attacks.{name}").attack(Path(room), report)
        found += report.end()
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
