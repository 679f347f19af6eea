"""Towns, bottlers and products named in a form: found again, taken from the gazetteer, or made as typed."""

import pytest

from catalogue.specimens.gazetteer import suggest
from catalogue.specimens.models import Bottler, Product, Specimen, Town
from catalogue.specimens.services.towns import (
    bottler_named,
    keep_town,
    product_named,
    town_named,
)
from catalogue.specimens.services.trade import keep_bottler
from tests import factories
from tests.specimens.derived_parts import found

pytestmark = pytest.mark.django_db


def test_a_town_typed_twice_is_one_town():
    first = town_named("Marrowby")
    assert town_named("  marrowby ") == first == town_named("MARROWBY")
    assert not first.from_gazetteer and first.latitude is None
    assert Town.objects.count() == 1


def test_a_name_the_gazetteer_has_once_gets_its_position():
    town = town_named("Schenectady")
    assert town.from_gazetteer and (town.region, town.country) == ("NY", "US")
    # Encyclopaedia Britannica: about 42.81 N, 73.94 W.
    assert town.latitude == pytest.approx(42.81, abs=0.05) and town.longitude == pytest.approx(
        -73.94, abs=0.05
    )


def test_an_ambiguous_name_is_not_guessed():
    town = town_named("Springfield")
    assert not town.from_gazetteer and town.latitude is None


def test_with_its_region_an_ambiguous_name_is_settled():
    town = town_named("Springfield, MO, US")
    assert town.from_gazetteer and (town.region, town.country) == ("MO", "US")


def test_blank_text_is_no_town():
    assert town_named("   ") is None and town_named(" , Velmoor") is None
    assert bottler_named(" ") is None and product_named("") is None


def test_names_in_any_script_get_an_address():
    towns = [town_named(name) for name in ("🍾", "🐚", "قرية", "<b>Inchgate</b>")]
    assert len({town.slug for town in towns}) == 4 and all(town.slug for town in towns)


def test_suggestions_begin_as_typed_and_the_populous_come_first():
    found = suggest("san", limit=5)
    assert len(found) == 5 and all(row.name.startswith("San") for row in found)
    populations = [row.population for row in found]
    assert populations == sorted(populations, reverse=True)
    assert suggest("") == [] and suggest("qqqqqq") == []


def test_a_bottler_is_the_one_of_that_town():
    marrowby, inchgate = factories.town("Marrowby"), factories.town("Inchgate")
    here, there = bottler_named("Quill & Sons", marrowby), bottler_named("Quill & Sons", inchgate)
    assert here != there and here.slug != there.slug
    assert bottler_named("quill & sons", marrowby) == here
    assert Bottler.objects.count() == 2


def test_of_namesakes_in_two_towns_none_is_taken_unasked():
    marrowby, inchgate = factories.town("Marrowby"), factories.town("Inchgate")
    first = bottler_named("Quill & Sons", marrowby)
    assert bottler_named("QUILL & SONS") == first, "the only one called so"
    bottler_named("Quill & Sons", inchgate)
    loose = bottler_named("Quill & Sons")
    assert loose.town is None and Bottler.objects.count() == 3
    assert bottler_named("quill & sons") == loose, "made once"


def test_a_product_is_made_once():
    quill = factories.bottler()
    first = product_named("Ginger beer", quill, "soda")
    assert product_named("GINGER BEER", quill) == first and first.contents == "soda"
    assert Product.objects.count() == 1


def test_a_renamed_town_is_found_by_its_new_name():
    town = factories.town("Marrowby")
    factories.find(town=town)
    town.name = "Great Quarl"
    keep_town(town, ["name"])
    assert len(found("great quarl")) == 1
    assert len(found("marrowby")) == 0


def test_a_bottlers_years_date_its_pieces_anew():
    quill = factories.bottler()
    factories.find(bottler=quill)
    factories.find("of somebody else")
    quill.from_year, quill.to_year = 1884, 1951
    assert keep_bottler(quill, ["from_year", "to_year"]) == 1
    assert Specimen.objects.get(bottler=quill).made_words == "about 1884 to 1951"
    assert keep_bottler(quill, []) == 0
