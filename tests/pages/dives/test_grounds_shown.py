"""Site, dives and dive say in which state their grounds are: of the dive's own day, and for coming dives."""

import re
from datetime import date, timedelta

import pytest
from django.utils import timezone

from catalogue.sites.models import Permission, Site
from tests import factories

pytestmark = pytest.mark.django_db


def ago(days: int) -> date:
    return timezone.localdate() - timedelta(days=days)


def said(day: date) -> str:
    return f"{day.day} {day:%b %Y}"


def ask(site: Site, basis: str = "permit", **given) -> Permission:
    return Permission.objects.create(site=site, basis=basis, authority="Velmoor Harbour Trust", **given)


def plain(client, address: str) -> str:
    return " ".join(re.sub(r"<[^>]*>", " ", client.get(address).content.decode()).split())


STATES = [
    ([], "No answer on record about taking things from Heron Ledge.", "no answer on record"),
    ([{"basis": "not-asked"}], "Not asked yet about taking things from Heron Ledge.", "not asked yet"),
    ([{"valid_to": ago(1)}], "lapsed on " + said(ago(1)), "lapsed on " + said(ago(1))),
    ([{"valid_to": ago(-20)}], "ends on " + said(ago(-20)), "valid until " + said(ago(-20))),
    ([{"valid_from": ago(-9)}], "begins on " + said(ago(-9)), "not begun: from " + said(ago(-9))),
    ([{"basis": "not-asked"}, {"valid_to": ago(1)}], "lapsed on", "lapsed on"),
    ([{"valid_to": ago(-90)}], "", ""),
]


@pytest.mark.parametrize(("rows", "caution", "tag"), STATES)
def test_a_site_and_the_list_say_what_is_due(owner_client, rows, caution: str, tag: str) -> None:
    site = factories.site()
    for row in rows:
        ask(site, **row)
    page, sites = plain(owner_client, site.get_absolute_url()), plain(owner_client, "/dives/")
    if caution:
        assert caution in page and "Record an answer" in page
        assert tag in sites
    else:
        assert "valid until " + said(ago(-90)) in page
        assert "valid until" not in sites and "on record" not in sites
    assert "holds now" not in page


def test_each_answer_of_a_site_says_its_own_state(owner_client) -> None:
    site = factories.site()
    ask(site, valid_to=ago(400), reference="letter 1")
    ask(site, valid_from=ago(300), valid_to=ago(-90), reference="letter 2")
    ask(site, basis="not-asked")
    page = plain(owner_client, site.get_absolute_url())
    assert re.search(rf"letter 1 lapsed on {said(ago(400))}", page)
    assert re.search(rf"letter 2 valid until {said(ago(-90))}", page)
    assert f"For coming dives: valid until {said(ago(-90))}" in page


DAY = date(2024, 6, 1)
DAYS = [
    ([], "no answer on record", "No answer on record about taking things from Heron Ledge."),
    ([{"basis": "not-asked"}], "not asked yet", "Not asked yet about taking things from Heron Ledge."),
    (
        [{"valid_to": date(2024, 5, 31)}],
        "lapsed on 31 May 2024, before that dive",
        "The permission had lapsed",
    ),
    (
        [{"valid_from": date(2024, 6, 2)}],
        "not begun then: from 2 Jun 2024",
        "The permission had not begun then",
    ),
    # what is asked for today says nothing of an earlier day
    (
        [{"asked_on": date(2024, 6, 2)}],
        "not begun then: from 2 Jun 2024",
        "The permission had not begun then",
    ),
    # lapsed by now, and yet what that dive rests on
    (
        [{"valid_to": DAY}],
        "permit or licence, Velmoor Harbour Trust, valid on that day, until 1 Jun 2024",
        "",
    ),
]


@pytest.mark.parametrize(("rows", "words", "caution"), DAYS)
def test_a_dive_rests_on_what_was_valid_on_its_day(owner_client, rows, words: str, caution: str) -> None:
    dive = factories.dive(date=DAY)
    for row in rows:
        ask(dive.site, **row)
    page = plain(owner_client, dive.get_absolute_url())
    assert words in page
    assert caution in page
    assert ("Record an answer" in page) == bool(caution)


def test_each_dive_in_a_list_says_its_own_day(owner_client) -> None:
    site = factories.site()
    ask(site, valid_from=date(2024, 1, 1), valid_to=date(2024, 12, 31))
    for day in (date(2023, 5, 1), date(2024, 5, 1), date(2025, 5, 1)):
        factories.dive(site, date=day)
    for address in ("/dives/", site.get_absolute_url()):
        rows = re.findall(
            r"<li><time datetime.*?</li>", owner_client.get(address).content.decode(), re.DOTALL
        )
        tags = [re.findall(r'class="tag amber">([^<]*)<', row) for row in rows]
        assert tags == [["permission lapsed by then"], [], ["permission not begun then"]]


def test_a_clock_that_is_behind_does_not_make_a_lapsed_permission_valid(owner_client, monkeypatch) -> None:
    site = factories.site()
    ask(site, valid_to=date(2024, 5, 31))
    factories.dive(site, date=DAY)
    monkeypatch.setattr("catalogue.specimens.clock.ahead_of_clock", lambda: date(2024, 6, 2))
    monkeypatch.setattr("django.utils.timezone.localdate", lambda *_: date(2015, 1, 1))
    assert "lapsed on 31 May 2024" in plain(owner_client, site.get_absolute_url())


def test_the_dives_page_asks_the_same_for_many_sites(owner_client, django_assert_num_queries) -> None:
    for n in range(7):
        site = factories.site(f"Ledge {n}")
        ask(site, valid_to=DAY)
        factories.dive(site)
    # session, user, count of dives, dives, their sites' permissions, sites with counts, their permissions
    with django_assert_num_queries(7):
        owner_client.get("/dives/")


def test_what_is_due_is_said_before_a_dive_is_logged_there(owner_client) -> None:
    site = factories.site()
    address = f"/dives/new/?site={site.slug}"
    assert "No answer on record about taking things from Heron Ledge." in plain(owner_client, address)
    ask(site, valid_to=ago(1))
    assert "Permission for Heron Ledge lapsed on" in plain(owner_client, address)
    assert "Heron Ledge lapsed" not in plain(owner_client, "/dives/new/")
    ask(site, valid_to=ago(-90))
    assert "Permission for Heron Ledge" not in plain(owner_client, address)
