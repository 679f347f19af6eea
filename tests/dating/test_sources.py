"""Sources: each leads to a page that can be found, by its own title, and no working note is shown."""

import csv
import io
import json
import re
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

import pytest

from dating import Reference
from dating.library import TABLE_NAMES
from dating.tables import PUBLISHED

PAGES = {  # a page of the handbook → a word of its title
    "bases": "Bases",
    "body": "Bod",
    "colors": "Color",
    "dating": "Dating",
    "finishes": "Finish",
    "finishstyles": "Finish",
    "food": "Food",
    "liquor": "Liquor",
    "machinemadedating": "Machine",
    "medicinal": "Medicin",
    "pontil_scars": "Pontil",
    "wine": "Wine",
}
RAW_KEY = re.compile(r"\b[A-Z][A-Z0-9]+(?:-[A-Z0-9]+)+\b|\bWEITZMAN\b|\bVONMECHOW\b")


def test_no_raw_key_is_shown(ref: Reference) -> None:
    keys = {key.upper() for key in ref.sources if len(key) > 3}
    rows: list[Any] = [*ref.features.values(), *ref.marks.values(), *ref.date_codes.values()]
    for row in rows:
        for cell in (row.locator, row.note):
            assert not set(RAW_KEY.findall(cell)) & (keys | {"WEITZMAN", "VONMECHOW"}), row.id
            assert not re.search(r"\b[A-Z]+-[A-Z]+-\d{4}\b|TODO|to check", cell), row.id


@pytest.mark.parametrize("name", ["features", "date_codes"])
def test_a_page_is_cited_under_its_own_title(ref: Reference, name: str) -> None:
    for row in getattr(ref, name).values():
        titles = [ref.sources[key].title for key in row.source.split(";")]
        assert "lindsey-sha" not in row.source.split(";"), row.id  # that is the page on makers' marks
        pages = re.findall(r"sha\.org/bottle/([a-z_]+?)\d?\.htm", row.locator.split(";")[0])
        for page in pages:
            assert any(PAGES[page].lower() in title.lower() for title in titles), (row.id, page, titles)


def test_no_pair_is_laid_to_the_page_on_marks(ref: Reference) -> None:
    assert [pair.id for pair in ref.exclusions.values() if pair.source == "lindsey-sha"] == []


# Words that name no place; a page whose address was lost says of what site it was a copy.
NO_PLACE = re.compile(r"(an? )?(web )?(copy|copies|pages?)|none|(museum|industry|online) record", re.I)
# A site, in a locator or in the place of a source.
SITE = re.compile(
    r"(?<![\w.@])(?:[a-z0-9-]+\.)+(?:com|org|net|edu|gov|info|ru|us|wiki|[a-z]{2})\b(?!\.? ?\d)"
)
HANDBOOK = "Historic Glass Bottle Identification & Information Website, SHA"
# Shops and hobby pages that copy others. Where no better page was found, the row says that its page is weak.
WEAK = {"htfbw-finish", "htfbw-kerr", "htfbw-lip", "ibob-list", "jinpeng", "mason-age", "no-htfbw-origin"}


def rows(name: str) -> Iterator[dict[str, str]]:
    return csv.DictReader(io.StringIO(PUBLISHED.text(name)))


def other_pages(locator: str, places: Iterable[str]) -> set[str]:
    """The sites that a locator or note names though none of the row's sources is published there."""
    known = " ".join(places).replace(HANDBOOK, "sha.org")
    return {site for site in SITE.findall(locator) if site.removeprefix("www.") not in known}


def test_every_source_can_be_found(ref: Reference) -> None:
    for source in ref.sources.values():
        assert source.title and source.published_in
        if source.kind != "memory":
            assert not NO_PLACE.fullmatch(source.published_in), source.key


def test_every_source_is_cited(ref: Reference) -> None:
    cited = {key for name in TABLE_NAMES for row in rows(name) for key in row.get("source", "").split(";")}
    examples = json.loads((Path(__file__).parent / "worked_examples.json").read_text(encoding="utf-8"))
    cited |= {key for example in examples for key in example["source"].split(";")}
    assert set(ref.sources) - cited == set()


@pytest.mark.parametrize("name", ["marks", "features", "date_codes"])
def test_a_locator_stays_within_the_pages_of_its_sources(ref: Reference, name: str) -> None:
    found = {
        row.id: other_pages(
            f"{row.locator} {row.note}", [ref.sources[key].published_in for key in row.source.split(";")]
        )
        for row in getattr(ref, name).values()
    }
    assert {name: sites for name, sites in found.items() if sites} == {}


@pytest.mark.parametrize(
    ("locator", "places", "found"),
    [
        (
            "p.1; mark form coppercountrybottles.com/info_pages",
            ["Encyclopedia"],
            {"coppercountrybottles.com"},
        ),
        ("p.1; coppercountrybottles.com/info_pages", ["Encyclopedia", "coppercountrybottles.com"], set()),
        ("sha.org/bottle/food.htm Mason section", ["a shop"], {"sha.org"}),
        ("sha.org/bottle/food.htm Mason section", [f"{HANDBOOK}: food.htm"], set()),
        ("p.509 (citing Toulouse 1971:21-22)", ["Encyclopedia"], set()),
        ("thread of 9 Aug 2004, p.2.50", ["a forum"], set()),
    ],
)
def test_a_page_of_another_site_is_seen(locator: str, places: list[str], found: set[str]) -> None:
    assert other_pages(locator, places) == found


def test_a_row_that_rests_on_a_weak_page_says_so(ref: Reference) -> None:
    for row in [*ref.features.values(), *ref.marks.values(), *ref.date_codes.values()]:
        if WEAK & set(row.source.split(";")):
            assert "one weak page" in row.note, row.id


def test_a_book_that_was_not_read_proves_nothing(ref: Reference) -> None:
    for row in [*ref.marks.values(), *ref.date_codes.values()]:
        kinds = [ref.sources[key].kind for key in row.source.split(";")]
        if row.basis == "published":
            assert not all("(not read)" in kind for kind in kinds), row.id
