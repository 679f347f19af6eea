"""Bottlers: a list, a page of each, its years in business, and what is not on record of it."""

import pytest

from catalogue.specimens.models import Bottler, MarkReading, Specimen
from catalogue.specimens.services import Parts
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture
def quill(db) -> Bottler:
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
    assert owner_client.get(quill.get_absolute_url()).context["gaps"] == []


def test_its_finds_are_what_the_list_of_finds_narrows_to(owner_client, quill):
    factories.find("flask")
    shown = owner_client.get("/finds/?bottler=quill-sons")
    assert {card.find.what for card in shown.context["cards"]} == {"ginger", "soda"}
    shown = owner_client.get("/finds/?bottler=-")
    assert [card.find.what for card in shown.context["cards"]] == ["flask"]


def test_its_years_are_evidence_and_the_form_says_what_changed(owner_client, quill):
    page = f"{quill.get_absolute_url()}edit/"
    data = {"name": "Quill & Sons", "from_year": "1930", "to_year": "1940"}
    answer = owner_client.post(page, data, follow=True)
    assert answer.redirect_chain == [(quill.get_absolute_url(), 302)]
    # the other piece has nothing but those years
    assert "The years of 2 finds changed." in answer.content.decode()
    assert Specimen.objects.get(what="ginger").made_words == "1936"


def test_years_out_of_order_are_refused_by_their_field(owner_client, quill):
    data = {"name": "Quill & Sons", "from_year": "1940", "to_year": "1930"}
    answer = owner_client.post(f"{quill.get_absolute_url()}edit/", data)
    assert answer.status_code == 422
    assert "before 1940" in answer.context["form"].errors["to_year"][0]
    quill.refresh_from_db()
    assert quill.from_year == 1884


def test_notes_are_written_from_the_page(owner_client, quill):
    page = quill.get_absolute_url()
    assert owner_client.post(f"{page}notes/", {"notes": "<b>by</b> the quay"}).status_code == 302
    assert "&lt;b&gt;by&lt;/b&gt; the quay" in owner_client.get(page).content.decode()


# Session, owner, the bottler, its pieces, covers, axis, towns, makers, products.
PAGE = 9
# Session, owner, bottlers, how many pieces each has, the years of theirs, the axis.
LIST = 6


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
