"""The page of the search and the sheet under its box."""

import re

import pytest

from catalogue.specimens.models import Specimen
from tests import factories

pytestmark = pytest.mark.django_db
TOKEN = re.compile(r"X-CSRFToken[^}]*")
SHEET = {"HX-Request": "true"}


def page(client, typed: str, **more) -> str:
    answer = client.get("/search/", {"q": typed, **more})
    assert answer.status_code == 200, typed
    return answer.content.decode()


def sheet(client, typed: str) -> str:
    answer = client.get("/search/", {"q": typed}, headers=SHEET)
    assert answer.status_code == 200 and "HX-Request" in answer["Vary"], typed
    return answer.content.decode()


@pytest.fixture
def around(db):
    site = factories.site("Marrowby Ledge")
    town = factories.town("Marrowby")
    bottler = factories.bottler("Marrowby Springs", town=town)
    factories.person("Marrowby Jane")
    factories.place("Marrowby case")
    return factories.find(
        "Soda", dive=factories.dive(site), town=town, bottler=bottler, notes="a <b>chip</b>"
    )


def test_every_kind_answers_grouped_and_each_row_leads_to_a_page(owner_client, around):
    text = page(owner_client, "marrowby")
    for heading in ("Finds", "Bottlers", "Towns", "Sites", "Dives", "Shelves", "People"):
        assert f">{heading} <span" in text, heading
    for group in owner_client.get("/search/?q=marrowby").context["groups"]:
        for row in group.rows:
            assert owner_client.get(row.url).status_code == 200, row.url


def test_it_says_why(owner_client, around):
    text = page(owner_client, "chip")
    assert "notes:" in text and "a &lt;b&gt;<mark>chip</mark>&lt;/b&gt;" in text


def test_a_number_leads_to_its_piece_and_in_the_sheet_is_the_first_choice(owner_client, around):
    for typed in (around.number, around.number.replace(".", "-")):
        answer = owner_client.get("/search/", {"q": typed})
        assert answer.status_code == 302 and answer["Location"] == around.get_absolute_url()
    text = sheet(owner_client, around.number)
    assert text.index('id="found-number"') < text.index('id="sheet-finds-1"')


def test_box_and_list_agree(owner_client, around):
    for n in range(12):
        factories.find(f"Aqua soda {n}", town=factories.town("Inchgate") if n == 5 else None)
    for typed in ("marroby", "sodas", "aqua", "inchgtae", "soda 1930s", "zzzz", "aqua & soda"):
        group = next(
            (g for g in owner_client.get("/search/", {"q": typed}).context["groups"] if g.key == "finds"),
            None,
        )
        shown = owner_client.get("/finds/", {"q": typed}).context["page"].paginator.count
        assert shown == (group.total if group else 0), typed
        if group:
            listed = owner_client.get(group.all_url)
            assert listed.context["page"].paginator.count == group.total


def test_the_list_says_which_word_it_looked_for(owner_client, around):
    text = owner_client.get("/finds/?q=marroby").content.decode()
    assert "Nothing holds “marroby”, so “marrowby” was looked for." in text


def test_all_of_one_kind(owner_client, db):
    for n in range(11):
        factories.town(f"Marrowby {n}")
    group = owner_client.get("/search/?q=marrowby").context["groups"][0]
    assert len(group.rows) == 8 and group.total == 11
    text = page(owner_client, "marrowby", only="towns")
    assert text.count('class="found"') == 11 and "Everything with" in text
    assert page(owner_client, "marrowby", only="nonsense").count('class="found"') == 8


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("???", "There is no letter and no figure in that."),
        ("%_\"'*", "There is no letter and no figure in that."),
        ("🍾🍾", "There is no letter and no figure in that."),
        ("zzzzqqqq", "Nothing holds “zzzzqqqq”, nor a word like it."),
        ("jane springs", "Each of these words is on record, but nothing has all of them."),
        ("x" * 300, "up to twelve words and 200 letters"),
        ("قارورة", "Nothing holds"),
        ("‮‏قارورة", "Nothing holds"),
        ("'; DROP TABLE specimens_specimen; --", "Nothing holds"),
    ],
)
def test_what_finds_nothing_is_answered_in_a_sentence(owner_client, around, typed, said):
    for text in (page(owner_client, typed), sheet(owner_client, typed)):
        assert said in text.replace("&#x27;", "'")
    assert Specimen.objects.count() == 1


def test_words_that_nothing_has_together_are_offered_one_by_one(owner_client, around):
    others = owner_client.get("/search/?q=jane+springs").context["others"]
    assert [other.words for other in others] == ["jane", "springs"]
    assert all(owner_client.get(other.url).context["groups"] for other in others)


def test_nothing_typed_is_a_page_that_says_what_can_be(owner_client, db):
    assert "by years such as" in page(owner_client, "")
    assert sheet(owner_client, "").strip() == ""


@pytest.mark.parametrize("typed", ["soda", "marrowby", "marroby", "1934", "a"])
def test_no_more_queries_for_many(owner_client, around, django_assert_max_num_queries, typed):
    for n in range(12):
        factories.find(f"Marrowby soda {n}", dive=around.dive, town=factories.town(f"Marrowby {n}"))
    for headers in ({}, SHEET):
        with django_assert_max_num_queries(34):
            owner_client.get("/search/", {"q": typed}, headers=headers)


def test_a_visitor_finds_what_is_shared_and_reads_of_nothing_else(client, around):
    Specimen.objects.filter(pk=around.pk).update(shared=True)
    factories.find("Ochre flask")
    for read in (page, sheet):
        text = read(client, "marrowby")
        assert around.what in text and "Ledge" not in text and "Jane" not in text and "case" not in text
        # not by the count or the words of what is missing, either
        hidden, nowhere = (TOKEN.sub("", read(client, typed)) for typed in ("ledge", "wedgf"))
        assert hidden.replace("ledge", "wedgf") == nowhere
        assert "Ochre" not in read(client, "ochre").replace("“ochre”", "")
    assert client.get("/search/", {"q": around.number}).status_code == 302


def test_the_box_stands_on_every_page(owner_client, client, db):
    for text in (owner_client.get("/towns/").content.decode(), client.get("/giving/").content.decode()):
        assert 'action="/search/"' in text and 'id="top-search"' in text


def test_the_key_can_be_turned_off(owner_client, db):
    assert 'data-slash="off"' not in owner_client.get("/settings/").content.decode()
    assert owner_client.post("/settings/keyboard/").status_code == 302
    assert 'data-slash="off"' in owner_client.get("/towns/").content.decode()
    owner_client.post("/settings/keyboard/", {"slash": "1"})
    assert 'data-slash="off"' not in owner_client.get("/towns/").content.decode()
