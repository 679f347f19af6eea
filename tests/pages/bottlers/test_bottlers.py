"""Bottlers: a list, a page of each, its years in business, and what is not on record of it."""

from copy import deepcopy

import pytest

from catalogue.specimens.derived.check import differences
from catalogue.specimens.models import Bottler, MarkReading, Specimen, Town
from catalogue.specimens.services import Parts
from tests import factories
from tests.posted import opened

pytestmark = pytest.mark.django_db


def quill_and_namesake() -> Bottler:
    """Two dated pieces for two towns, one of a known maker; its namesake elsewhere has none."""
    marrowby, inchgate = factories.town("Marrowby"), factories.town("Inchgate")
    factories.brackwater()
    quill = factories.bottler("Quill & Sons", town=marrowby, from_year=1884, to_year=1951, source="Directory")
    factories.bottler("Quill & Sons", town=inchgate)
    beer = factories.product("Ginger beer", bottler=quill)
    read = Parts(readings=[MarkReading(letters="BW", symbol="wave", right="6")])
    factories.find("ginger", read, town=marrowby, bottler=quill, product=beer)
    factories.find("soda", town=inchgate, bottler=quill)
    return quill


@pytest.fixture(scope="module")
def made(module_rows) -> Bottler:
    return module_rows(quill_and_namesake)


@pytest.fixture
def quill(made: Bottler, db: None) -> Bottler:
    return deepcopy(made)


def form_of(client, row, **typed: str) -> tuple[str, dict[str, list[str]]]:
    """The address of a row's form, and what it would send with these typed."""
    return opened(client, f"{row.get_absolute_url()}edit/", **typed)


def test_the_list_has_those_with_pieces_first_and_tells_namesakes_apart(owner_client, quill):
    factories.bottler("Abel Orr")
    answer = owner_client.get("/bottlers/")
    rows = [
        (letter, [(b.name, b.beside, b.pieces) for b in rows]) for letter, rows in answer.context["groups"]
    ]
    assert rows == [
        ("Q", [("Quill & Sons", "Marrowby, 1884 to 1951", 2)]),
        ("none", [("Abel Orr", "", 0), ("Quill & Sons", "Inchgate", 0)]),
    ]
    text = answer.content.decode()
    assert "<h1>1 bottler</h1>" in text and "2 pieces" in text


def test_a_page_of_the_list_holds_48_and_a_page_that_is_not_there_is_said(owner_client, db):
    for n in range(49):
        factories.bottler(f"Bottler {n:02}")
    first = owner_client.get("/bottlers/")
    assert sum(len(rows) for _, rows in first.context["groups"]) == 48
    assert "There is no page 7" in str(list(owner_client.get("/bottlers/?page=7").context["messages"])[0])


def test_its_page_shows_pieces_by_year_towns_makers_and_products(owner_client, quill):
    answer = owner_client.get(quill.get_absolute_url())
    context, text = answer.context, answer.content.decode()
    assert quill.get_absolute_url() == "/bottlers/quill-sons/"
    assert context["series"].count == 2 and context["series"].ruler
    assert [(t.name, t.pieces) for t in context["towns"]] == [("Inchgate", 1), ("Marrowby", 1)]
    assert [m.name for m in context["makers"]] == ["Brackwater Bottle Company"]
    assert [(p.name, p.pieces) for p in context["products"]] == [("Ginger beer", 1)]
    assert "In business 1884 to 1951" in text and "Directory" in text
    for address in ("/towns/marrowby/", "/makers/brackwater-bottle-company/", "/products/ginger-beer/"):
        assert f'href="{address}"' in text
    assert "/finds/?bottler=quill-sons" in text


def test_what_is_not_on_record_is_named(owner_client, quill):
    other = factories.bottler("Orr & Daughters", to_year=1900)
    gaps = owner_client.get(other.get_absolute_url()).context["gaps"]
    assert gaps == [
        "the town that it sold in",
        "its first year in business",
        "where the years are known from",
    ]
    assert owner_client.get(quill.get_absolute_url()).context["gaps"] == ["where Marrowby lies"]
    Town.objects.update(latitude=50, longitude=-3)
    assert owner_client.get(quill.get_absolute_url()).context["gaps"] == []


def test_its_finds_are_what_the_list_of_finds_narrows_to(owner_client, quill):
    factories.find("flask")
    shown = owner_client.get("/finds/?bottler=quill-sons")
    assert {card.find.what for card in shown.context["cards"]} == {"ginger", "soda"}
    shown = owner_client.get("/finds/?bottler=-")
    assert [card.find.what for card in shown.context["cards"]] == ["flask"]


def test_its_years_are_evidence_and_the_form_says_what_changed(owner_client, quill):
    address, values = form_of(owner_client, quill, from_year="1930", to_year="1940")
    answer = owner_client.post(address, values, follow=True)
    assert answer.redirect_chain == [(quill.get_absolute_url(), 302)]
    # the other piece has nothing but those years
    assert "The years of 2 finds changed." in answer.content.decode()
    assert Specimen.objects.get(what="ginger").made_words == "1936"


def test_years_out_of_order_are_refused_by_their_field(owner_client, quill):
    answer = owner_client.post(*form_of(owner_client, quill, from_year="1940", to_year="1930"))
    assert answer.status_code == 422
    assert "before 1940" in answer.context["form"].errors["to_year"][0]
    quill.refresh_from_db()
    assert quill.from_year == 1884


def test_notes_are_written_from_the_page(owner_client, quill):
    page = quill.get_absolute_url()
    assert owner_client.post(f"{page}notes/", {"notes": "<b>by</b> the quay"}).status_code == 302
    assert "&lt;b&gt;by&lt;/b&gt; the quay" in owner_client.get(page).content.decode()


def test_doubtful_years_count_for_less_than_certain_ones(owner_client, quill):
    """The other piece has nothing but the bottler's years: a window where they are sure, else only likely."""
    soda = Specimen.objects.get(what="soda")
    assert (soda.made_from, soda.made_to) == (1884, 1951)
    address, values = form_of(owner_client, quill, years_certainty="doubtful")
    answer = owner_client.post(address, values, follow=True)
    assert "The years of 1 find changed." in answer.content.decode()
    assert "1884 to 1951, doubtful" in answer.content.decode()
    soda.refresh_from_db()
    assert (soda.made_from, soda.made_to) == (None, None)
    assert list(differences(Specimen.objects.values_list("pk", flat=True))) == []


def test_its_town_is_typed_and_an_unknown_one_is_made(owner_client, quill):
    address, values = form_of(owner_client, quill, town="Quarl Harbour")
    assert owner_client.post(address, values).status_code == 302
    quill.refresh_from_db()
    assert str(quill.town) == "Quarl Harbour"
    address, values = form_of(owner_client, quill, town="")
    owner_client.post(address, values)
    quill.refresh_from_db()
    assert quill.town is None


def test_two_of_one_name_in_one_town_are_refused_and_nothing_is_kept(owner_client, quill):
    address, values = form_of(owner_client, quill, town="Inchgate", notes="mine")
    answer = owner_client.post(address, values)
    assert answer.status_code == 422
    assert "already a bottler of that name there" in answer.context["form"].errors["name"][0]
    assert "mine" in answer.content.decode()
    quill.refresh_from_db()
    assert (quill.town.name, quill.notes) == ("Marrowby", "")


@pytest.mark.parametrize(
    ("field", "value", "word"),
    [
        ("name", "", "required"),
        ("name", "n" * 10_000, "200 go in"),
        ("town", "t" * 10_000, "200 go in"),
        ("from_year", "ninety", "whole number"),
        ("from_year", "12", "from 1600"),
        ("years_certainty", "sure", "none of the choices"),
        ("source", "s" * 501, "500 go in"),
        ("notes", "n" * 10_001, "10,000 go in"),
    ],
)
def test_bad_input_is_said_by_its_field_and_saves_nothing(owner_client, quill, field, value, word):
    towns = Town.objects.count()
    typed = {"town": "Brinemouth", "source": "new"} | {field: value}
    answer = owner_client.post(*form_of(owner_client, quill, **typed))
    assert answer.status_code == 422
    assert word in answer.context["form"].errors[field][0]
    quill.refresh_from_db()
    assert quill.source == "Directory" and Town.objects.count() == towns


def test_it_goes_into_the_bin_only_without_pieces_and_comes_back(owner_client, quill):
    at = f"/bin/bottler/{quill.pk}/"
    answer = owner_client.post(f"{at}", follow=True)
    assert "stays, as it is named by 2 finds" in answer.content.decode()
    assert Bottler.objects.filter(pk=quill.pk).exists()
    Specimen.objects.update(bottler=None)
    answer = owner_client.post(f"{at}", {"next": "/bottlers/"}, follow=True)
    text = answer.content.decode()
    assert answer.redirect_chain[-1][0] == "/bottlers/" and "Quill &amp; Sons is in the bin." in text
    assert f"{at}back/" in text
    shown = owner_client.get(quill.get_absolute_url())
    assert "This bottler is in the bin" in shown.content.decode()
    assert "Quill &amp; Sons" in owner_client.get("/bin/").content.decode()
    assert owner_client.post(f"{at}back/").status_code == 302
    assert Bottler.objects.filter(pk=quill.pk).exists()


# Session, owner, the bottler, its pieces, covers, axis, towns, makers, products; what was merged, wished.
PAGE = 9 + 2
# Session, owner, bottlers, how many pieces each has, the years of theirs, the axis; whether look-alikes
# changed, and which are two.
LIST = 6 + 2


@pytest.mark.parametrize(("path", "queries"), [("/bottlers/", LIST), ("/bottlers/quill-sons/", PAGE)])
def test_pages_ask_the_same_however_many_pieces(
    owner_client, quill, django_assert_num_queries, path, queries
):
    for i in range(6):
        town, product = factories.town(f"Town {i}"), factories.product(f"Product {i}", bottler=quill)
        factories.find(f"more {i}", bottler=quill, town=town, product=product)
        factories.find(f"other {i}", bottler=factories.bottler(f"Bottler {i}"))
    owner_client.get(path)
    with django_assert_num_queries(queries):
        owner_client.get(path)


@pytest.mark.parametrize("path", ["/bottlers/nobody/", "/bottlers/nobody/edit/"])
def test_an_unknown_bottler_is_not_found(owner_client, db, path):
    assert owner_client.get(path).status_code == 404
    assert owner_client.post("/bottlers/nobody/notes/", {"notes": "x"}).status_code == 404


@pytest.mark.parametrize("path", ["", "edit/", "notes/"])
def test_a_visitor_may_not_and_other_methods_are_refused(client, owner_client, quill, path):
    page = quill.get_absolute_url() + path
    assert client.get(page).status_code == 302 and client.get(page)["Location"].startswith("/enter/")
    assert client.post(page, {"name": "Taken"}).status_code in (302, 405)
    assert not Bottler.objects.filter(name="Taken").exists()
    assert owner_client.delete(page).status_code == 405
