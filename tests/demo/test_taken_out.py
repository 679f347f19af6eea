"""Every public file of the demo searched for everything that visitors may not see of it."""

import io
import json
import zipfile
from html import unescape

import pytest

from catalogue.exchange.takeout.formats import OPEN_FORMATS, taken_out
from catalogue.exchange.takeout.rows import keys_of
from catalogue.people.models import Person
from catalogue.shelves.models import Place
from catalogue.sites.models import Dive, Site
from catalogue.specimens.models import Opinion, Specimen

OWNERS_COLUMNS = ("notes", "field_tag", "older_numbers", "where_on_site", "found_with")
# Numbers in a text, such as a count or a year, are no secret: only words are looked for.
SHORTEST = 4


def text_of(key: str, *, public: bool) -> str:
    """All that a file says, unzipped and without the marks of its format."""
    finds = Specimen.objects.all()
    made = b"".join(taken_out(keys_of(finds, public=public), OPEN_FORMATS[key], public=public))
    if key in ("xlsx", "ods"):
        with zipfile.ZipFile(io.BytesIO(made)) as book:
            made = b"\n".join(book.read(name) for name in book.namelist())
    text = made.decode("utf-8-sig")
    if key in ("geojson", "json-ld"):
        return json.dumps(json.loads(text), ensure_ascii=False).replace('\\"', '"')
    return unescape(text).replace('""', '"')


def private_values() -> set[str]:
    """Names, words and positions that no visitor may read."""
    said: set[str] = set()
    for person in Person.objects.all():
        said |= {person.name, person.reach}
    said |= set(Place.objects.values_list("name", flat=True)) | set(
        Place.objects.values_list("path", flat=True)
    )
    for site in Site.objects.all():
        said |= {site.notes, site.bottom, site.bed_owner}
        if site.show_as != Site.ShowAs.EXACT:
            said |= {site.name, site.slug}
            if site.latitude is not None:
                said |= {f"{float(site.latitude):.4f}", f"{float(site.longitude):.4f}"}
    shown = set(Site.objects.exclude(show_as="hidden").values_list("water_body", flat=True))
    said |= set(Site.objects.filter(show_as="hidden").values_list("water_body", flat=True)) - shown
    for dive in Dive.objects.all():
        said |= {dive.notes, dive.date.isoformat()}
    for find in Specimen.objects.all():
        said |= {line for name in OWNERS_COLUMNS for line in getattr(find, name).splitlines()}
    hidden = Specimen.objects.exclude(pk__in=Specimen.objects.for_visitors())
    said |= {f'"{number}"' for number in hidden.values_list("number", flat=True)}
    said |= set(hidden.exclude(story="").values_list("story", flat=True))
    said |= set(Opinion.objects.values_list("reason", flat=True))
    return {value.strip() for value in said if len(value.strip()) >= SHORTEST}


@pytest.fixture
def private(filled) -> set[str]:
    return private_values()


def test_the_demo_has_enough_to_hide_and_the_whole_file_says_it(private: set[str]) -> None:
    """So that the search below would find it: about every word of a find's own stands in the whole."""
    whole = text_of("csv", public=False)
    told = {value for value in private if value in whole}
    assert len(private) > 150 and len(told) > 60
    assert {site.show_as for site in Site.objects.all()} >= {"hidden", "rounded"}
    assert Specimen.objects.for_visitors().count() > 10


@pytest.mark.parametrize("key", OPEN_FORMATS)
def test_no_public_file_says_any_of_it(key: str, private: set[str]) -> None:
    public = text_of(key, public=True)
    assert {value for value in private if value in public} == set()


@pytest.mark.parametrize("key", OPEN_FORMATS)
def test_a_public_file_has_the_pieces_that_visitors_see(key: str, filled) -> None:
    """GPX alone has only those whose place is told."""
    public, finds = text_of(key, public=True), Specimen.objects.for_visitors()
    numbers = [each.number for each in finds if key != "gpx" or each.where_found]
    if key == "gpx":
        told = Site.objects.exclude(show_as="hidden").exclude(latitude=None)
        numbers = [each.number for each in finds if each.where_found in told]
    assert [number for number in numbers if number not in public] == []
