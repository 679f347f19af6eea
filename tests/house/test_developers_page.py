"""DEVELOPERS.md is held against the tree: its map, and every path that it names."""

import re
from pathlib import Path

import pytest

from tests.house.imports import ROOT

PAGE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
MAP = PAGE.split("## Map", 1)[1].split("```", 2)[1].strip("\n").splitlines()
# What a screen of a laptop holds.
SCREEN_LINES, SCREEN_LETTERS = 50, 120
# Folders whose paths DEVELOPERS.md may shorten.
SHORT_FOR = ("", "catalogue", "dating", "dating/reference", "templates")
PATH = re.compile(r"`([\w.][\w./-]*(?:/|\.(?:py|csv|html|css|js|toml|json|md)))`")

# "`FACETS` of `pages/finds/list/facets.py`": a name and the file it stands in.
NAME_IN = re.compile(r"`(\w+)` (?:of|in) " + PATH.pattern)


def mapped() -> list[tuple[Path, str]]:
    """Each folder or file that the map names, with its line: two blanks are one step down."""
    found: list[tuple[Path, str]] = []
    above: list[str] = []
    for line in MAP:
        depth = (len(line) - len(line.lstrip())) // 2
        for name in line.split():
            if not re.fullmatch(r"[\w.-]+/|[\w-]*(?:/[\w-]+)?\.\w+|\.ci/run", name):
                break
            above[depth:] = [name.strip("/")]
            found.append((ROOT.joinpath(*above), line))
    return found


def test_the_map_fits_on_one_screen() -> None:
    assert len(MAP) <= SCREEN_LINES
    assert all(len(line) <= SCREEN_LETTERS for line in MAP)


@pytest.mark.parametrize("path", [p for p, _ in mapped()], ids=lambda p: str(p.relative_to(ROOT)))
def test_what_the_map_names_is_there(path: Path) -> None:
    assert path.exists()


@pytest.mark.parametrize("top", ["catalogue", "catalogue/pages"])
def test_the_map_leaves_no_folder_out(top: str) -> None:
    there = {p.parent for p in (ROOT / top).glob("*/__init__.py")}
    there -= {ROOT / "catalogue" / "pages" / "templatetags"}
    assert there <= {path for path, _ in mapped()}


@pytest.mark.parametrize("name", sorted(set(PATH.findall(PAGE.replace("\n".join(MAP), "")))))
def test_every_path_that_is_named_is_there(name: str) -> None:
    assert any((ROOT / short / name).exists() for short in SHORT_FOR), name


@pytest.mark.parametrize(("name", "path"), sorted(set(NAME_IN.findall(PAGE))))
def test_a_name_stands_in_the_file_it_is_said_to(name: str, path: str) -> None:
    there = next((ROOT / short / path for short in SHORT_FOR if (ROOT / short / path).is_file()), None)
    assert there is None or re.search(rf"\b{name}\b", there.read_text(encoding="utf-8"))


def test_the_glossary_is_short() -> None:
    rows = [
        r for r in PAGE.split("## Glossary", 1)[1].split("\n## ", 1)[0].splitlines() if r.startswith("- ")
    ]
    assert 0 < len(rows) <= 10
