"""The plates know numbers only: no framework, no table, nothing of the catalogue."""

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[3]


def test_loads_numpy_and_pillow_only() -> None:
    code = (
        "import sys, catalogue.photos.imaging; "
        "print([m for m in ('django', 'cv2', 'scipy', 'catalogue.photos.models') if m in sys.modules])"
    )
    run = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"


def test_imports_nothing_else_of_the_catalogue() -> None:
    files = list((ROOT / "catalogue" / "photos" / "imaging").glob("*.py"))
    assert files
    for path in files:
        text = path.read_text(encoding="utf-8")
        assert "from .." not in text, path
        assert "django" not in text, path
        assert "from catalogue" not in text, path
