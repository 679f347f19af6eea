"""The same of what leaves: programs of visitors, files for others, carried pages, searches, error pages.

Nothing of it changes, to the byte, when a site is moved within what its setting hides.
"""

import re
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.test import Client, override_settings

from catalogue.access.api_keys import make_api_key
from catalogue.exchange.api.kinds import PLAIN_KINDS
from catalogue.exchange.takeout.formats import OPEN_FORMATS, taken_out
from catalogue.exchange.takeout.rows import keys_of
from catalogue.pages.safekeeping.carried.make import make_pages
from catalogue.sites.models import Site
from catalogue.specimens.models import Specimen, Town
from tests.access.example_rows import Examples, made_examples

# Of these the moment of writing stands in the file; their rows are those of the others.
WITHOUT_A_CLOCK = [key for key in OPEN_FORMATS if key not in ("xlsx", "ods")]
SEARCHES = ("bottle", "sound", "tallow", "44.5", "67")
WITHIN_ONE_CELL = [(44.51, -67.28), (44.599, -67.201)]
ELSEWHERE = (-12.3, 130.9)
CHANGING = {"Content-Security-Policy", "Content-Length"}
CSRF_TOKEN = re.compile(r"\b[A-Za-z0-9]{64}\b")


@pytest.fixture(scope="module")
def made(module_pictures) -> tuple[Examples, Path]:
    return module_pictures(_with_a_town)


def _with_a_town() -> Examples:
    made = made_examples()
    Town.objects.update(latitude=44.9, longitude=-67.9)
    return made


@pytest.fixture
def examples(made: tuple[Examples, Path], db: None) -> Iterator[Examples]:
    with override_settings(DATA_DIR=made[1], MEDIA_ROOT=made[1] / "files"):
        yield made[0]


def by_programs(key: str) -> dict[str, bytes]:
    """Every list that a visitors' program may read, with its headers, the tag among them."""
    heard = {}
    for kind in ("finds", "pictures", *PLAIN_KINDS):
        said = Client().get(f"/api/v1/{kind}/", headers={"Authorization": f"Bearer {key}"})
        headers = {name: value for name, value in said.headers.items() if name not in CHANGING}
        heard[f"api {kind}"] = said.content + repr((said.status_code, sorted(headers.items()))).encode()
    return heard


def by_files() -> dict[str, bytes]:
    keys = keys_of(Specimen.objects.all(), public=True)
    return {
        key: b"".join(taken_out(keys, OPEN_FORMATS[key], public=True)) for key in WITHOUT_A_CLOCK
    } | {"order": repr(keys).encode()}  # fmt: skip


def by_searches() -> dict[str, bytes]:
    return {
        f"search {words}": Client().get("/search/", {"q": words}).content.split(b"<main")[1]
        for words in SEARCHES
    }


def by_carried_pages(target: Path) -> dict[str, bytes]:
    made = make_pages(target)
    assert made.pieces
    with zipfile.ZipFile(target) as archive:
        # All of it lies in a folder called as the zip.
        return {name.split("/", 1)[1]: archive.read(name) for name in archive.namelist()}


@pytest.mark.parametrize("show_as", ["hidden", "rounded"])
def test_what_leaves_tells_no_more_than_the_setting(examples, tmp_path, show_as: str) -> None:
    key = make_api_key("Page", "public")

    def told(n: int, lat: float, lon: float) -> dict[str, bytes]:
        hidden = {"name": f"Tallow Site {n}", "slug": f"tallow-{n}"} if show_as == "hidden" else {}
        Site.objects.update(show_as=show_as, latitude=lat, longitude=lon, water_body="Sound", **hidden)
        carried = by_carried_pages(tmp_path / f"{n}.zip")
        return by_programs(key) | by_files() | by_searches() | carried

    first, *others = [told(n, lat, lon) for n, (lat, lon) in enumerate(WITHIN_ONE_CELL)]
    elsewhere = told(9, *ELSEWHERE)
    assert {"api finds", "geojson", "gpx", "index.html", "exhibit.html", "pieces.js"} <= set(first)
    for other in [*others, *([elsewhere] if show_as == "hidden" else [])]:
        assert [name for name in first if first[name] != other.get(name)] == []
        assert set(first) == set(other)
    if show_as == "rounded":
        # The check can fail: from another cell, pages and files tell something else.
        changed = {name for name in first if first[name] != elsewhere.get(name)}
        assert {"geojson", "gpx", "csv"} <= changed
        assert any(name.startswith("pieces/") or "finds/" in name for name in changed)


def test_a_private_piece_and_none_at_all_are_told_alike(examples: Examples) -> None:
    """Status, headers and page: whoever tries numbers in turn learns nothing, also not by an error page."""
    private = Specimen.objects.exclude(pk__in=Specimen.objects.for_visitors()).first()
    shown = Specimen.objects.for_visitors().get()
    for address in ("/finds/{}/", "/finds/{}/lay/before.jpg", "/giving/{}/ask/"):
        answers = {}
        for number in (private.number, "1999.9.9", shown.number):
            said = Client().get(address.format(number))
            headers = sorted((name, value) for name, value in said.headers.items() if name not in CHANGING)
            told = repr((said.status_code, headers)) + said.content.decode("latin-1")
            answers[number] = CSRF_TOKEN.sub("", told.replace(number, "N"))
        assert answers[private.number] == answers["1999.9.9"], address
        assert answers[private.number] != answers[shown.number], address
