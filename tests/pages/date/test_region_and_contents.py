"""Every country and every content of the trade can be said in the form, and is taken."""

import re

import pytest

import dating
from catalogue.pages.parts.choices import region_words, regions
from catalogue.specimens.models import Specimen

pytestmark = pytest.mark.django_db


def chosen(text: str, name: str) -> list[str]:
    select = re.search(rf'<select[^>]*name="{name}".*?</select>', text, re.S)
    assert select
    return re.findall(r'<option value="(\w*)" selected', select[0])


def test_a_country_and_contents_without_rows_of_their_own_are_taken(owner_client):
    text = owner_client.get("/date/?region=CH&contents=ink&f=crown-finish").content.decode()
    assert (chosen(text, "region"), chosen(text, "contents")) == (["CH"], ["ink"])


def test_contents_are_those_of_the_tables():
    assert set(Specimen.Contents.values) == set(dating.reference().contents)


def test_every_country_is_offered_once_those_with_rows_first():
    codes = [code for code, _ in regions() if code]
    assert len(codes) == len(set(codes)) == 249
    assert set(codes) | {"GB"} == set(dating.reference().regions)
    assert codes.index("US") < codes.index("AD")
    assert (region_words("UK"), region_words("CH"), region_words("")) == (
        "Britain",
        "Switzerland",
        "anywhere",
    )
    assert region_words("Velmoor") == "Velmoor"


@pytest.mark.parametrize(
    ("typed", "kept"), [("Switzerland", "CH"), ("ch", "CH"), ("Britain", "UK"), ("GB", "UK"), ("  ", "US")]
)
def test_a_find_may_be_from_any_country(owner_client, typed, kept):
    given = {"what": "ink bottle", "region": "US", "region-other": typed, "contents": "ink"}
    assert owner_client.post("/finds/new/", given).status_code == 302
    find = Specimen.objects.get()
    assert (find.region, find.contents) == (kept, "ink")
    text = owner_client.get(f"/finds/{find.number}/edit/").content.decode()
    assert chosen(text, "region") == [kept]


def test_what_is_no_country_is_refused_and_stays_to_be_mended(owner_client):
    given = {"what": "ink bottle", "region": "US", "region-other": "Atlantis"}
    answer = owner_client.post("/finds/new/", given)
    assert answer.status_code == 422 and not Specimen.objects.exists()
    assert 'value="Atlantis"' in answer.content.decode()
    assert answer.content.decode().count("Atlantis") > 1
