"""On what grounds a find was taken: of the day it came up, on its page, in the list, before giving."""

import re
from datetime import date, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from catalogue.giving import services
from catalogue.sites.models import Permission
from catalogue.specimens.models import Specimen
from tests import factories

pytestmark = pytest.mark.django_db
DAY = date(2024, 6, 1)
LEAVE = {"basis": "owner", "authority": "Velmoor Harbour Trust", "reference": "letter 41"}
IN_2024 = LEAVE | {"valid_from": date(2024, 1, 1), "valid_to": date(2024, 12, 31)}


def plain(client, address: str) -> str:
    return " ".join(re.sub(r"<[^>]*>", " ", client.get(address).content.decode()).split())


def dived(**given) -> Specimen:
    return factories.find("Squat soda", dive=factories.dive(date=DAY), **given)


def loose(recovered: str = "") -> Specimen:
    return factories.find("Squat soda", site=factories.site(), recovered_edtf=recovered)


VALID_THEN = "owner&#x27;s leave, Velmoor Harbour Trust, letter 41, valid"
OF_THE_DAY = [
    # lapsed long ago by today's date, and yet what the find rests on
    (dived, [IN_2024], f"{VALID_THEN} on that day, until 31 Dec 2024", ""),
    # valid today, and nothing for the day of the dive
    (dived, [LEAVE | {"valid_from": date(2025, 1, 1)}], "not begun then", "permission not begun then"),
    (dived, [LEAVE | {"valid_to": date(2024, 5, 31)}], "lapsed on 31 May 2024", "permission lapsed by then"),
    # the row that says that nobody was asked silences nothing
    (dived, [{"basis": "not-asked"}], "Not asked yet about taking things", "not asked yet"),
    (dived, [], "No answer on record about taking things", "no answer on record"),
    (lambda: loose("2024"), [IN_2024], f"{VALID_THEN} for all of that time, until 31 Dec 2024", ""),
    (lambda: loose("2023/2024"), [IN_2024], "not known for that day", "grounds not known for that day"),
    (lambda: loose("2024~"), [IN_2024], "not known for that day", "grounds not known for that day"),
    (loose, [IN_2024], "No day is on record for it.", "grounds not known for that day"),
    (loose, [LEAVE], f"{VALID_THEN} for all of that time", ""),
    (
        lambda: factories.find("Squat soda"),
        [],
        "No answer on record about taking things.",
        "no answer on record",
    ),
]


@pytest.mark.parametrize(("make", "rows", "words", "tag"), OF_THE_DAY)
def test_page_list_and_giving_say_the_grounds_of_its_day(
    owner_client, make, rows, words: str, tag: str
) -> None:
    find = make()
    for row in rows:
        Permission.objects.create(site=find.where_found, **row)
    page = plain(owner_client, find.get_absolute_url())
    assert words in page
    assert ("Before it is given away:" in page) == bool(tag)
    for act in ("promise", "hand-over"):
        form = owner_client.get(f"/giving/{find.number}/{act}/").content.decode()
        assert ("quiet-caution" in form) == bool(tag)
    services.mark(find, "free")
    for address in ("/finds/", "/finds/?view=table&col=grounds", "/giving/"):
        tags = re.findall(r'class="tag amber">([^<]*)<', owner_client.get(address).content.decode())
        assert [each for each in tags if each != "wet"] == [tag][: bool(tag)], address


def test_a_promise_in_the_list_says_its_grounds(owner_client) -> None:
    find = dived()
    services.promise(find, factories.person())
    assert "no answer on record" in plain(owner_client, "/giving/")


def test_visitors_see_none_of_it(client, owner_client) -> None:
    find = dived()
    Permission.objects.create(site=find.where_found, **LEAVE | {"valid_to": date(2024, 5, 31)})
    services.mark(find, "free")
    for address in ("/giving/", find.get_absolute_url()):
        html = client.get(address).content.decode()
        assert "Squat soda" in html
        for word in ("lapsed", "permission", "Permission", "Harbour Trust", "on record", "letter 41"):
            assert word not in html, word
    assert "lapsed" not in owner_client.get("/giving/?as-visitor").content.decode()


def test_the_day_of_the_find_is_that_of_its_dive_and_not_of_its_entry(owner_client) -> None:
    """A find entered today from a dive of a year ago, with a permit that began yesterday."""
    find = dived()
    begun = timezone.localdate() - timedelta(days=1)
    Permission.objects.create(site=find.where_found, **LEAVE | {"valid_from": begun})
    assert "The permission had not begun then" in plain(owner_client, find.get_absolute_url())
    assert "no last day on record" in plain(owner_client, find.where_found.get_absolute_url())


@pytest.mark.parametrize("view", ["gallery", "table&col=grounds", "shelf"])
def test_the_list_asks_for_permissions_once_for_all(owner_client, view: str) -> None:
    def many_sites(numbers: range) -> None:
        for n in numbers:
            site = factories.site(f"Ledge {n}")
            Permission.objects.create(site=site, **LEAVE)
            factories.find(dive=factories.dive(site))

    def queries() -> int:
        with CaptureQueriesContext(connection) as seen:
            owner_client.get(f"/finds/?view={view}")
        return len(seen)

    many_sites(range(2))
    queries()  # the first time, the chosen columns are remembered
    few = queries()
    many_sites(range(2, 9))
    assert queries() == few
