"""Makers: own ones first, their marks drawn, what their codes mean, and a way into the bin and back."""

import datetime

import pytest
from django.utils.html import escape

import dating
from catalogue.specimens.models import Maker, MarkReading, Opinion, OwnCode, OwnMark, Product, Specimen
from catalogue.specimens.services import Parts, give_opinion
from catalogue.specimens.services.makers import keep_maker
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture
def brackwater(db) -> Maker:
    maker = factories.brackwater()
    reading = MarkReading(letters="BW", symbol="wave", frame="none", right="6")
    factories.find("Ginger beer", Parts(readings=[reading]), town=factories.town())
    return maker


def shown(client, query: str = "") -> list[str]:
    return [row["maker"].name for row in client.get(f"/makers/{query}").context["rows"]]


def test_own_makers_stand_before_the_published(owner_client, brackwater):
    names = shown(owner_client, "?all=1")
    assert names[0] == "Brackwater Bottle Company"
    assert len(names) == 40
    text = owner_client.get("/makers/?all=1").content.decode()
    assert text.index("Your own</h2>") < text.index("Published, none of yours yet</h2>")
    assert "1 piece" in text and "1922 to 1950" in text and "BW over a wave" in text


def test_the_list_has_those_one_added_or_has_pieces_of_until_all_are_asked_for(owner_client, brackwater):
    published = Maker.objects.published().first()
    find = factories.find("jar")
    day = datetime.date(2026, 5, 1)
    give_opinion(Opinion(find=find, about="maker", value=published.name, maker=published, on=day))
    assert shown(owner_client) == ["Brackwater Bottle Company", published.name]
    text = owner_client.get("/makers/").content.decode()
    count = Maker.objects.count()
    assert "Yours (2)" in text and f"All, with the published ({count})" in text
    find.put_in_bin()
    assert shown(owner_client) == ["Brackwater Bottle Company"]


def test_where_none_is_ones_own_all_are_shown(owner_client, db):
    text = owner_client.get("/makers/").content.decode()
    assert len(shown(owner_client)) == 40 and "Yours (" not in text


def test_every_maker_is_on_some_page_of_the_list_with_its_marks_and_their_sources(owner_client, brackwater):
    pages = owner_client.get("/makers/?all=1").context["page"].paginator.num_pages
    rows = [
        row
        for number in range(1, pages + 1)
        for row in owner_client.get(f"/makers/?all=1&page={number}").context["rows"]
    ]
    assert {row["maker"].pk for row in rows} == set(Maker.objects.values_list("pk", flat=True))
    marks = [mark for row in rows for mark in row["marks"]]
    assert len(marks) == len(dating.reference().marks) + 1
    assert all(source for _, _, source, _ in marks)
    text = owner_client.get("/makers/?q=LG").content.decode()
    mark = dating.reference().marks["liberty-lg"]
    assert escape(dating.reference().source_words(mark.source, mark.locator)) in text


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("brackwater", "Brackwater Bottle Company"),
        ("port ellarn", "Brackwater Bottle Company"),
        ("bw", "Brackwater Bottle Company"),
        ("b.w.", "Brackwater Bottle Company"),
        ("BRACK-WATER", "Brackwater Bottle Company"),
        ("ellarn brackwater", "Brackwater Bottle Company"),
    ],
)
def test_makers_are_looked_up_by_name_place_or_mark(owner_client, brackwater, words, name):
    assert name in shown(owner_client, f"?q={words}")


def test_a_published_maker_is_looked_up_by_the_letters_of_its_mark(owner_client, db):
    mark = dating.reference().marks["liberty-lg"]
    assert mark.maker in shown(owner_client, "?q=LG")


def test_letters_that_are_stored_run_together_are_found_as_they_are_read(owner_client, db):
    marks = [mark for mark in dating.reference().marks.values() if mark.letters.startswith("BALLMASON")]
    assert marks
    for typed in ("ball mason", "Ball Mason", "BALL-MASON", "ball+and+mason"):
        assert {mark.maker for mark in marks} <= set(shown(owner_client, f"?q={typed}"))


def test_a_name_not_there_is_offered_for_adding(owner_client, brackwater):
    text = owner_client.get("/makers/?q=Orlick %26 Flint").content.decode()
    assert "/makers/new/?name=Orlick%20%26%20Flint" in text
    assert (
        'value="Orlick &amp; Flint"'
        in owner_client.get("/makers/new/?name=Orlick%20%26%20Flint").content.decode()
    )


@pytest.mark.parametrize("query", ["?page=999999", "?page=x", "?q=%EF%BF%BD", "?q=" + "y" * 5000])
def test_nonsense_in_the_address_gives_a_page(owner_client, brackwater, query):
    assert owner_client.get(f"/makers/{query}").status_code == 200


def test_an_own_makers_page(owner_client, brackwater):
    answer = owner_client.get("/makers/brackwater-bottle-company/")
    text = answer.content.decode()
    (mark,) = answer.context["marks"]
    assert "BW over a wave" in mark.drawing and mark.years == "1922 to 1950" and mark.source == "your own"
    (code,) = answer.context["codes"]
    assert (
        code.words
        == "One digit at the right of the mark: the last digit of the year, used from 1922 to 1950."
    )
    assert (code.asked, code.answer) == ("7", "1927, 1937 or 1947")
    assert "would be 1927, 1937 or 1947" in text
    assert [card.find.what for card in answer.context["series"].cards] == ["Ginger beer"]


def test_a_published_makers_page_gives_the_source_of_each_row(owner_client, db):
    mark = dating.reference().marks["liberty-lg"]
    maker = Maker.objects.get(name=mark.maker, place=mark.place)
    answer = owner_client.get(f"/makers/{maker.slug}/")
    shown_marks = {row.mark.id: row for row in answer.context["marks"]}
    assert shown_marks["liberty-lg"].source == dating.reference().source_words(mark.source, mark.locator)
    codes = {row.code.id: row for row in answer.context["codes"]}
    assert codes["liberty-two-digit"].answer == "1938"
    assert "Delete" not in answer.content.decode()


def test_every_published_maker_has_its_marks(owner_client, db):
    from catalogue.pages.makers.queries import marks_by_maker

    makers = list(Maker.objects.published())
    marks = marks_by_maker(makers, dating.reference())
    assert all(marks[maker.pk] for maker in makers)
    assert sum(map(len, marks.values())) == len(dating.reference().marks)


def test_notes_on_a_published_maker_and_nothing_else(owner_client, db):
    maker = Maker.objects.published().first()
    page = f"/makers/{maker.slug}/edit/"
    answer = owner_client.post(
        page, {"notes": "<i>Seen</i> at Heron Ledge", "name": "Renamed", "to_year": "1900"}
    )
    assert answer.status_code == 302
    fresh = Maker.objects.get(pk=maker.pk)
    assert (fresh.name, fresh.to_year) == (maker.name, maker.to_year)
    assert "&lt;i&gt;Seen&lt;/i&gt;" in owner_client.get(f"/makers/{maker.slug}/").content.decode()
    assert owner_client.post(page, {"notes": "n" * 10_001}).status_code == 422


def test_into_the_bin_and_back(owner_client, brackwater):
    before = Specimen.objects.get()
    assert before.maker == brackwater
    answer = owner_client.post("/makers/brackwater-bottle-company/bin/", follow=True)
    text = answer.content.decode()
    assert "is in the bin" in text and "Restore it" in text and "The years of 1 find changed." in text
    gone = Specimen.objects.get()
    assert gone.maker is None and gone.made_words != before.made_words
    assert "Brackwater Bottle Company" not in shown(owner_client)
    answer = owner_client.post("/makers/brackwater-bottle-company/back/", follow=True)
    assert "is back. The years of 1 find changed." in answer.content.decode()
    back = Specimen.objects.get()
    assert back.maker == brackwater and back.made_words == before.made_words


def test_the_general_bin_dates_anew_as_well(owner_client, brackwater):
    words = Specimen.objects.get().made_words
    owner_client.post(f"/bin/maker/{brackwater.pk}/")
    assert Specimen.objects.get().maker is None
    owner_client.post(f"/bin/maker/{brackwater.pk}/back/")
    assert Specimen.objects.get().made_words == words


def test_a_published_maker_does_not_go_into_the_bin_here(owner_client, db):
    maker = Maker.objects.published().first()
    assert owner_client.post(f"/makers/{maker.slug}/bin/").status_code == 404
    assert Maker.objects.filter(pk=maker.pk).exists()


def test_markup_in_a_makers_words_stays_text(owner_client, db):
    keep_maker(
        Maker(name="<b>T</b> & 🍾 زجاج", place="<i>Quay</i>", notes="<script>x</script>"),
        marks=[OwnMark(letters="TZ", text="<u>TZ</u>", note="<s>note</s>", source="<em>book</em>")],
        codes=[OwnCode(kind="other", note="<q>n</q>")],
    )
    slug = Maker.objects.own().get().slug
    for path in ("/makers/", f"/makers/{slug}/", f"/makers/{slug}/edit/", "/reference/?q=TZ"):
        text = owner_client.get(path).content.decode()
        for raw in ("<b>T</b>", "<i>Quay", "<script>x", "<u>TZ", "<s>note", "<em>book", "<q>n"):
            assert raw not in text, (path, raw)


# Session, owner; the stamp of the tables (4); makers with their pieces; whose own marks are whose; whether
# those that look like one changed, and which of them were said to be two.
LIST = 2 + 4 + 1 + 1 + 2
# Session, owner, maker, its works, the stamp (4), own marks, pieces, covers, how they spread over the years,
# bottlers and products of its pieces, neighbours, the axis of the catalogue; what was merged into it,
# what is wished of it.
PAGE = 2 + 2 + 4 + 1 + 2 + 1 + 2 + 1 + 1 + 2


@pytest.mark.parametrize(
    ("path", "queries"), [("/makers/", LIST), ("/makers/brackwater-bottle-company/", PAGE)]
)
def test_pages_ask_the_same_however_much_there_is(
    owner_client, brackwater, django_assert_num_queries, path, queries
):
    for i in range(4):
        reading = MarkReading(letters="BW", symbol="wave", frame="none", right="7")
        factories.find(f"more {i}", Parts(readings=[reading]), bottler=factories.bottler(f"Firm {i}"))
        keep_maker(Maker(name=f"Glassworks {i}"), marks=[OwnMark(letters=f"Q{'ABCD'[i]}")])
    owner_client.get("/makers/")  # the joined tables are kept from one page to the next
    with django_assert_num_queries(queries):
        owner_client.get(path)


PATHS = [
    "/makers/",
    "/makers/new/",
    "/makers/brackwater-bottle-company/",
    "/makers/brackwater-bottle-company/edit/",
]
ACTS = ["/makers/live/", "/makers/brackwater-bottle-company/bin/", "/makers/brackwater-bottle-company/back/"]


@pytest.mark.parametrize("path", PATHS + ACTS)
def test_a_visitor_may_not(client, brackwater, path):
    for method in (client.get, client.post):
        assert method(path).status_code in (302, 405)
    assert Maker.objects.own().count() == 1


@pytest.mark.parametrize("path", ACTS)
def test_acts_are_posted(owner_client, brackwater, path):
    assert owner_client.get(path).status_code == 405
    assert owner_client.delete(path).status_code == 405


@pytest.mark.parametrize("path", ["/makers/nobody/", "/makers/nobody/edit/"])
def test_an_unknown_maker_is_not_found(owner_client, db, path):
    assert owner_client.get(path).status_code == 404
    assert owner_client.post("/makers/nobody/bin/").status_code == 404


def test_gaps_bottlers_and_products_of_a_makers_pieces(owner_client, brackwater):
    bottler = factories.bottler("Quill & Sons", town=factories.town("Inchgate"))
    product = Product.objects.create(name="Velm cordial", slug="velm", bottler=bottler)
    Specimen.objects.update(bottler=bottler, product=product)
    context = owner_client.get("/makers/brackwater-bottle-company/").context
    assert (context["grid"].years, context["grid"].maybe, context["grid"].missing) == (29, 3, 26)
    assert [(row.name, row.pieces) for row in context["bottlers"]] == [("Quill & Sons", 1)]
    assert [(row.name, row.pieces) for row in context["products"]] == [("Velm cordial", 1)]
    assert "none yet of 26" in owner_client.get("/makers/brackwater-bottle-company/").content.decode()


def test_makers_that_followed_one_another_stand_in_the_order_of_their_years(owner_client, brackwater):
    before = keep_maker(Maker(name="Tarn Glass", place="Quarl", from_year=1880, to_year=1921))
    Maker.objects.filter(pk=brackwater.pk).update(followed=before, from_year=1922, to_year=1950)
    keep_maker(Maker(name="Ninestone Glass", place="Port Ellarn", from_year=1860, to_year=1875))
    keep_maker(Maker(name="Later Glass", followed=brackwater, from_year=1951))
    neighbours = owner_client.get("/makers/brackwater-bottle-company/").context["neighbours"]
    assert [(each.maker.name, each.how, each.years) for each in neighbours] == [
        ("Ninestone Glass", "in the same place", "1860 to 1875"),
        ("Tarn Glass", "came before it", "1880 to 1921"),
        ("Brackwater Bottle Company", "this maker", "1922 to 1950"),
        ("Later Glass", "followed it", "1951 or later"),
    ]


def test_a_maker_without_neighbours_has_no_such_list(owner_client, brackwater):
    assert owner_client.get("/makers/brackwater-bottle-company/").context["neighbours"] == []


def test_notes_on_any_maker_are_written_on_its_page(owner_client, client, brackwater):
    for slug in ("brackwater-bottle-company", Maker.objects.published().first().slug):
        answer = owner_client.post(f"/makers/{slug}/notes/", {"notes": "Seen at low water."})
        assert answer.url == f"/makers/{slug}/"
        assert "Seen at low water." in owner_client.get(answer.url).content.decode()
        assert owner_client.post(f"/makers/{slug}/notes/", {"notes": "n" * 10_001}).status_code == 422
        assert owner_client.get(f"/makers/{slug}/notes/").status_code == 405
        assert client.post(f"/makers/{slug}/notes/", {"notes": "x"}).status_code == 302
    assert set(Maker.objects.exclude(notes="").values_list("notes", flat=True)) == {"Seen at low water."}
    assert owner_client.post("/makers/nobody/notes/", {"notes": "x"}).status_code == 404
