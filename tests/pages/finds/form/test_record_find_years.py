"""Years as people and as EDTF write them: kept as EDTF, anything finer refused with its reason."""

import csv
from pathlib import Path

import pytest
from django import forms

from catalogue.common.forms.fields import RecoveredField, YearsField
from catalogue.specimens.models import KnownYears, Specimen
from catalogue.specimens.services import Parts
from dating import edtf
from tests import factories

from .record_form import filled

CASES = Path(__file__).parents[3] / "dating" / "edtf_cases.csv"


def written() -> list[str]:
    with CASES.open(encoding="utf-8", newline="") as lines:
        rows = [next(iter(row.values())) for row in csv.DictReader(lines)]
    assert len(rows) > 20
    return [text.strip() for text in rows if text.strip()]


@pytest.mark.parametrize("text", written())
@pytest.mark.parametrize("field", [YearsField(required=False), RecoveredField(required=False)])
def test_a_field_takes_what_the_dating_service_takes(field, text):
    """Years outside what a bottle can have are refused as well; people's ways of writing are taken."""
    try:
        read = edtf.parse(text)
    except edtf.EdtfError as error:
        try:
            assert edtf.parse(field.clean(text))  # a way people write that EDTF does not know
        except forms.ValidationError as refusal:
            assert str(error) in refusal.messages[0]
        return
    in_reach = (read.earliest or 1600) <= 2026 and (read.latest or read.earliest or 2026) >= 1600
    if in_reach:
        assert field.clean(text) == text
    else:
        with pytest.raises(forms.ValidationError):
            field.clean(text)


@pytest.mark.parametrize(
    ("typed", "kept"),
    [("about 1930", "1930~"), ("the 1930s", "193X"), ("1926 to 1931", "1926/1931"), ("[1926,1936]",) * 2],
)
def test_known_years_as_people_write_them_date_the_find(db, owner_client, typed, kept):
    data = filled(known=[{"what": "directory", "edtf": typed}])
    assert owner_client.post("/finds/new/", data).status_code == 302
    row = KnownYears.objects.get()
    assert (row.edtf, row.from_year, row.to_year) == (kept, None, None)
    assert Specimen.objects.get().made_words != "not yet dated"


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"edtf": "1931-05-01"}, "finer than a year"),
        ({"edtf": "2999"}, "in the future"),
        ({"edtf": "1931", "from_year": "1930"}, "in one way"),
        ({"edtf": "soon"}, "is no year"),
        ({"edtf": "1" * 61}, "60 go in"),
        ({}, "at least one year"),
    ],
)
def test_known_years_that_can_not_be_are_said_by_the_field(db, owner_client, change, words):
    answer = owner_client.post("/finds/new/", filled(known=[{"what": "directory"} | change]))
    assert answer.status_code == 422 and words in answer.content.decode()
    assert not Specimen.everything.exists()


def test_editing_shows_the_years_as_written(db, owner_client):
    find = factories.find(parts=Parts(known=[KnownYears(what="directory", edtf="1926~/1931")]))
    assert 'value="1926~/1931"' in owner_client.get(f"/finds/{find.number}/edit/").content.decode()
    assert find.made_words == "about 1921 to 1931"  # about adds five years on its side
