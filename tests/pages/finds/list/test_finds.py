"""The list of finds: narrowed by its address, with counts beside every choice."""

from copy import deepcopy

import pytest
from django.db import connection
from django.utils.html import escape

from catalogue.photos.models import Photo
from catalogue.specimens.models import Inscription, KnownYears, MarkReading, Specimen
from catalogue.specimens.services import Parts
from tests import factories
from tests.common.svg import parsed

from .browse_parts import five_pieces, listed

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def made(module_rows) -> dict[str, Specimen]:
    return module_rows(five_pieces)


@pytest.fixture
def shelf(made, db) -> dict[str, Specimen]:
    return deepcopy(made)


@pytest.mark.parametrize(
    ("query", "names"),
    [
        ("?town=marrowby", {"Aqua ginger-beer bottle", "Ink cone"}),
        ("?town=marrowby&town=inchgate", {"Aqua ginger-beer bottle", "Ink cone", "Case gin"}),
        ("?town=-", {"Plain flask", "Crown beer"}),
        ("?town=-&town=inchgate", {"Plain flask", "Crown beer", "Case gin"}),
        ("?maker=brackwater-bottle-company", {"Aqua ginger-beer bottle"}),
        ("?decade=1930", {"Aqua ginger-beer bottle"}),
        ("?decade=1950", set()),
        ("?decade=1780", {"Case gin"}),
        ("?decade=-", {"Ink cone", "Plain flask", "Crown beer"}),
        ("?site=heron-ledge", {"Aqua ginger-beer bottle"}),
        ("?site=tallow-cove", {"Case gin", "Ink cone"}),
        ("?site=-", {"Plain flask", "Crown beer"}),
        ("?stage=done&standing=promised", {"Crown beer"}),
        ("?stage=soaking&stage=done", {"Ink cone", "Aqua ginger-beer bottle", "Crown beer"}),
        ("?kind=ink&kind=case", {"Ink cone", "Case gin"}),
        ("?kind=-", {"Plain flask"}),
        ("?contents=soda", {"Aqua ginger-beer bottle"}),
        ("?colour=olive", {"Case gin"}),
        ("?picture=no&town=marrowby", {"Aqua ginger-beer bottle", "Ink cone"}),
        ("?picture=yes", set()),
        ("?town=marrowby&stage=soaking", {"Ink cone"}),
    ],
)
def test_filters_narrow_any_within_one_and_all_between(owner_client, shelf, query, names):
    assert set(listed(owner_client, query)) == names


def test_a_window_open_on_one_side_is_found_by_its_likely_decades(owner_client, shelf):
    known = [KnownYears(what="label law", from_year=1964)]
    factories.find("Law bottle", Parts(known=known))
    assert "Law bottle" in listed(owner_client, "?decade=1970")
    assert "Law bottle" not in listed(owner_client, "?decade=1950")
    assert "Law bottle" not in listed(owner_client, "?decade=-")


def test_the_place_is_asked_by_its_key(owner_client, shelf):
    assert listed(owner_client, f"?place={shelf['ginger'].place_id}") == ["Aqua ginger-beer bottle"]


def test_a_piece_with_a_picture_is_told_from_one_without(owner_client, shelf):
    Photo.objects.create(
        find=shelf["ink"], role="after", sha256="0" * 64, format="JPEG", bytes=1, width=10, height=10
    )
    assert listed(owner_client, "?picture=yes") == ["Ink cone"]
    assert "Ink cone" not in listed(owner_client, "?picture=no")
    assert len(listed(owner_client, "?picture=yes&picture=no")) == 5


def counts(client, query: str = "") -> dict[str, dict[str, int]]:
    """Filter -> choice -> count, as the panel shows them."""
    panel = client.get(f"/finds/{query}").context["panel"]
    return {group.key: {c.value: c.count for c in (*group.choices, *group.more)} for group in panel}


def test_counts_beside_choices(owner_client, shelf):
    shown = counts(owner_client)
    assert shown["town"] == {"marrowby": 2, "inchgate": 1, "-": 2}
    assert shown["stage"] == {"wet": 2, "soaking": 1, "done": 2}
    assert shown["site"] == {"heron-ledge": 1, "tallow-cove": 2, "-": 2}
    assert shown["picture"] == {"no": 5}
    assert shown["decade"]["1930"] == 1 and shown["decade"]["-"] == 3


def test_a_filters_own_choice_does_not_empty_its_own_counts(owner_client, shelf):
    shown = counts(owner_client, "?town=marrowby")
    assert shown["town"] == {"marrowby": 2, "inchgate": 1, "-": 2}
    assert shown["stage"] == {"soaking": 1, "done": 1}
    both = counts(owner_client, "?town=marrowby&stage=done")
    assert both["town"] == {"marrowby": 1, "-": 1}
    assert both["stage"] == {"soaking": 1, "done": 1}
    assert both["standing"] == {"free": 1}


@pytest.mark.parametrize(
    "query", ["", "?town=marrowby", "?stage=done&town=-", "?q=marrowby", "?decade=1930&decade=-", "?site=-"]
)
def test_every_count_is_what_a_click_would_show(owner_client, shelf, query):
    for key, choices in counts(owner_client, query).items():
        kept = "&".join(
            part for part in query.lstrip("?").split("&") if part and not part.startswith(f"{key}=")
        )
        for value, count in choices.items():
            assert len(listed(owner_client, f"?{kept}&{key}={value}")) == count, (key, value)


def test_a_chosen_thing_can_be_taken_away_again(owner_client, shelf):
    chips = owner_client.get("/finds/?town=marrowby&stage=done&q=gin&page=2").context["chips"]
    assert {(chip.label, chip.value, chip.without) for chip in chips} == {
        ("Search", "gin", "?town=marrowby&stage=done"),
        ("Town", "Marrowby", "?stage=done&q=gin"),
        ("Stage", "done", "?town=marrowby&q=gin"),
    }


def test_the_table_shows_the_same_finds(owner_client, shelf):
    gallery, table = listed(owner_client), listed(owner_client, "?view=table")
    assert gallery == table
    text = owner_client.get("/finds/?view=table").content.decode()
    assert "<table" in text and "brackwater-bottle-company" in text


def test_pieces_are_chosen_for_an_act_in_a_plain_form(owner_client, shelf):
    text = owner_client.get("/finds/?tick=all").content.decode()
    assert '<form id="many"' in text and 'action="/finds/many/"' in text
    for find in shelf.values():
        assert f'name="find" value="{find.number}" form="many" checked' in text
    assert " checked" not in owner_client.get("/finds/").content.decode()


def test_what_is_in_the_bin_is_not_listed_or_counted(owner_client, shelf):
    shelf["ink"].put_in_bin()
    assert "Ink cone" not in listed(owner_client)
    assert counts(owner_client)["town"]["marrowby"] == 1


def test_all_rulers_of_a_page_share_one_scale(owner_client, shelf):
    cards = owner_client.get("/finds/").context["cards"]
    rulers = [parsed(card.ruler) for card in cards if card.ruler]
    words = {tuple(each.text for each in ruler.iter("text")) for ruler in rulers}
    assert len(rulers) == 2 and len(words) == 1 and all(year.isdigit() for year in words.pop())


def test_what_is_not_dated_has_no_ruler(owner_client, shelf):
    cards = owner_client.get("/finds/").context["cards"]
    assert all(bool(card.ruler) == (card.find.made_words != "not yet dated") for card in cards)
    assert "" in [card.ruler for card in cards]


def test_a_long_name_or_another_script_is_shown(owner_client, db):
    factories.find("زجاجة 🍾 " + "n" * 150)
    assert escape("زجاجة 🍾") in owner_client.get("/finds/").content.decode()


def test_the_axis_stands_once_above_the_rows_and_not_where_nothing_is_dated(owner_client, shelf):
    text = owner_client.get("/finds/").content.decode()
    # once more in the filter of years, on the same axis
    assert text.count('class="ruler-labels"') == 2 and text.count('class="find-axis"') == 1
    assert text.count('class="ruler-band"') == 3 and text.count("How to read the years") == 1
    text = owner_client.get("/finds/?decade=-").content.decode()
    assert "ruler-" not in text and "find-axis" not in text and "How to read" not in text


def test_a_list_is_whole_on_one_page_where_it_is_asked_for(owner_client, shelf):
    for i in range(39):
        factories.find(f"piece {i}")
    first = owner_client.get("/finds/?kind=-")
    assert len(first.context["cards"]) == 32 and "?kind=-&amp;all=1" in first.content.decode()
    whole = owner_client.get("/finds/?kind=-&all=1")
    assert len(whole.context["cards"]) == 40 and "to print" not in whole.content.decode()


def test_the_menu_holds_every_order_both_ways_round_and_the_usual_one_stays_out_of_the_address(
    owner_client, shelf
):
    def menu(query: str) -> dict[str, bool]:
        return {each.value: each.chosen for each in owner_client.get(f"/finds/{query}").context["sorts"]}

    assert [value for value, chosen in menu("").items() if chosen] == [""]
    assert {"-number", "made", "-made", "name", "-town", "changed"} <= menu("").keys()
    assert [value for value, chosen in menu("?sort=-made").items() if chosen] == ["-made"]
    # an order by a column is on the menu while it holds, and while the table shows that column
    assert menu("?sort=-height")["-height"] and "height" not in menu("")
    assert {"height", "-height"} <= menu("?view=table&col=height").keys()
    for value in menu(""):
        assert len(listed(owner_client, f"?sort={value}")) == 5


def test_a_row_says_where_a_find_stands_and_has_no_ruler_without_years(owner_client, shelf):
    text = owner_client.get("/finds/").content.decode()
    rows = {name: row for row in text.split('<li class="find-row">')[1:] for name in [row.split("</a>")[0]]}
    (ginger,) = [row for name, row in rows.items() if name.endswith("Aqua ginger-beer bottle")]
    (plain,) = [row for name, row in rows.items() if name.endswith("Plain flask")]
    assert "ruler" in ginger and "free to take" in ginger and "one of 1926, 1936, 1946" in ginger
    assert "ruler" not in plain and "not yet dated" in plain and "wet" in plain


# With nothing chosen: session, owner, page of finds, covers, saved views, bounds of the sizes; 19 counts, one
# a filter (town, maker, bottler, product, decade, site, dive, year it came up, stage, standing, kind,
# contents, colour, hazards, place, pictures, matches, visitors, what is missing), and one for the year ruler
# of the whole; the sites of dives and their years (2); names of towns, makers, sites, dives, places (5).
# How many there are on all pages is the sum of any filter's counts.
# On what grounds the page's finds were taken is one query in each, but for outlines on a shelf.
GROUNDS = 1
# The axis of the catalogue that every ruler stands on is one where something is chosen: else it is made of
# the counts of the year ruler.
AXIS = 1
# The units that sizes are shown in, asked once by whatever shows one.
UNITS = 1
PLAIN = 6 + 19 + 1 + 2 + 5 + GROUNDS + UNITS
# With a choice: the chosen town's name (1), one pass for the other filters and the year ruler, and a
# GROUP BY for the town's own.
NARROWED = 6 + 1 + 2 + 1 + 5 + GROUNDS + AXIS + UNITS
# With a search: which index there is, where that is asked (SQLite), and which finds have the words (2), one
# pass over them, and lettering, readings and opinions of the page's finds for the reasons (1).
SEARCHED = 6 + 2 + 1 + 1 + 1 + 5 + GROUNDS + AXIS + UNITS
# With years chosen: one pass, and the year ruler as it is without that choice.
YEARS = 6 + 2 + 1 + 5 + GROUNDS + AXIS + UNITS


@pytest.mark.parametrize(
    ("query", "queries"),
    [
        ("", PLAIN),
        ("?town=marrowby", NARROWED),
        ("?q=e", SEARCHED),
        ("?years_from=1900&years_to=1950", YEARS),
        ("?height_from=100&height_to=400", YEARS - 1),
        ("?view=table", PLAIN),
        # and the pictures that pieces are cut out of
        ("?view=shelf", PLAIN - GROUNDS + 1),
    ],
)
def test_the_list_asks_the_same_however_many_finds(
    owner_client, shelf, django_assert_num_queries, query, queries
):
    for i in range(8):
        factories.find(
            f"extra piece {i}",
            Parts(readings=[MarkReading(letters="BW", right="6")], inscriptions=[Inscription(text="EGG")]),
            town=shelf["ginger"].town,
            dive=shelf["ginger"].dive,
            place=shelf["ginger"].place,
            height_mm=190,
        )
    index_not_asked = queries == SEARCHED and connection.vendor != "sqlite"
    with django_assert_num_queries(queries - index_not_asked):
        owner_client.get(f"/finds/{query}")


def test_a_visitor_is_sent_to_the_door(client, shelf):
    for query in ("", "?q=gin", "?tick=all"):
        answer = client.get(f"/finds/{query}")
        assert answer.status_code == 302 and answer["Location"].startswith("/enter/")


def test_the_list_is_read_only(owner_client, shelf):
    for method in ("post", "put", "delete"):
        assert getattr(owner_client, method)("/finds/").status_code == 405
