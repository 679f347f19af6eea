"""Date a bottle: everything said stands in the address."""

import re

import pytest

from catalogue.specimens.models import Specimen
from tests import factories

pytestmark = pytest.mark.django_db


def said(client, query: str) -> str:
    answer = client.get(f"/date/?{query}")
    assert answer.status_code == 200
    return answer.content.decode()


def test_nothing_said_is_not_yet_dated_and_says_where_to_look(owner_client):
    page = said(owner_client, "")
    assert "not yet dated" in page and "Look next" in page


def test_a_published_mark_with_its_code_gives_its_year_and_source(owner_client):
    # Liberty Glass Co., two digits at the right: published example LG 69 = 1969 (see date_codes.csv).
    page = said(owner_client, "letters=LG&right=69")
    assert "1969" in page and "Liberty Glass Co" in page


def test_an_own_maker_joins_at_once(owner_client):
    factories.brackwater()
    assert "one of 1927, 1937, 1947" in said(owner_client, "letters=BW&symbol=wave&right=7")


def test_each_thing_said_can_be_taken_back(owner_client):
    page = said(owner_client, "letters=LG&right=69&f=crown-finish&contents=soda")
    assert 'href="?f=crown-finish&amp;contents=soda"' in page
    assert 'href="?letters=LG&amp;right=69&amp;contents=soda"' in page


def test_one_question_at_a_time_passes_on_what_was_said(owner_client):
    page = said(owner_client, "one=1&contents=soda")
    answers = re.findall(r'href="(\?[^"]*)"', page)
    onward = [address for address in answers if "f=" in address or "skip=" in address]
    assert len(onward) > 3
    assert all("one=1" in address and "contents=soda" in address for address in onward)


def test_a_question_put_aside_is_not_asked_again(owner_client):
    first = said(owner_client, "one=1&skip=mark")
    assert "Look at the lip" in first
    assert "Look at the lip" not in said(owner_client, "one=1&skip=mark&skip=finish&skip=lip-shape")


def questions(page: str) -> list[str]:
    return re.findall(r"<h1>([^<]*)</h1>", page)


def test_one_question_at_a_time_is_one(owner_client):
    """The mark before anything else, with a way past it; then looks, each alone, or another of them."""
    mark = said(owner_client, "one=1")
    assert questions(mark) == ["Is there a mark on the base?"]
    assert "?one=1&amp;skip=mark" in mark and 'class="one-question"' not in mark
    first, second = (said(owner_client, f"one=1&skip=mark&ask={n}") for n in (0, 1))
    assert len(questions(first)) == len(questions(second)) == 1
    assert questions(first) != questions(second)
    assert "ask=" not in re.sub(r'href="[^"]*">Ask something else', "", second)


def test_a_question_of_many_answers_shows_six_and_opens_the_rest(owner_client):
    page = said(owner_client, "one=1&skip=mark")
    shown, rest = page.split("Show ", 1)
    assert shown.count("<li><a href=") == 6
    assert rest.count("<li><a href=") == int(rest.split(" more")[0]) > 20


@pytest.mark.parametrize("asked", ["99", "-1", "x", "²"])
def test_a_question_that_is_not_there_is_another(owner_client, asked):
    assert len(questions(said(owner_client, f"one=1&skip=mark&ask={asked}"))) == 1


def test_answers_that_quarrel_are_one_statement_with_the_pairs_behind_a_tap(owner_client):
    page = said(owner_client, "f=free-blown&f=machine-seam-over-finish&letters=LG&right=69")
    assert "the evidence disagrees" in page
    assert page.count("This can&#x27;t all be right") + page.count("This can't all be right") == 1
    assert page.count("Either ") == 1 and page.count("<summary>What clashes</summary>") == 1


def test_nothing_is_saved(owner_client):
    said(owner_client, "letters=LG&right=69")
    assert not Specimen.everything.exists()


@pytest.mark.parametrize(
    "query",
    [
        "f=no-such-feature",
        "letters=" + "X" * 5000,
        "letters=%F0%9F%8D%BE&right=%D8%B9",
        "letters=<script>alert(1)</script>",
        "after=3000",
        "after=1950&before=1900",
        "before=abc",
        "recovered=99999999999999",
        "contents=lava&region=moon&frame=cloud&symbol=ghost&arrangement=x",
        "mark_certainty=very",
        "skip=" + "a" * 9000,
        "right=%EF%BF%BD",
        "frame=circle",
        "none=left&none=right&letters=BW",
        "page=999999&q=%27%22",
    ],
)
def test_nonsense_in_the_address_gives_a_page_all_the_same(owner_client, query):
    page = said(owner_client, query)
    assert "<script>alert" not in page
    assert "<h1" in page


@pytest.mark.parametrize(
    ("query", "words"),
    [("after=3000", "Not before: give a year"), ("after=1950&before=1900", "earlier than not before")],
)
def test_years_that_cannot_be_are_said(owner_client, query, words):
    assert words in said(owner_client, query)


def test_a_live_change_gets_the_answer_alone(owner_client):
    answer = owner_client.get("/date/?letters=LG&right=69", headers={"HX-Request": "true"})
    text = answer.content.decode()
    assert "1969" in text and "<html" not in text
