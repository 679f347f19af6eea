"""Wherever a person's name is typed, the address book is offered; nobody but the owner sees it."""

import pytest

from catalogue.people.models import Person
from catalogue.people.services import MOST_NAMES_OFFERED, erase, names_like
from tests import factories as make

pytestmark = pytest.mark.django_db


@pytest.fixture
def book() -> list[Person]:
    return [Person.objects.create(name=name) for name in ("Ada Fenn", "Bo Larkin", "Lars Bode", "Orla Fenn")]


def test_names_that_begin_so_come_first(book):
    assert names_like("bo") == ["Bo Larkin", "Lars Bode"]
    assert names_like("") == ["Ada Fenn", "Bo Larkin", "Lars Bode", "Orla Fenn"]
    assert names_like("xyz") == []


def test_of_several_the_last_is_gone_on_with(book):
    assert names_like("Ada Fenn, bo") == ["Ada Fenn, Bo Larkin", "Ada Fenn, Lars Bode"]
    # Who stands there already is not offered a second time.
    assert names_like("ada fenn,") == ["ada fenn, Bo Larkin", "ada fenn, Lars Bode", "ada fenn, Orla Fenn"]


def test_an_erased_name_and_one_in_the_bin_are_not_offered(book):
    erase(book[0])
    book[1].put_in_bin()
    assert names_like("") == ["Lars Bode", "Orla Fenn"]


def test_a_long_book_is_cut(book):
    Person.objects.bulk_create(Person(name=f"Bo {number:03}") for number in range(300))
    assert len(names_like("bo")) == MOST_NAMES_OFFERED


def test_the_owner_is_answered_in_one_query_and_nobody_else(
    owner_client, client, book, django_assert_num_queries
):
    # session, owner, names
    with django_assert_num_queries(3):
        answer = owner_client.get("/people/suggest/", {"by_name": "larkin"})
    assert answer.content.decode().split() == ["<option", 'value="Bo', 'Larkin"></option>']
    refused = client.get("/people/suggest/", {"by_name": "larkin"})
    assert refused.status_code == 302 and b"Larkin" not in refused.content


@pytest.mark.parametrize(
    ("address", "box"),
    [
        ("/finds/new/", "buddies"),
        ("/dives/new/", "buddies_named"),
        ("/workbench/{find}/condition/", "by_name"),
        ("/workbench/{find}/treatment/", "by_name"),
        ("/giving/{find}/promise/", "person"),
        ("/giving/{find}/hand-over/", "person"),
        ("/dives/sites/{site}/permission/", "answered_by"),
    ],
)
def test_every_box_for_a_name_asks_the_book(owner_client, address, box):
    site = make.site()
    find = make.find(dive=make.dive(at=site))
    page = owner_client.get(address.format(find=find.number, site=site.slug))
    assert page.status_code == 200
    text = page.content.decode()
    asks = text[text.index(f'name="{box}"') :].split(">", 1)[0]
    assert 'hx-get="/people/suggest/"' in asks
    names = asks.split('list="')[1].split('"')[0]
    assert f'<datalist id="{names}">' in text
