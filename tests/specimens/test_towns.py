"""Towns, bottlers and products named in a form: found again, taken from the gazetteer, or made as typed."""

import pytest

from catalogue.specimens.gazetteer import listed, suggest
from catalogue.specimens.models import Bottler, Product, Specimen, Town
from catalogue.specimens.services.towns import (
    bottler_named,
    keep_town,
    product_named,
    town_named,
)
from catalogue.specimens.services.trade import keep_bottler
from tests import factories

pytestmark = pytest.mark.django_db


def only_once() -> tuple[str, str]:
    """A listed town whose name no other has."""
    rows = listed()
    for i in range(1, len(rows) - 1):
        if rows[i - 1].folded != rows[i].folded != rows[i + 1].folded:
            return rows[i].name, rows[i].region
    raise AssertionError("the gazetteer has no unique name")


def several_times() -> str:
    rows = listed()
    return next(a.name for a, b in zip(rows, rows[1:], strict=False) if a.folded == b.folded)


def test_a_town_typed_twice_is_one_town():
    first = town_named("Marrowby")
    assert town_named("  marrowby ") == first == town_named("MARROWBY")
    assert not first.from_gazetteer and first.latitude is None
    assert Town.objects.count() == 1


def test_a_name_the_gazetteer_has_once_gets_its_position():
    name, region = only_once()
    town = town_named(name)
    assert town.from_gazetteer and town.region == region
    assert -90 <= town.latitude <= 90 and -180 <= town.longitude <= 180


def test_an_ambiguous_name_is_not_guessed():
    town = town_named(several_times())
    assert not town.from_gazetteer and town.latitude is None


def test_with_its_region_an_ambiguous_name_is_settled():
    rows = listed()
    row = next(
        a for a, b in zip(rows, rows[1:], strict=False)
        if a.folded == b.folded and a.region and a.region != b.region
        and sum(r.folded == a.folded and r.region == a.region for r in rows) == 1
    )  # fmt: skip
    town = town_named(f"{row.name}, {row.region}, {row.country}")
    assert town.from_gazetteer and (town.region, town.country) == (row.region, row.country)


def test_blank_text_is_no_town():
    assert town_named("   ") is None and town_named(" , Velmoor") is None
    assert bottler_named(" ") is None and product_named("") is None


def test_names_in_any_script_get_an_address():
    towns = [town_named(name) for name in ("🍾", "🐚", "قرية", "<b>Inchgate</b>")]
    assert len({town.slug for town in towns}) == 4 and all(town.slug for town in towns)


def test_suggestions_begin_as_typed_and_the_populous_come_first():
    found = suggest("san", limit=5)
    assert len(found) == 5 and all(row.folded.startswith("san") for row in found)
    populations = [row.population for row in found if row.folded != "san"]
    assert populations == sorted(populations, reverse=True)
    assert suggest("") == [] and suggest("qqqqqq") == []


def test_a_bottler_is_the_one_of_that_town():
    marrowby, inchgate = factories.town("Marrowby"), factories.town("Inchgate")
    here, there = bottler_named("Quill & Sons", marrowby), bottler_named("Quill & Sons", inchgate)
    assert here != there and here.slug != there.slug
    assert bottler_named("quill & sons", marrowby) == here
    assert Bottler.objects.count() == 2


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
    assert Specimen.objects.matching("great quarl").count() == 1
    assert Specimen.objects.matching("marrowby").count() == 0


def test_a_bottlers_years_date_its_pieces_anew():
    quill = factories.bottler()
    factories.find(bottler=quill)
    factories.find("of somebody else")
    quill.from_year, quill.to_year = 1884, 1951
    assert keep_bottler(quill, ["from_year", "to_year"]) == 1
    assert Specimen.objects.get(bottler=quill).made_words == "about 1884 to 1951"
    assert keep_bottler(quill, []) == 0
