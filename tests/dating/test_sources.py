"""Sources: each leads to a page that can be found, by its own title, and no working note is shown."""

import re
from typing import Any

import pytest

from dating import Reference

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


def test_every_source_can_be_found(ref: Reference) -> None:
    for source in ref.sources.values():
        assert source.title and source.published_in
