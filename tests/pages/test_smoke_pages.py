"""Every page of an empty catalogue answers its owner and is closed to everybody else."""

import re

import pytest

from catalogue.pages.context import NAVIGATION

PAGES = [
    "/",
    "/finds/",
    "/finds/new/",
    "/towns/",
    "/bottlers/",
    "/products/",
    "/makers/",
    "/makers/new/",
    "/dives/",
    "/dives/new/",
    "/dives/sites/new/",
    "/workbench/",
    "/shelves/",
    "/shelves/new/",
    "/giving/",
    "/date/",
    "/date/?one=1",
    "/reference/",
    "/labels/",
    "/people/",
    "/people/new/",
    "/safekeeping/",
    "/settings/",
    "/settings/house/",
    "/settings/towns/",
    "/bin/",
    "/search/",
    "/search/?q=whelk",
]
OPEN = {"/giving/", "/search/", "/search/?q=whelk"}


@pytest.mark.django_db
@pytest.mark.parametrize("path", PAGES)
def test_a_page_answers_its_owner(owner_client, path: str) -> None:
    answer = owner_client.get(path)
    assert answer.status_code == 200
    text = answer.content.decode()
    assert text.count("<h1") == 1
    assert "</html>" in text
    # a page's own words never take the place of those of the frame: /shelves/ once hid all rooms
    head = text[text.index('<nav class="rooms"') : text.index("</header>")]
    for name, url in NAVIGATION:
        assert re.search(rf'<a href="{url}"[^>]*>{name}</a>', head)


@pytest.mark.django_db
@pytest.mark.parametrize("path", [path for path in PAGES if path not in OPEN])
def test_a_visitor_is_sent_to_the_door(client, path: str) -> None:
    answer = client.get(path)
    assert answer.status_code == 302
    assert answer["Location"].startswith("/enter/")


@pytest.mark.django_db
@pytest.mark.parametrize("path", PAGES)
def test_a_page_refuses_other_methods(owner_client, path: str) -> None:
    assert owner_client.delete(path).status_code == 405


@pytest.mark.django_db
def test_an_address_that_only_takes_a_form_says_so_to_a_person(owner_client) -> None:
    answer = owner_client.delete("/people/", headers={"Accept": "text/html"})
    assert answer.status_code == 405 and "Allow" in answer
    assert "<h1>This address only takes what a form sends</h1>" in answer.content.decode()
    assert owner_client.delete("/people/", headers={"Accept": "application/json"}).content == b""


@pytest.mark.django_db
@pytest.mark.parametrize("path", [*PAGES, "/settings/phones/", "/photos/hold/", "/finds/questions/"])
def test_a_page_answers_head_like_get(owner_client, path: str) -> None:
    assert owner_client.head(path).status_code == owner_client.get(path).status_code == 200


@pytest.mark.django_db
@pytest.mark.parametrize("path", [*sorted(OPEN), "/enter/"])
def test_a_page_for_visitors_answers_head_like_get(client, path: str) -> None:
    assert client.head(path).status_code == client.get(path).status_code == 200
