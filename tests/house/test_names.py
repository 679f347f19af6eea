"""One name, one meaning: no class and no public constant is defined in two modules of the tree."""

import ast
from collections import defaultdict

from tests.house.imports import ROOT, parsed

# What Django finds by its name.
DJANGO = {"Command"}
# A row and the value that the dating service makes of it are two sides of one thing, under one name.
TWO_SIDES = {"Inscription", "MarkReading", "Look"}


def names_of(tree: ast.Module) -> set[str]:
    """Classes and UPPER_CASE constants at the top of a module, those with a leading underscore left out."""
    names = set()
    for node in tree.body:
        if isinstance(node, ast.ClassDef):
            names.add(node.name)
        elif isinstance(node, ast.Assign | ast.AnnAssign):
            # a type variable means nothing outside the line it stands in
            if isinstance(node.value, ast.Call) and ast.unparse(node.value.func) == "TypeVar":
                continue
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            bound = [leaf for target in targets for leaf in ast.walk(target) if isinstance(leaf, ast.Name)]
            names |= {leaf.id for leaf in bound if leaf.id.isupper()}
    return {name for name in names if not name.startswith("_")}


def names_defined_twice() -> dict[str, list[str]]:
    """Every such name that more than one module defines, with the modules' paths."""
    places: dict[str, list[str]] = defaultdict(list)
    for top in ("catalogue", "dating"):
        for path in sorted((ROOT / top).rglob("*.py")):
            if "migrations" not in path.parts:
                for name in names_of(parsed(path.read_text(encoding="utf-8"))):
                    places[name].append(path.relative_to(ROOT).as_posix())
    return {name: where for name, where in sorted(places.items()) if len(where) > 1}


def test_no_name_has_two_meanings() -> None:
    assert {n: where for n, where in names_defined_twice().items() if n not in DJANGO | TWO_SIDES} == {}


def test_names_are_found_where_they_are_bound() -> None:
    tree = ast.parse("class A: pass\nB, C = 1, 2\nD: int = 3\n_E = 4\nf = 5\n")
    assert names_of(tree) == {"A", "B", "C", "D"}
