"""The service needs nothing but Python: no web framework, no numbers package."""

import subprocess
import sys


def test_imports_neither_django_nor_numpy() -> None:
    code = (
        "import sys, dating; dating.reference(); "
        "bad = {m.split('.')[0] for m in sys.modules} & {'django', 'numpy', 'catalogue'}; print(sorted(bad))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
