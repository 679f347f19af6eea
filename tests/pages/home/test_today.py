"""The first page."""

import datetime

import pytest
from django.utils import timezone

from catalogue.care.models import Soak, SoakMember
from catalogue.common.localisation import day_words
from catalogue.giving.models import Promise
from catalogue.pages.home.to_do import ToDo
from catalogue.sites.models import Permission
from catalogue.specimens.services.towns import town_named
from catalogue.specimens.services.which_town import leave_open
from tests import factories

pytestmark = pytest.mark.django_db


def test_an_empty_catalogue_leads_to_the_first_find(owner_client):
    page = owner_client.get("/").content.decode()
    assert "first find takes two minutes" in page and 'href="/finds/new/"' in page
    assert page.count('class="elevation"') > 5 and "10 cm" in page
    # safety comes before anything is lifted or opened
    assert "stay closed and wet" in page


def test_an_empty_catalogue_says_how_a_phone_gets_in(owner_client, settings):
    assert "--lan" in owner_client.get("/").content.decode()
    settings.LAN, settings.LAN_ADDRESSES, settings.PORT = True, ["192.168.4.20"], 8123
    page = owner_client.get("/").content.decode()
    assert "192.168.4.20:8123" in page and 'href="/settings/phones/"' in page and "--lan" not in page
    settings.LAN_ADDRESSES = []
    assert "no address on a network" in owner_client.get("/").content.decode()


@pytest.fixture(autouse=True)
def backed_up(settings):
    """What Home says of backups is tried in `tests/pages/safekeeping`; a demo has none."""
    settings.DEMO = True


def test_what_lies_on_the_bench_is_to_do_and_what_left_waits_no_more(owner_client):
    for stage, standing in (("wet", "kept"), ("wet", "kept"), ("done", "kept"), ("drying", "returned")):
        factories.find(stage=stage, standing=standing)
    assert [words for words, _ in to_do(owner_client)][1:] == [
        "1 finished piece has no place: say where it stands",
        "2 pieces wet, waiting for fresh water",
    ]


def test_three_lines_are_seen_and_the_rest_is_behind_one_touch(owner_client):
    for n in range(5):
        find = factories.find(f"Jar {n}", stage="done")
        Promise.objects.create(find=find, person=factories.person(f"Ada {n}"), on=datetime.date(2026, 5, 1))
    page = owner_client.get("/").content.decode()
    seen, more = page.split('<ul class="rows to-do">')[1:]
    assert seen.count("<li") == 3
    assert "<summary>3 more</summary>" in seen and more.split("</ul>")[0].count("<li") == 3


def test_it_costs_the_same_for_many(owner_client, django_assert_num_queries):
    for n in range(12):
        factories.find(f"bottle {n}", stage="done")
        Permission.objects.create(site=factories.site(f"Ledge {n}"), basis="owner")
    owner_client.get("/")
    # session, user; counts by spread, the undated, finds shown, their cuts, the units shown; the last ones,
    # their covers; what is held back, baths and soaks that are open, requests, promises, originals amiss,
    # sites with their permissions, towns without a position, pieces without a place, intervals of dusting,
    # the bench by stages
    with django_assert_num_queries(2 + 5 + 2 + 6 + 2 + 4):
        owner_client.get("/")


def to_do(client) -> list[tuple[str, bool]]:
    return [(each.words, each.urgent) for each in lines(client)]


def lines(client) -> list[ToDo]:
    """What there is to do, seen at once or not."""
    context = client.get("/").context
    return [*context["to_do"], *context["to_do_more"]]


def test_nothing_to_do_is_said(owner_client):
    find = factories.find(stage="done", standing="handed-over")
    type(find).objects.update(standing="handed-over")
    assert to_do(owner_client) == []
    assert "Nothing today." in owner_client.get("/").content.decode()


def test_what_is_overdue_stands_first(owner_client):
    lamp, jar = factories.find("Lamp glass"), factories.find("Jar")
    today = timezone.localdate()
    ada = factories.person("Ada")
    soon = today + datetime.timedelta(days=3)
    Promise.objects.create(find=jar, person=ada, on=today, until=soon)
    Promise.objects.create(
        find=lamp, person=ada, on=datetime.date(2020, 5, 1), until=datetime.date(2020, 6, 4)
    )
    assert to_do(owner_client) == [
        ("Overdue: Lamp glass is promised to Ada by 4 Jun 2020. Free it, or give it more time", True),
        (f"Jar is promised to Ada by {day_words(soon, year=soon.year != today.year)}", False),
        ("2 pieces are not yet dated: identify the next", False),
        ("2 pieces wet, waiting for fresh water", False),
    ]


def test_an_overdue_promise_is_not_pushed_out_by_those_without_a_last_day(owner_client):
    today, ada = timezone.localdate(), factories.person("Ada")
    for name in ("First", "Second", "Third", "Fourth"):
        Promise.objects.create(find=factories.find(name), person=ada, on=today - datetime.timedelta(days=9))
    yesterday = today - datetime.timedelta(days=1)
    Promise.objects.create(find=factories.find("Lamp"), person=ada, on=yesterday, until=yesterday)
    said = [words for words, urgent in to_do(owner_client) if urgent]
    assert len(said) == 1 and said[0].startswith("Overdue: Lamp is promised to Ada")
    listed = owner_client.get("/giving/").content.decode()
    assert listed.index("past its day") < listed.index("First")


def test_water_that_is_due_for_a_change(owner_client):
    soaked = factories.find("Flask", stage="soaking")
    soak = Soak.objects.create(
        name="Blue crate", began_at=timezone.now() - datetime.timedelta(days=30), change_every_days=3
    )
    SoakMember.objects.create(soak=soak, find=soaked, in_at=soak.began_at)
    assert ("Change the water of Blue crate, 1 piece soaking", False) in to_do(owner_client)
    page = owner_client.get("/").content.decode()
    assert f'href="/workbench/soaks/{soak.pk}/"' in page


def permit(name: str, **given) -> None:
    Permission.objects.create(site=factories.site(name), **{"basis": "permit", **given})


def test_what_to_ask_before_the_next_dive(owner_client):
    """From today's date, sites by name; what has lapsed or ends within a month stands among the urgent."""
    factories.find(stage="done", standing="handed-over")
    today = timezone.localdate()
    week = datetime.timedelta(days=7)
    permit("Ash Rock", valid_to=today - week)
    permit("Birch Bank", valid_to=today + week)
    permit("Cove", valid_to=today + 8 * week)
    permit("Dune Point", basis="not-asked")
    permit("Elm Stairs", valid_from=today + week)
    factories.site("Fern Hole")
    said = [(each.words, each.urgent, each.address) for each in lines(owner_client)]
    day = lambda then: f"{then.day} {then:%b %Y}"  # noqa: E731
    assert said[:5] == [
        (
            f"Permission for Ash Rock lapsed on {day(today - week)}: ask again before the next dive",
            True,
            "/dives/sites/ash-rock/#asked",
        ),
        (
            f"Permission for Birch Bank ends on {day(today + week)}: ask again in time",
            True,
            "/dives/sites/birch-bank/#asked",
        ),
        (
            f"Permission for Elm Stairs begins on {day(today + week)}: no dive before that rests on it",
            False,
            "/dives/sites/elm-stairs/#asked",
        ),
        ("Not asked yet about taking things from Dune Point", False, "/dives/sites/dune-point/#asked"),
        ("No answer on record about taking things from Fern Hole", False, "/dives/sites/fern-hole/#asked"),
    ]


def test_many_sites_of_one_state_are_told_in_one_line(owner_client):
    factories.find(stage="done")
    for n in range(6):
        factories.site(f"Ledge {n}")
    words = [words for words, _ in to_do(owner_client) if "on record" in words]
    assert len(words) == 4 and words[-1] == "More sites without an answer on record"


def test_towns_that_fit_several_are_asked_about(owner_client):
    def asked() -> list[str]:
        return [words for words, _ in to_do(owner_client) if "town" in words or "is it?" in words]

    factories.find()
    assert asked() == []
    town_named("Marrowby, Velmoor")
    first = town_named("PORTLAND")
    assert asked() == ["Which PORTLAND is it? Several towns fit, or one nearly"]
    town_named("BSTON MASS")
    assert asked() == ["2 towns fit several on the list: which ones are they?"]
    leave_open(first)
    assert asked() == ["Which BSTON MASS is it? Several towns fit, or one nearly"]
