"""The published tables: every row with its source, searched and paged, and our own numbers with reasons."""

import datetime
import re

import pytest
from django.utils.text import slugify

import dating
from catalogue.pages.reference.views import REFERENCE_PARTS
from catalogue.specimens.models import Maker, Opinion
from catalogue.specimens.services import give_opinion
from dating.constants import ASSUMPTIONS
from tests import factories

DAY = datetime.date(2026, 5, 1)
pytestmark = pytest.mark.django_db
KEYS = [part.key for part in REFERENCE_PARTS]


def all_rows(client, part: str, **more) -> list:
    rows, number, pages = [], 1, 1
    while number <= pages:
        page = client.get("/reference/", {"part": part, "page": number, **more}).context["page"]
        rows += page.object_list
        pages, number = page.paginator.num_pages, number + 1
    return rows


@pytest.mark.parametrize(
    ("part", "table"),
    [
        ("marks", "marks"),
        ("features", "features"),
        ("codes", "date_codes"),
        ("exclusions", "exclusions"),
        ("copies", "copies"),
    ],
)
def test_every_row_is_there_with_its_source(owner_client, part, table):
    stored = getattr(dating.reference(), table)
    if part == "features":
        # what gives a copy away is a table of its own
        stored = {name: row for name, row in stored.items() if name not in dating.reference().copies}
    rows = {row.id: row for row in all_rows(owner_client, part)}
    assert set(rows) == set(stored)
    for key, row in rows.items():
        authors = [dating.reference().sources[source] for source in stored[key].source.split(";")]
        assert all(source.words in row.source for source in authors), key
        assert row.basis


def test_every_source_and_every_number_of_our_own_is_there(owner_client):
    assert {row.id for row in all_rows(owner_client, "sources")} == set(dating.reference().sources)
    rows = all_rows(owner_client, "assumptions")
    assert [row.id for row in rows] == [each.name for each in ASSUMPTIONS]
    assert all(row.remarks[0] for row in rows)


@pytest.mark.parametrize("part", KEYS)
def test_a_page_shows_its_rows_and_credits_the_gazetteer(owner_client, part):
    answer = owner_client.get(f"/reference/?part={part}")
    text = answer.content.decode()
    assert text.count("<h1") == 1 and text.count('<details id="row-') == len(
        answer.context["page"].object_list
    )
    assert "GeoNames" in text and "CC BY 4.0" in text


@pytest.mark.parametrize("part", KEYS)
def test_a_link_to_a_row_opens_it_on_whichever_page_it_stands(owner_client, part):
    last = all_rows(owner_client, part)[-1]
    answer = owner_client.get("/reference/", {"part": part, "row": last.id})
    pages = answer.context["page"].paginator.num_pages
    assert answer.context["page"].number == pages
    text = answer.content.decode()
    assert text.count("<details id") == len(answer.context["page"].object_list), "with the rest of its page"
    opened = re.findall(r'<details id="([^"]*)" open>', text)
    assert opened == [f"row-{slugify(last.id)}"]
    # the pager leads on from there, and no longer to the row
    assert "row=" not in "".join(re.findall(r'rel="prev" href="([^"]*)"', text))


def test_rows_are_searched(owner_client):
    found = all_rows(owner_client, "marks", q="liberty LG")
    assert found and all("liberty" in " ".join(row.fields).lower() for row in found)
    assert not all_rows(owner_client, "marks", q="atlantis")
    assert "Nothing with “atlantis”" in owner_client.get("/reference/?q=atlantis").content.decode()


def test_ones_own_marks_stand_among_them(owner_client):
    factories.brackwater()
    (row,) = all_rows(owner_client, "marks", q="brackwater")
    assert row.source == "your own" and "BW over a wave" in row.drawing
    assert row.basis == ""  # nobody read it in a source


def test_a_feature_says_which_of_its_years_were_read(owner_client):
    rows = {row.id: " ".join(row.remarks) for row in all_rows(owner_client, "features")}
    assert "all its years were read in a text" in rows["machine-seam-over-finish"]
    assert "years read in a text: common to; the others are a compiler's reading" in rows["free-blown"]
    assert (
        "years read in a text" not in rows["bead-finish"]
        and "the others" not in rows["machine-seam-over-finish"]
    )


@pytest.mark.parametrize(
    ("query", "word"),
    [
        ("?part=runes", "no such table"),
        ("?row=runes", "no such row"),
        ("?page=9999", "no page 9999"),
        ("?page=x", "can't be read"),
    ],
)
def test_nonsense_gives_a_page_that_says_so(owner_client, query, word):
    answer = owner_client.get(f"/reference/{query}")
    assert answer.status_code == 200
    assert any(word in str(message) for message in answer.context["messages"])


@pytest.mark.parametrize(
    "query", ["?q=%EF%BF%BD", "?q=" + "z" * 9000, "?part=%EF%BF%BD", "?q=<script>x</script>"]
)
def test_odd_words_do_no_harm(owner_client, query):
    answer = owner_client.get(f"/reference/{query}")
    assert answer.status_code == 200 and "<script>x" not in answer.content.decode()


@pytest.mark.parametrize("typed", ["ball mason", "BALL-MASON", "b.a.l.l. mason"])
def test_a_mark_is_looked_up_however_it_is_written(owner_client, typed):
    ids = {mark.id for mark in dating.reference().marks.values() if mark.letters.startswith("BALLMASON")}
    assert ids and ids <= {row.id for row in all_rows(owner_client, "marks", q=typed)}


@pytest.mark.parametrize("part", ["marks", "codes"])
def test_ones_own_rows_stand_alone_until_all_are_asked_for(owner_client, part):
    factories.brackwater()
    mine, every = all_rows(owner_client, part), all_rows(owner_client, part, all=1)
    assert [row.source for row in mine] == ["your own"]
    assert every[0].id == mine[0].id and len(every) > 40
    text = owner_client.get(f"/reference/?part={part}").content.decode()
    assert "Yours (1)" in text and f"All, with the published ({len(every)})" in text
    # what is looked up, or linked to, is looked for among all
    assert all_rows(owner_client, part, q=every[-1].title)
    linked = owner_client.get("/reference/", {"part": part, "row": every[-1].id})
    assert any(row.id == every[-1].id for row in linked.context["page"].object_list)


def test_a_published_mark_is_ones_own_where_there_are_pieces_of_its_maker(owner_client):
    mark = dating.reference().marks["liberty-lg"]
    maker = Maker.objects.get(name=mark.maker, place=mark.place)
    find = factories.find()
    give_opinion(Opinion(find=find, about="maker", value=maker.name, maker=maker, on=DAY))
    shown = {row.id for row in all_rows(owner_client, "marks")}
    assert "liberty-lg" in shown and len(shown) < 20
    find.put_in_bin()
    # none left: all are shown, with nothing to choose between
    assert len(all_rows(owner_client, "marks")) == len(dating.reference().marks)
    assert "Yours (" not in owner_client.get("/reference/?part=marks").content.decode()


# Session, owner, and the stamp that tells whether own marks and codes changed (4); of marks and codes also
# which makers one has pieces of.
@pytest.mark.parametrize("part", KEYS)
def test_the_tables_cost_six_or_seven_small_queries(owner_client, django_assert_num_queries, part):
    owner_client.get("/reference/")
    with django_assert_num_queries(7 if part in ("marks", "codes") else 6):
        owner_client.get(f"/reference/?part={part}")


def test_a_visitor_may_not_and_nothing_is_written(client, owner_client):
    assert client.get("/reference/").status_code == 302
    assert owner_client.post("/reference/").status_code == 405
