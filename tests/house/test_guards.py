"""What holds for the whole site."""

import ast
import re
from pathlib import Path

import pytest
from django.core.management import call_command

from tests.house.imports import parsed

ROOT = Path(__file__).resolve().parents[2]
SHOWN = [*(ROOT / "templates").rglob("*.html"), *(ROOT / "static").rglob("*.*")]
OUTSIDE = re.compile(r"""(?:src|href|url|import|from|action)\s*[=(]?\s*["'(]?\s*(?:https?:)?//""")


def test_there_are_templates_and_styles() -> None:
    assert len(SHOWN) > 10


@pytest.mark.parametrize("path", SHOWN, ids=lambda p: str(p.relative_to(ROOT)))
def test_nothing_is_fetched_from_outside(path: Path) -> None:
    if path.suffix in {".html", ".css", ".js", ".svg"}:
        assert not OUTSIDE.search(path.read_text(encoding="utf-8"))


@pytest.mark.parametrize(
    "path", [p for p in SHOWN if p.suffix == ".html"], ids=lambda p: str(p.relative_to(ROOT))
)
def test_no_inline_style_or_script(path: Path) -> None:
    """The content policy allows neither, so either would silently not work."""
    text = path.read_text(encoding="utf-8")
    assert not re.search(r"\sstyle\s*=", text)
    assert "<style" not in text
    assert not re.search(r"<script(?![^>]*\bsrc=)", text)
    assert not re.search(r"\son[a-z]+\s*=\s*[\"']", text)


@pytest.mark.django_db
def test_no_migration_is_missing() -> None:
    call_command("makemigrations", "--check", "--dry-run", verbosity=0)


def test_a_lock_names_the_rows_that_it_locks() -> None:
    """PostgreSQL locks every joined row too, and refuses where one may be missing (an outer join)."""
    wrong = []
    for path in (ROOT / "catalogue").rglob("*.py"):
        code = path.read_text(encoding="utf-8")
        if "select_for_update()" not in code:
            continue
        for node in ast.walk(parsed(code)):
            if isinstance(node, ast.Call) and "select_related(" in (text := ast.unparse(node)):
                wrong += [f"{path.relative_to(ROOT)}:{node.lineno}"] * ("select_for_update()" in text)
    assert not wrong, "say select_for_update(of=('self',))"
