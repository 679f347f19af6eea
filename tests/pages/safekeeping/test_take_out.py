"""The page that takes finds out: its choices, the file, the list's filter, and who may not."""

import csv
import io

import pytest

from tests import factories

PAGE, FILE = "/safekeeping/take-out/", "/safekeeping/take-out/file/"


@pytest.fixture
def two(db):
    town = factories.town()
    return factories.find("Aqua soda", town=town, shared=True), factories.find("Flask")


def rows(answer):
    text = b"".join(answer.streaming_content).decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_the_page_says_how_many(owner_client, two):
    page = owner_client.get(PAGE)
    assert page.status_code == 200
    assert "All 2 finds" in page.content.decode() and "may see 1 of them" in page.content.decode()


def test_the_whole_catalogue_as_a_file(owner_client, two):
    answer = owner_client.get(FILE, {"format": "csv", "holds": "whole"})
    assert answer["Content-Disposition"].startswith('attachment; filename="finds-')
    assert "no-store" in answer["Cache-Control"]
    assert [row["What it is"] for row in rows(answer)] == ["Aqua soda", "Flask"]


def test_only_what_the_list_is_narrowed_to(owner_client, two):
    link = f"{PAGE}?town=marrowby"
    assert link in owner_client.get("/finds/?town=marrowby&view=table").content.decode()
    page = owner_client.get(link).content.decode()
    assert "The 1 find of" in page and '<input type="hidden" name="town" value="marrowby">' in page
    answer = owner_client.get(FILE, {"format": "csv", "holds": "whole", "town": "marrowby"})
    assert [row["What it is"] for row in rows(answer)] == ["Aqua soda"]


def test_a_choice_that_cannot_be_followed_never_gives_more(owner_client, two):
    answer = owner_client.get(FILE, {"format": "csv", "holds": "whole", "town": "nowhere-at-all"})
    assert answer.status_code == 422 and "nowhere-at-all" in answer.content.decode()


@pytest.mark.parametrize("typed", [{}, {"format": "exe", "holds": "whole"}, {"format": "csv", "holds": "x"}])
def test_what_is_not_offered_is_said_by_its_field(owner_client, two, typed):
    answer = owner_client.get(FILE, typed)
    assert answer.status_code == 422 and b"errorlist" in answer.content or b'class="error' in answer.content


def test_nothing_to_take_out_is_a_file_of_headings(owner_client):
    assert rows(owner_client.get(FILE, {"format": "csv", "holds": "public"})) == []


@pytest.mark.parametrize("address", [PAGE, f"{FILE}?format=csv&holds=public"])
def test_a_visitor_is_sent_to_the_door(client, two, address):
    answer = client.get(address)
    assert answer.status_code == 302 and "/enter/" in answer["Location"]


@pytest.mark.parametrize("address", [PAGE, FILE])
def test_it_only_answers(owner_client, address):
    assert owner_client.post(address).status_code == 405


def test_queries(owner_client, two, django_assert_max_num_queries):
    with django_assert_max_num_queries(12):
        owner_client.get(PAGE)
