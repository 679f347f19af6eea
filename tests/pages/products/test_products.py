"""Products: a list, a page of each, and what is not on record of it."""

import pytest

from catalogue.specimens.models import Bottler, MarkReading, Product, Specimen
from catalogue.specimens.services import Parts
from tests import factories
from tests.posted import opened
from tests.specimens.derived_parts import found

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
        ("G", [("Ginger beer", "Quill & Sons, Marrowby", 2)]),
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


def form_of(client, row, **typed: str) -> tuple[str, dict[str, list[str]]]:
    """The address of a row's form, and what it would send with these typed."""
    return opened(client, f"{row.get_absolute_url()}edit/", **typed)


def test_a_new_name_is_found_at_once(owner_client, ginger):
    answer = owner_client.post(*form_of(owner_client, ginger, name="Stone ginger", contents="beer"))
    assert answer.status_code == 302 and answer["Location"] == ginger.get_absolute_url()
    ginger.refresh_from_db()
    assert (ginger.name, ginger.contents, ginger.bottler.name) == ("Stone ginger", "beer", "Quill & Sons")
    assert len(found("stone ginger")) == 2


def test_of_two_bottlers_by_one_name_the_town_is_asked(owner_client, ginger):
    far = factories.bottler("Quill & Sons", town=factories.town("Inchgate"))
    answer = owner_client.post(*form_of(owner_client, ginger, bottler="quill & sons", notes="mine"))
    assert answer.status_code == 422 and "mine" in answer.content.decode()
    said = answer.context["form"].errors["bottler"][0]
    assert "Quill & Sons, Marrowby; Quill & Sons, Inchgate" in said
    assert (
        owner_client.post(*form_of(owner_client, ginger, bottler="Quill & Sons, Inchgate")).status_code == 302
    )
    ginger.refresh_from_db()
    assert ginger.bottler == far and ginger.notes == ""


def test_a_form_sent_as_it_was_shown_changes_nothing(owner_client, ginger):
    factories.bottler("Quill & Sons", town=factories.town("Inchgate"))
    before = ginger.history.count()
    assert owner_client.post(*form_of(owner_client, ginger)).status_code == 302
    ginger.refresh_from_db()
    assert ginger.bottler.town.name == "Marrowby" and ginger.history.count() == before


@pytest.mark.parametrize(
    ("field", "value", "word"),
    [
        ("name", "", "required"),
        ("name", "n" * 10_000, "200 go in"),
        ("bottler", "b" * 10_000, "400 go in"),
        ("contents", "ink!", "none of the choices"),
        ("notes", "n" * 10_001, "10,000 go in"),
    ],
)
def test_bad_input_is_said_by_its_field_and_saves_nothing(owner_client, ginger, field, value, word):
    typed = {"bottler": "Never Heard Of", "notes": "new"} | {field: value}
    answer = owner_client.post(*form_of(owner_client, ginger, **typed))
    assert answer.status_code == 422
    assert word in answer.context["form"].errors[field][0]
    ginger.refresh_from_db()
    assert ginger.notes == "" and not Bottler.objects.filter(name="Never Heard Of").exists()


def test_two_of_one_name_of_one_bottler_are_refused(owner_client, ginger):
    other = factories.product("Lemonade", bottler=ginger.bottler)
    answer = owner_client.post(*form_of(owner_client, other, name="Ginger beer"))
    assert answer.status_code == 422
    assert "already a product of that name" in answer.context["form"].errors["name"][0]
    other.refresh_from_db()
    assert other.name == "Lemonade"


def test_it_goes_into_the_bin_only_without_pieces_and_comes_back(owner_client, ginger):
    at = f"/bin/product/{ginger.pk}/"
    assert "stays, as it is named by 2 finds" in owner_client.post(at, follow=True).content.decode()
    Specimen.objects.update(product=None)
    answer = owner_client.post(at, {"next": "/products/"}, follow=True)
    assert answer.redirect_chain[-1][0] == "/products/" and f"{at}back/" in answer.content.decode()
    assert "This product is in the bin" in owner_client.get(ginger.get_absolute_url()).content.decode()
    assert owner_client.post(f"{at}back/").status_code == 302
    assert Product.objects.filter(pk=ginger.pk).exists()


# Session, owner, the product, its pieces, covers, axis, bottlers, towns, makers; what was merged, wished.
PAGE = 9 + 2
# Session, owner, products, how many pieces each has, the years of theirs, the axis; whether look-alikes
# changed, and which are two.
LIST = 6 + 2


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


@pytest.mark.parametrize("path", ["", "edit/", "notes/"])
def test_a_visitor_may_not_and_other_methods_are_refused(client, owner_client, ginger, path):
    page = ginger.get_absolute_url() + path
    assert client.get(page).status_code == 302 and client.get(page)["Location"].startswith("/enter/")
    assert client.post(page, {"notes": "taken"}).status_code in (302, 405)
    assert not Product.objects.filter(notes="taken").exists()
    assert owner_client.delete(page).status_code == 405
