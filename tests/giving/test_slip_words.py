"""The years on the slip that goes with a piece: the phrase of its page, with its doubt."""

import pytest

from catalogue.care.models import ConditionReport, Damage
from catalogue.common.models import HouseSettings
from catalogue.giving.slip import slip_words
from catalogue.specimens.models import Specimen
from catalogue.specimens.services import Parts
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("phrase", "line"),
    [
        ("about 1870 to 1890", "Made: about 1870 to 1890"),
        ("probably 1936", "Made: probably 1936"),
        (
            "not dated by this mark; if it is Skerry Works: 1919–1922",
            "Not dated by this mark; if it is Skerry Works: 1919–1922",
        ),
        ("not yet dated", ""),
        ("", ""),
    ],
)
def test_the_slip_says_no_more_of_the_years_than_its_page(phrase, line):
    find = factories.find()
    find.made_words = phrase
    assert slip_words(find)["made_words"] == line


def test_it_tells_water_and_month_and_holds_the_hidden_site_back():
    site = factories.site("Tallow Cove", water_body="Velmoor Sound", latitude=44.5, longitude=-67.2)
    find = factories.find(
        "Soda of Tallow Cove", dive=factories.dive(site), story="It lay in Tallow Cove.", kind="soda"
    )
    words = slip_words(find)
    assert words["where_found"] == "Velmoor Sound, June 2024"
    assert "Tallow" not in repr(words) and "44" not in words["where_found"]
    # the find itself is as it was
    assert find.story == "It lay in Tallow Cove."


def test_reasons_and_doubt_stand_where_they_say_what_the_page_says():
    find = make_dated()
    words = slip_words(find)
    assert 1 <= len(words["reasons"]) <= 2 and words["ruler"]["curve"]
    assert all(line.endswith(".") for line in words["reasons"])
    find.made_words = "about 1700"
    assert slip_words(find)["reasons"] == []


def make_dated():
    factories.brackwater()
    find = factories.find(parts=Parts(readings=[factories.reading("BW", symbol="wave")]))
    return Specimen.objects.get(pk=find.pk)


def test_condition_hazards_and_giver():
    HouseSettings(owner_name="Ansel Quick").save()
    find = factories.find()
    report = ConditionReport.objects.create(find=find, on="2025-10-03", grade="fragile", note="Private note")
    Damage.objects.create(report=report, kind="weeping", extent="little", part="body")
    words = slip_words(Specimen.objects.get(pk=find.pk))
    assert words["condition"] == "fragile (October 2025): weeping, body, under a tenth"
    assert any("falling apart" in line for line in words["hazards"])
    assert words["giver"] == "Ansel Quick" and "Private" not in repr(words)


def test_a_hold_is_no_caution_for_whoever_gets_it():
    find = factories.find(site=factories.site(wreck="yes"))
    assert not [line for line in slip_words(find)["hazards"] if "wreck" in line]
