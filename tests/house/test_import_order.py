"""The rooms know only what is below them; the arithmetic knows no room at all."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

from tests.house.imports import ROOT, files_of, imported, parsed

ORDER = [
    "common",
    "access",
    "people",
    "shelves",
    "sites",
    "specimens",
    "photos",
    "care",
    "giving",
    "labels",
    "exchange",
    "pages",
]
# rooms of numbers in, numbers out: what they may not import
PURE = {
    "catalogue/care/chemistry": {"django", "numpy", "PIL"},
    "catalogue/photos/imaging": {"django"},
    "catalogue/common/drawings": {"django", "numpy", "PIL"},
}


@pytest.mark.parametrize("app", ORDER)
def test_an_app_imports_only_apps_below_it(app: str) -> None:
    files = files_of(app)
    assert files, f"there is no code in {app}"
    above = ORDER[ORDER.index(app) + 1 :]
    wrong = [
        f"{path.relative_to(ROOT)} imports {name}"
        for path in files
        for name in imported(path)
        for other in above
        if name == f"catalogue.{other}" or name.startswith(f"catalogue.{other}.")
    ]
    assert not wrong


def test_every_app_of_the_catalogue_is_in_the_order() -> None:
    apps = {p.parent.name for p in (ROOT / "catalogue").glob("*/apps.py")}
    assert apps == set(ORDER)


def test_dating_imports_no_django_and_no_room() -> None:
    files = list((ROOT / "dating").rglob("*.py"))
    assert files
    for path in files:
        for name in imported(path):
            assert name.split(".")[0] not in {"django", "catalogue", "numpy", "PIL"}, f"{path} imports {name}"


def test_dating_loads_no_django_in_a_fresh_interpreter() -> None:
    code = (
        "import sys, dating; dating.reference(); "
        "print([m for m in ('django', 'catalogue', 'numpy') if m in sys.modules])"
    )
    run = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"


@pytest.mark.parametrize("name", PURE)
def test_a_pure_room_stays_pure(name: str) -> None:
    files = [*(ROOT / name).rglob("*.py"), *([ROOT / f"{name}.py"] if (ROOT / f"{name}.py").exists() else [])]
    assert files, f"{name} is gone"
    allowed = name.replace("/", ".")
    for path in files:
        for module in imported(path):
            assert module.split(".")[0] not in PURE[name], f"{path} imports {module}"
            inside = module == allowed or module.startswith(f"{allowed}.")
            assert inside or not module.startswith("catalogue"), f"{path} imports {module}"


def code_files() -> list[Path]:
    """All code but the steps of the database's history."""
    tops = ("catalogue", "dating", "demo_fixtures")
    return [p for top in tops for p in (ROOT / top).rglob("*.py") if "migrations" not in p.parts]


def test_no_long_file_of_code() -> None:
    """A file is named for the one thing in it; past 300 lines it holds several."""
    long = [
        str(path.relative_to(ROOT))
        for path in code_files()
        if len(path.read_text(encoding="utf-8").splitlines()) > 300
    ]
    assert not long


def test_no_long_function() -> None:
    long = [
        f"{path.relative_to(ROOT)}: {node.name}"
        for path in code_files()
        for node in ast.walk(parsed(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        and (node.end_lineno or node.lineno) - node.lineno >= 60
    ]
    assert not long
