"""Scripts without a build: they parse, import what is there, keep nothing unused.

Parsed by node where there is one; tests/browser/test_scripts.py does the same in the browser.
"""

import re
import shutil
import subprocess
from pathlib import Path

import pytest

from tests.house.sheets import STATIC, name

SCRIPTS = sorted(STATIC.rglob("*.js"))
NODE = shutil.which("node")
WORD = re.compile(r"[A-Za-z_$][\w$]*")
TOP = re.compile(r"^(?:export )?(?:async )?(?:function|class|const|let) ([A-Za-z_$][\w$]*)", re.MULTILINE)
EXPORT = re.compile(r"^export (?:async )?(?:function|class|const|let) ([A-Za-z_$][\w$]*)", re.MULTILINE)
IMPORTED = re.compile(r"""^import \{([^}]*)\} from ["']([^"']+)["'];$""", re.MULTILINE)


def code(path: Path) -> str:
    """A script without its comments."""
    return re.sub(
        r"/\*.*?\*/|^\s*//.*$", "", path.read_text(encoding="utf-8"), flags=re.DOTALL | re.MULTILINE
    )


@pytest.mark.skipif(
    NODE is None, reason="node is not installed; tests/browser/test_scripts.py parses them as well"
)
@pytest.mark.parametrize("path", SCRIPTS, ids=name)
def test_node_parses_it(path: Path) -> None:
    with path.open() as source:
        said = subprocess.run(
            [str(NODE), "--check", "--input-type=module"],
            stdin=source,
            capture_output=True,
            text=True,
            check=False,
        )
    assert said.returncode == 0, said.stderr


@pytest.mark.parametrize("path", SCRIPTS, ids=name)
def test_nothing_at_its_top_is_unused(path: Path) -> None:
    text = code(path)
    words = WORD.findall(text)
    exported = set(EXPORT.findall(text))
    own = [top for top in TOP.findall(text) if top not in exported and words.count(top) < 2]
    taken = [each.strip() for names, _ in IMPORTED.findall(text) for each in names.split(",")]
    assert own == []
    assert [each for each in taken if words.count(each) < 2] == []


def test_what_is_exported_is_imported_somewhere() -> None:
    taken = {
        ((path.parent / source).resolve(), each.strip())
        for path in SCRIPTS
        for names, source in IMPORTED.findall(code(path))
        for each in names.split(",")
    }
    given = {(path, each) for path in SCRIPTS for each in EXPORT.findall(code(path))}
    assert given - taken == set()
    assert taken - given == set()


@pytest.mark.parametrize("path", SCRIPTS, ids=name)
def test_pointer_and_server_are_met_in_one_place(path: Path) -> None:
    """Otherwise each page would capture pointers, read tokens and meet a lost line in its own way."""
    text = code(path)
    if name(path) != "common/pointer.js":
        assert not re.search(r"pointermove|pointerup|setPointerCapture|ArrowLeft", text)
    if name(path) != "common/fetch.js":
        assert not re.search(r"\bfetch\(|XMLHttpRequest|X-CSRFToken", text)
