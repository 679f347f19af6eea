"""Products: a list, a page of each, and what is not on record of it."""

import pytest

from catalogue.specimens.models import MarkReading, Product
from catalogue.specimens.services import Parts
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture
def ginger(db) -> Product:
    """Two pieces of one bottler for one town, one of a known maker; its namesake is of another bottler."""
    marrowby = factories.town("Marrowby")
    factories.brackwater()
    quill = factories.bottler("Quill & Sons", town=marrowby, from_year=1884)
    ginger = factories.product("Ginger beer", bottler=quill, contents="soda")
    factories.product("Ginger beer", bottler=factories.bottler("Abel Orr"))
    read = Parts(readings=[MarkReading(letters="BW", symbol="wave", right="6")])
    factories.find("brown", read, town=marrowby, bottler=quill, product=ginger)
    factories.find("aqua", town=marrowby, bottler=quill, product=ginger)
    return ginger


def test_the_list_tells_namesakes_apart_by_their_bottlers(owner_client, ginger):
    answer = owner_client.get("/products/")
    rows = [
        (letter, [(p.name, p.beside, p.pieces) for p in rows]) for letter, rows in answer.context["groups"]
    ]
    assert rows == [
        ("G", [("Ginger beer", "Quill & Sons", 2)]),
        ("none", [("Ginger beer", "Abel Orr", 0)]),
    ]
    assert "<h1>1 product</h1>" in answer.content.decode()


def test_its_page_shows_pieces_by_year_bottlers_towns_and_makers(owner_client, ginger):
    answer = owner_client.get(ginger.get_absolute_url())
    context, text = answer.context, answer.content.decode()
    assert ginger.get_absolute_url() == "/products/ginger-beer/"
    assert context["series"].count == 2 and context["series"].axis
    assert [(b.name, b.pieces) for b in context["bottlers"]] == [("Quill & Sons", 2)]
    assert [(t.name, t.pieces) for t in context["towns"]] == [("Marrowby", 2)]
    assert [m.name for m in context["makers"]] == ["Brackwater Bottle Company"]
    assert "in business from 1884" in text and "soda" in text
    for address in ("/towns/marrowby/", "/bottlers/quill-sons/", "/makers/brackwater-bottle-company/"):
        assert f'href="{address}"' in text
    assert "/finds/?product=ginger-beer" in text


def test_what_is_not_on_record_is_named(owner_client, ginger):
    lone = factories.product("Blood tonic")
    assert owner_client.get(lone.get_absolute_url()).context["gaps"] == [
        "the bottler who filled it",
        "what it was",
    ]
    assert owner_client.get(ginger.get_absolute_url()).context["gaps"] == []


def test_its_finds_are_what_the_list_of_finds_narrows_to(owner_client, ginger):
    factories.find("flask")
    shown = owner_client.get("/finds/?product=ginger-beer")
    assert {card.find.what for card in shown.context["cards"]} == {"brown", "aqua"}


def test_notes_are_written_from_the_page(owner_client, ginger):
    page = ginger.get_absolute_url()
    assert owner_client.post(f"{page}notes/", {"notes": "<i>stone</i> jars too"}).status_code == 302
    assert "&lt;i&gt;stone&lt;/i&gt; jars too" in owner_client.get(page).content.decode()


# Session, owner, the product, its pieces, covers, axis, bottlers, towns, makers.
PAGE = 9
# Session, owner, products, how many pieces each has, the years of theirs, the axis.
LIST = 6


@pytest.mark.parametrize(("path", "queries"), [("/products/", LIST), ("/products/ginger-beer/", PAGE)])
def test_pages_ask_the_same_however_many_pieces(
    owner_client, ginger, django_assert_num_queries, path, queries
):
    for i in range(6):
        town, bottler = factories.town(f"Town {i}"), factories.bottler(f"Bottler {i}")
        factories.find(f"more {i}", product=ginger, town=town, bottler=bottler)
        factories.find(f"other {i}", product=factories.product(f"Product {i}", bottler=bottler))
    owner_client.get(path)
    with django_assert_num_queries(queries):
        owner_client.get(path)


def test_an_unknown_product_is_not_found(owner_client, db):
    assert owner_client.get("/products/nothing/").status_code == 404
    assert owner_client.post("/products/nothing/notes/", {"notes": "x"}).status_code == 404


@pytest.mark.parametrize("path", ["", "notes/"])
def test_a_visitor_may_not_and_other_methods_are_refused(client, owner_client, ginger, path):
    page = ginger.get_absolute_url() + path
    assert client.get(page).status_code == 302 and client.get(page)["Location"].startswith("/enter/")
    assert client.post(page, {"notes": "taken"}).status_code in (302, 405)
    assert not Product.objects.filter(notes="taken").exists()
    assert owner_client.delete(page).status_code == 405
