"""The service needs nothing but Python: no web framework, no numbers package."""

import subprocess
import sys
from itertools import pairwise
from pathlib import Path

from dating import Reference, reference
from tests.dating.own_rows import MARKS

ROOT = Path(__file__).resolve().parents[2]


def test_imports_neither_django_nor_numpy() -> None:
    code = (
        "import sys, dating; dating.reference(); "
        "bad = {m.split('.')[0] for m in sys.modules} & {'django', 'numpy', 'catalogue'}; print(sorted(bad))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_every_remembered_piece_says_what_invalidates_it() -> None:
    for path in sorted((ROOT / "dating").glob("*.py")):
        lines = path.read_text(encoding="utf-8").splitlines()
        for before, line in pairwise(lines):
            if "lru_cache(" in line:
                assert before.startswith("# Remembered "), (path.name, line)
    assert "invalidates" in (Reference.remember.__doc__ or "")


def test_own_rows_begin_with_an_empty_memory() -> None:
    ref = reference()
    made = ref.remember(("a test's own key",), object)
    assert ref.remember(("a test's own key",), object) is made
    own = ref.with_own(MARKS)
    assert own.remember(("a test's own key",), object) is not made
