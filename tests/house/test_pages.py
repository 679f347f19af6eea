"""One front: every page lies where its address says, and nowhere else."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from django.urls import URLPattern, URLResolver, get_resolver

from catalogue.specimens.services.makers import NOT_A_MAKER
from tests.house.imports import ROOT, files_of, module_imports, package_rings, rings_of

DOMAIN = [p.parent.name for p in (ROOT / "catalogue").glob("*/apps.py") if p.parent.name != "pages"]
# First words of addresses that are not the name of their room.
ROOM_OF = {
    "": "home",
    "f": "finds",
    "giveaways": "giving",
    "enter": "access",
    "leave": "access",
    "p": "labels",
}


def patterns(of: list[URLPattern | URLResolver], before: str = "") -> Iterator[tuple[str, str]]:
    """Every address below the front door with the module of its view."""
    for entry in of:
        address = before + str(entry.pattern).lstrip("^")
        if isinstance(entry, URLResolver):
            yield from patterns(entry.url_patterns, address)
        else:
            yield address, entry.callback.__module__


ADDRESSES = [(a, m) for a, m in patterns(get_resolver().url_patterns) if not a.startswith("admin/")]


def test_there_are_addresses() -> None:
    assert len(ADDRESSES) > 150


@pytest.mark.parametrize(("address", "module"), ADDRESSES, ids=[a for a, _ in ADDRESSES])
def test_an_address_leads_to_the_room_of_its_name(address: str, module: str) -> None:
    first = address.split("/")[0]
    room = ROOM_OF.get(first, first.replace("-", "_"))
    assert module == f"catalogue.pages.{room}" or module.startswith(f"catalogue.pages.{room}.")


@pytest.mark.parametrize("app", DOMAIN)
def test_views_and_addresses_are_nowhere_else(app: str) -> None:
    for path in files_of(app):
        assert path.stem not in {"views", "urls"} and "views" not in path.parts, path
        text = path.read_text(encoding="utf-8")
        assert "django.views.decorators" not in text and "login_not_required" not in text, path


def test_no_page_takes_the_address_of_a_name() -> None:
    """A fixed address and one that begins with a name, of the same form: nothing is called by that word."""
    taken: dict[str, set[str]] = {}
    # A key of the door is no name: it is 43 signs drawn at random.
    split = [address.strip("/").split("/") for address, _ in ADDRESSES if not address.startswith("enter/")]
    for room, *fixed in split:
        for other, *named in split:
            if other != room or len(named) != len(fixed) or not named or named == fixed:
                continue
            begins = named[0].startswith("<str:") and not fixed[0].startswith("<")
            if begins and all(a == b or b[0] == "<" for a, b in zip(fixed[1:], named[1:], strict=True)):
                taken.setdefault(room, set()).add(fixed[0])
    assert taken == {"makers": NOT_A_MAKER}, "put the word into NOT_A_MAKER of specimens/services/makers.py"


def test_templates_and_static_files_lie_in_the_same_tree() -> None:
    """A folder of a page's templates has the name of the package that renders them."""
    for top in ("templates", "static"):
        for folder in (ROOT / top / "pages").rglob("*"):
            if folder.is_dir():
                twin = ROOT / "catalogue" / "pages" / folder.relative_to(ROOT / top / "pages")
                assert twin.is_dir() or twin.with_suffix(".py").is_file(), folder


def test_whatever_answers_get_answers_head() -> None:
    """`require_safe` for what only shows, `GET_OR_POST` for a form: both let HEAD in."""
    for path in files_of("pages"):
        text = path.read_text(encoding="utf-8")
        assert "require_GET" not in text and '.method == "GET"' not in text, path
        assert "require_http_methods" not in text or path.stem == "http_methods", path


def test_no_packages_import_each_other_in_a_ring() -> None:
    assert package_rings() == []


def test_no_modules_import_each_other_in_a_ring() -> None:
    assert rings_of(module_imports()) == []


def test_a_ring_would_be_found(tmp_path: Path) -> None:
    for name, other in (("a", "b"), ("b", "c"), ("c", "a")):
        (tmp_path / "catalogue" / name).mkdir(parents=True)
        (tmp_path / "catalogue" / name / "x.py").write_text(f"from catalogue.{other} import x\n")
    assert package_rings(tmp_path) == [["catalogue.a", "catalogue.b", "catalogue.c"]]
