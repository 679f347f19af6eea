"""Towns: where bottlers sold, how many there are, and how far from there the pieces lay."""

import pytest

from catalogue.specimens.models import Maker, MarkReading, Product, Specimen, Town, Works
from catalogue.specimens.services import Parts
from tests import factories
from tests.specimens.derived_parts import found

pytestmark = pytest.mark.django_db


@pytest.fixture
def marrowby(db) -> Town:
    """A town with three pieces of two bottlers, one of them of a maker, from two sites."""
    town = factories.town("Marrowby", region="Velmoor", country="GB", latitude=36.12, longitude=-86.67)
    far = factories.site("Heron Ledge", latitude="33.940000", longitude="-118.400000")
    near = factories.site("Tallow Cove", latitude="36.120000", longitude="-86.570000")
    hidden = factories.site("Whelk Bank")
    factories.brackwater()
    quill = factories.bottler("Quill & Sons", town=town, from_year=1884, to_year=1951)
    for site in (far, near, hidden):
        factories.find(
            f"bottle from {site}",
            Parts(readings=[MarkReading(letters="BW", symbol="wave", right="6")]) if site is far else None,
            town=town,
            bottler=quill if site is far else None,
            dive=factories.dive(site),
        )
    return town


def test_how_many_towns(owner_client, marrowby):
    factories.find(town=factories.town("Inchgate"))
    factories.town("Brinemouth")
    text = owner_client.get("/towns/").content.decode()
    assert "<h1>2 towns</h1>" in text
    assert "4 pieces marked for them" in text
    assert "No piece yet" in text.split("Brinemouth")[0].split("Inchgate")[1]


def test_by_letter_or_by_number_of_pieces(owner_client, marrowby):
    factories.find(town=factories.town("Åsund"))
    by_letter = owner_client.get("/towns/").context["groups"]
    assert [(letter, [t.name for t in rows]) for letter, rows in by_letter] == [
        ("A", ["Åsund"]),
        ("M", ["Marrowby"]),
    ]
    ((_, by_count),) = owner_client.get("/towns/?by=count").context["groups"]
    assert [(town.name, town.pieces) for town in by_count] == [("Marrowby", 3), ("Åsund", 1)]


def test_many_towns_come_in_pages_that_the_letters_lead_to(owner_client):
    for letter in "ABCDEFGH":
        for n in range(7):
            factories.town(f"{letter}{n}")
    first = owner_client.get("/towns/")
    assert sum(len(rows) for _, rows in first.context["groups"]) == 48
    text = first.content.decode()
    assert 'href="#letter-G"' in text and 'href="?page=2#letter-H"' in text
    second = owner_client.get("/towns/?page=2")
    assert [letter for letter, _ in second.context["groups"]] == ["G", "H"]
    assert 'href="?page=1#letter-A"' in second.content.decode()
    turned = owner_client.get("/towns/?by=count&page=2").context["groups"]
    assert [(letter, len(rows)) for letter, rows in turned] == [("", 8)]


def test_pieces_without_a_town_are_counted_and_led_to(owner_client, marrowby):
    factories.find("nameless")
    text = owner_client.get("/towns/").content.decode()
    assert "/finds/?town=-" in text and "1 without a town" in text


def test_a_towns_page_says_marked_for_and_not_made_in(owner_client, marrowby):
    text = owner_client.get("/towns/marrowby/").content.decode()
    assert "3 pieces marked for <bdi>Marrowby</bdi>" in text
    assert "not where the glass was made" in text
    assert "made in Marrowby" not in text


def test_pieces_stand_by_year_on_one_scale(owner_client, marrowby):
    series = owner_client.get("/towns/marrowby/").context["series"]
    assert series.count == 3
    assert series.cards[0].find.made_words.startswith("one of")
    assert "Year ruler: the years of 3 pieces added up" in series.ruler


def test_distances_from_the_town_nearest_first(owner_client, marrowby):
    rows = owner_client.get("/towns/marrowby/").context["distances"]
    assert [(site.name, count) for site, _, count in rows] == [("Tallow Cove", 1), ("Heron Ledge", 1)]
    # Nashville to Los Angeles airports, a published check value of the haversine formula for this radius
    assert rows[1][1] == pytest.approx(2886.4484, abs=0.001)
    text = owner_client.get("/towns/marrowby/").content.decode()
    assert "2886 km" in text and "9.0 km" in text
    assert "Whelk Bank" not in [site.name for site, _, _ in rows]


def test_a_town_without_a_position_has_no_distances(owner_client, marrowby):
    Town.objects.update(latitude=None, longitude=None)
    answer = owner_client.get("/towns/marrowby/")
    assert answer.context["distances"] == []
    assert "position is not on record" in answer.content.decode()


def test_bottlers_and_makers_of_a_towns_pieces(owner_client, marrowby):
    context = owner_client.get("/towns/marrowby/").context
    assert [(b.name, b.pieces) for b in context["bottlers"]] == [("Quill & Sons", 1)]
    assert [(m.name, m.pieces) for m in context["makers"]] == [("Brackwater Bottle Company", 1)]


def test_notes_and_position_are_changed(owner_client, marrowby):
    answer = owner_client.post(
        "/towns/marrowby/edit/",
        {
            "name": "Marrowby",
            "region": "Velmoor",
            "country": "gb",
            "latitude": "44° 20' 30\" N",
            "longitude": "75 55.2 W",
            "notes": "<b>Two</b> breweries.",
        },
    )
    assert answer.status_code == 302
    marrowby.refresh_from_db()
    assert marrowby.latitude == pytest.approx(44.341667) and marrowby.longitude == pytest.approx(-75.92)
    assert marrowby.country == "GB"
    assert "&lt;b&gt;Two&lt;/b&gt; breweries." in owner_client.get("/towns/marrowby/").content.decode()


def test_a_new_name_is_found_at_once_and_the_address_stays(owner_client, marrowby):
    owner_client.post("/towns/marrowby/edit/", {"name": "Great Marrowby", "region": "Velmoor"})
    assert owner_client.get("/towns/marrowby/").status_code == 200
    assert len(found("great marrowby")) == 3


@pytest.mark.parametrize(
    ("field", "value", "word"),
    [
        ("longitude", "200", "between -180 and 180"),
        ("latitude", "ninety", "can't be read"),
        ("country", "Gibberish", "No country of that name"),
        ("country", "1!", "two letters"),
        ("country", "n" * 61, "60 go in"),
        ("name", "", "required"),
        ("name", "n" * 10_000, "200 go in"),
        ("notes", "n" * 10_001, "10,000 go in"),
    ],
)
def test_bad_input_is_said_by_its_field_and_saves_nothing(owner_client, marrowby, field, value, word):
    data = {"name": "Marrowby", "region": "Velmoor", "latitude": "1", "longitude": "2", "notes": "new"}
    answer = owner_client.post("/towns/marrowby/edit/", data | {field: value})
    assert answer.status_code == 422
    assert word in " ".join(answer.context["form"].errors[field])
    marrowby.refresh_from_db()
    assert marrowby.notes == "" and marrowby.latitude == 36.12


def test_half_a_position_is_refused(owner_client, marrowby):
    answer = owner_client.post("/towns/marrowby/edit/", {"name": "Marrowby", "latitude": "44"})
    assert "neither" in answer.context["form"].errors["longitude"][0]


def test_the_same_town_twice_is_refused(owner_client, marrowby):
    factories.town("Inchgate")
    answer = owner_client.post(
        "/towns/inchgate/edit/", {"name": "Marrowby", "region": "Velmoor", "country": "GB"}
    )
    assert answer.status_code == 422
    assert "already in the catalogue" in answer.content.decode()


def test_the_old_address_of_a_bottlers_form_leads_to_the_new_one(owner_client, marrowby):
    answer = owner_client.get("/towns/bottlers/quill-sons/")
    assert answer.status_code == 301 and answer["Location"] == "/bottlers/quill-sons/edit/"


# Session, owner, towns with their counts, the years of their pieces, the axis, finds without a town; whether
# those that look like one changed, and which of them were said to be two.
LIST = 6 + 2
# Session, owner, town, pieces, covers, bottlers, makers; four that tell whether the joined tables changed;
# how the pieces of each maker spread, whose own marks are whose; products, glassworks here; the axis;
# what was merged into it, what is wished of it.
PAGE = 7 + 4 + 2 + 2 + 1 + 2


@pytest.mark.parametrize(("path", "queries"), [("/towns/", LIST), ("/towns/marrowby/", PAGE)])
def test_pages_ask_the_same_however_many_pieces(
    owner_client, marrowby, django_assert_num_queries, path, queries
):
    for i in range(6):
        factories.find(
            f"more {i}", town=marrowby, bottler=factories.bottler(f"Bottler {i}"), dive=factories.dive()
        )
        factories.town(f"Town {i}")
    owner_client.get(path)  # the joined tables are kept from one page to the next
    with django_assert_num_queries(queries):
        owner_client.get(path)


def test_each_town_has_a_line_on_one_scale(owner_client, marrowby):
    factories.find(town=factories.town("Inchgate"), parts=None)
    answer = owner_client.get("/towns/")
    assert len(answer.context["lines"]) == 1
    text = answer.content.decode()
    assert text.count('class="ruler"') == 1 and "Year ruler: 1 dated piece<" in text
    assert "not yet dated" in text  # Inchgate


def test_lines_are_worked_out_for_the_towns_of_the_page_alone(owner_client, marrowby):
    first = [Town(name=f"A {n}", slug=f"a-{n}") for n in range(48)]
    Specimen.objects.bulk_create(
        Specimen(
            what="jar", town=town, number=f"2020.0.{n}", number_year=2020, number_ordinal=0, number_piece=n
        )
        for n, town in enumerate(Town.objects.bulk_create(first), start=1)
    )
    assert owner_client.get("/towns/").context["lines"] == {}
    assert set(owner_client.get("/towns/?page=2").context["lines"]) == {marrowby.pk}


def test_years_that_a_code_allows_and_no_piece_is_of(owner_client, marrowby):
    """BW with one digit, 1922 to 1950; this town's bottler was there 1884 to 1931 by now."""
    marrowby.bottlers.update(to_year=1931)
    (shown,) = owner_client.get("/towns/marrowby/").context["grids"]
    states = {cell.year: cell.state for _, cells in shown.grid.rows for cell in cells if cell}
    assert set(states) == set(range(1922, 1932))
    assert [year for year, state in states.items() if state != "missing"] == [1926]
    assert shown.grid.missing == 9
    text = owner_client.get("/towns/marrowby/").content.decode()
    assert "none yet of 9" in text
    assert "?town=marrowby&amp;maker=brackwater-bottle-company&amp;years_from=1926&amp;years_to=1926" in text


def test_a_bottler_of_unknown_years_leaves_all_years_of_the_code(owner_client, marrowby):
    marrowby.bottlers.update(from_year=None, to_year=None)
    (shown,) = owner_client.get("/towns/marrowby/").context["grids"]
    assert (shown.grid.years, shown.grid.held, shown.grid.maybe) == (29, 0, 3)


def test_products_and_glassworks_of_a_town(owner_client, marrowby):
    product = Product.objects.create(name="Velm cordial", slug="velm", bottler=marrowby.bottlers.get())
    Specimen.objects.filter(town=marrowby).update(product=product)
    Works.objects.create(maker=Maker.objects.own().get(), name="Hill works", town=marrowby, from_year=1904)
    context = owner_client.get("/towns/marrowby/").context
    assert [(p.name, p.pieces) for p in context["products"]] == [("Velm cordial", 3)]
    text = owner_client.get("/towns/marrowby/").content.decode()
    assert "Glassworks here" in text and "Hill works" in text and "1904–" in text


def test_notes_are_written_on_the_page_itself(owner_client, marrowby):
    answer = owner_client.post("/towns/marrowby/notes/", {"notes": "Two <i>breweries</i>."})
    assert answer.url == "/towns/marrowby/"
    marrowby.refresh_from_db()
    assert marrowby.notes == "Two <i>breweries</i>." and marrowby.latitude == 36.12
    assert "Two &lt;i&gt;breweries" in owner_client.get("/towns/marrowby/").content.decode()
    answer = owner_client.post("/towns/marrowby/notes/", {"notes": "n" * 10_001})
    assert answer.status_code == 422 and "10,000 go in" in answer.content.decode()
    assert owner_client.get("/towns/marrowby/notes/").status_code == 405
    assert owner_client.post("/towns/atlantis/notes/", {"notes": "x"}).status_code == 404
    marrowby.refresh_from_db()
    assert marrowby.notes == "Two <i>breweries</i>."


@pytest.mark.parametrize("path", ["/towns/atlantis/", "/towns/atlantis/edit/"])
def test_an_unknown_town_is_not_found(owner_client, db, path):
    assert owner_client.get(path).status_code == 404


@pytest.mark.parametrize(
    "path",
    [
        "/towns/",
        "/towns/marrowby/",
        "/towns/marrowby/edit/",
        "/towns/marrowby/notes/",
    ],
)
def test_a_visitor_may_not_and_other_methods_are_refused(client, owner_client, marrowby, path):
    assert client.get(path).status_code == 302
    assert client.post(path, {"name": "Taken"}).status_code in (302, 405)
    assert not Town.objects.filter(name="Taken").exists()
    assert owner_client.delete(path).status_code == 405
