"""The year ruler of the whole list, and spans of years and sizes: by the address, never a dead end."""

import re
from copy import deepcopy
from urllib.parse import quote

import pytest

from catalogue.common.models import HouseSettings
from catalogue.specimens.models import KnownYears, Specimen
from catalogue.specimens.queries import catalogue_axis
from catalogue.specimens.services import Parts
from tests import factories
from tests.common.svg import parsed

from .browse_parts import five_pieces, listed, said

pytestmark = pytest.mark.django_db
GINGER, CASE = "Aqua ginger-beer bottle", "Case gin"


def pieces_of_the_shelf() -> dict[str, Specimen]:
    """One of 1926, 1936, 1946; one of about 1780 to 1790; three without years. Two are measured."""
    pieces = five_pieces()
    pieces["ink"].height_mm, pieces["crown"].height_mm = "65", "240.5"
    for name in ("ink", "crown"):
        pieces[name].save(update_fields=["height_mm"])
    return pieces


@pytest.fixture(scope="module")
def made(module_rows) -> dict[str, Specimen]:
    return module_rows(pieces_of_the_shelf)


@pytest.fixture
def shelf(made, db) -> dict[str, Specimen]:
    return deepcopy(made)


def year_sum(client, query: str = ""):
    return client.get(f"/finds/{query}").context["sum"]


@pytest.mark.parametrize(
    ("first", "last", "names"),
    [
        ("1926", "1926", {GINGER}),
        ("1927", "1935", set()),
        ("1935", "1940", {GINGER}),
        ("1700", "1785", {CASE}),
        ("1790", "", {CASE, GINGER}),
        ("1791", "", {GINGER}),
        ("", "1779", set()),
        ("", "1930", {CASE, GINGER}),
        ("", "", {GINGER, CASE, "Ink cone", "Plain flask", "Crown beer"}),
    ],
)
def test_years_are_narrowed_to_those_a_piece_may_be_of(owner_client, shelf, first, last, names):
    assert set(listed(owner_client, f"?years_from={first}&years_to={last}")) == names


def test_ten_years_are_as_the_decade_says(owner_client, shelf):
    factories.find("Law bottle", Parts(known=[KnownYears(what="label law", from_year=1964)]))
    quarrel = [KnownYears(what="a", to_year=1850), KnownYears(what="b", from_year=1950)]
    factories.find("Quarrel", Parts(known=quarrel))
    for decade in range(1600, 2030, 10):
        spanned = listed(owner_client, f"?years_from={decade}&years_to={decade + 9}")
        assert sorted(spanned) == sorted(listed(owner_client, f"?decade={decade}")), decade


def test_the_ruler_adds_up_all_pages_and_counts_what_has_no_years(owner_client, shelf):
    for i in range(60):
        factories.find(f"jar {i}", Parts(known=[KnownYears(what="seal", from_year=1850, to_year=1851)]))
    shown = year_sum(owner_client)
    assert (shown.dated, shown.undated) == (62, 3)
    axis = catalogue_axis()
    assert (shown.slider.low, shown.slider.high) == (axis.first, axis.last - 1)
    assert year_sum(owner_client, "?page=2").drawing == shown.drawing
    assert year_sum(owner_client, "?town=marrowby").dated == 1


def test_it_is_drawn_in_level_steps(owner_client, shelf):
    drawing = year_sum(owner_client).drawing
    root = parsed(f"<div>{drawing}</div>")
    (path,) = [each.get("d") for each in root.iter("path") if each.get("class") == "rule-band"]
    # 1926 stands alone, a year wide: up at its start and down at its end
    scale = catalogue_axis().scale
    first, last = (f"{scale.x(year):.2f}".rstrip("0").rstrip(".") for year in (1926, 1927))
    assert re.search(rf"L{first} 40L{first} [\d.]+L{last} [\d.]+L{last} 40", path)


def test_cards_keep_the_axis_of_the_catalogue_whatever_is_chosen(owner_client, shelf):
    whole = {card.find.pk: card.ruler for card in owner_client.get("/finds/").context["cards"]}
    (card,) = owner_client.get("/finds/?kind=soda").context["cards"]
    assert card.ruler and card.ruler == whole[card.find.pk]


def test_years_chosen_dim_the_rest_and_can_be_opened_again(owner_client, shelf):
    answer = owner_client.get("/finds/?years_from=1920&years_to=1929&town=marrowby")
    shown = answer.context["sum"]
    assert shown.dated == 1 and (shown.slider.first, shown.slider.last) == (1920, 1929)
    page = answer.content.decode()
    assert '<a href="?town=marrowby">all years</a>' in page
    assert ("Made", "1920 to 1929", "?town=marrowby") in {
        (chip.label, chip.value, chip.without) for chip in answer.context["chips"]
    }


def test_the_ruler_stays_when_no_piece_is_of_the_years_chosen(owner_client, shelf):
    answer = owner_client.get("/finds/?years_from=1800&years_to=1810")
    assert answer.context["cards"] == [] and answer.context["sum"].dated == 2
    assert "Nothing is like that" in answer.content.decode()


@pytest.mark.parametrize(
    ("query", "names"),
    [
        ("?height_from=60&height_to=70", ["Ink cone"]),
        ("?height_to=240", ["Crown beer", "Ink cone"]),
        ("?height_from=66", ["Crown beer"]),
        ("?height_from=241", []),
        ("?height_from=70&height_to=60", ["Ink cone"]),
        ("?diameter_from=1", []),
    ],
)
def test_sizes_are_narrowed_by_whole_millimetres(owner_client, shelf, query, names):
    assert listed(owner_client, query) == names


@pytest.mark.parametrize("units", ["metric", "inch"])
@pytest.mark.parametrize(
    ("typed", "names"),
    [
        ('9 1/2"', ["Crown beer", "Ink cone"]),
        ("9.5 in", ["Crown beer", "Ink cone"]),
        ("240 mm", ["Ink cone"]),
        ("24 cm", ["Ink cone"]),
    ],
)
def test_an_end_is_typed_in_any_unit_whichever_is_shown(owner_client, shelf, units, typed, names):
    """9 1/2 inches are 241.3 mm, above the crown beer's 240.5."""
    HouseSettings(units=units).save()
    # shown in mm, 240 mm means whatever reads off as 240
    expected = ["Crown beer", "Ink cone"] if units == "metric" else names
    assert listed(owner_client, f"?height_to={quote(typed)}") == expected


def test_in_inches_the_filter_and_its_chip_say_inches(owner_client, shelf):
    HouseSettings(units="inch").save()
    answer = owner_client.get(f"/finds/?height_from={quote('2 1/2')}&height_to=9.5")
    (height,) = answer.context["sliders"]
    # 65 and 240.5 mm are 2.56 and 9.47 inches, out to quarters
    assert (height.low, height.high, height.step) == (2.5, 9.5, 0.25)
    assert (height.first, height.last) == (2.5, 9.5)
    assert ("Height", '2 1/2" to 9 1/2"') in {(chip.label, chip.value) for chip in answer.context["chips"]}
    cells = owner_client.get("/finds/?view=table&col=height").content.decode()
    found = re.findall(r'data-label="Height, in">([^<]*)<', cells)
    assert {"2.56", "9 15/32"} <= set(found), found


def test_sliders_run_between_what_is_on_record(owner_client, shelf):
    (height,) = owner_client.get("/finds/").context["sliders"]
    assert (height.kind.key, height.low, height.high) == ("height", 65, 240)
    shelf["ink"].put_in_bin()
    assert owner_client.get("/finds/").context["sliders"] == []
    asked = owner_client.get("/finds/?height_from=100&height_to=900").context["sliders"]
    assert [(slider.low, slider.high, slider.first, slider.last) for slider in asked] == [
        (240, 241, 240, 241)
    ]


def test_counts_follow_a_span(owner_client, shelf):
    panel = owner_client.get("/finds/?years_from=1920").context["panel"]
    towns = next(group for group in panel if group.key == "town")
    assert {(choice.value, choice.count) for choice in towns.choices} == {("marrowby", 1)}


@pytest.mark.parametrize(
    ("query", "sentence"),
    [
        ("?years_from=1950&years_to=1920", "1950 is more than 1920"),
        ("?years_from=soon", "“soon” is not a year"),
        ("?years_to=99999", "“99999” is not a year"),
        ("?years_from=-5", "is not a year"),
        ("?years_from=%EF%BF%BD", "is not a year"),
        ("?years_from=%C2%B2", "is not a year"),
        ("?years_from=nan", "is not a year"),
        ("?years_from=inf", "is not a year"),
        ("?height_from=1e400", "can't be read"),
        ("?height_to=tall", "“tall” can't be read, so it was left out. Write it as 83 mm"),
    ],
)
def test_nonsense_is_said_and_left_out(owner_client, shelf, query, sentence):
    assert any(sentence in each for each in said(owner_client, query))


def test_both_ends_work_without_script(owner_client, shelf):
    page = owner_client.get("/finds/").content.decode()
    (form,) = re.findall(r'id="find-filters".*?</form>', page, re.DOTALL)
    for name in ("years_from", "years_to", "height_from", "height_to"):
        assert re.search(rf'<input type="(number|text)"[^>]*name="{name}"', form), name
    assert form.count("data-handles hidden") == 2
    assert '<button class="btn q list-bar-show" type="submit">Show</button>' in form


def test_a_page_past_the_end_with_a_span_is_the_last_page(owner_client, shelf):
    answer = owner_client.get("/finds/?years_from=1700&page=999999")
    assert answer.context["page"].number == 1
    assert any("no page 999999" in str(m) for m in answer.context["messages"])
