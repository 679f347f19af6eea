"""A hold is cleared by a person with a reason of substance, and can be set again."""

import pytest

from catalogue.people.models import Person
from catalogue.sites.models import Site
from catalogue.sites.services import change_site, clear_hold, set_hold_again
from tests import factories
from tests.posted import opened

pytestmark = pytest.mark.django_db

REASON = "Receiver looked at the list"
LAZY = ["", "   ", "ok", "yes yes yes", "because I", "...", "1 2 3 4"]


@pytest.fixture
def wreck() -> Site:
    return factories.site(wreck="yes")


def now(site: Site) -> Site:
    return Site.objects.get(pk=site.pk)


@pytest.mark.parametrize("lazy", LAZY)
def test_a_reason_without_substance_clears_nothing(owner_client, wreck: Site, lazy: str) -> None:
    with pytest.raises(ValueError, match="few words"):
        clear_hold(wreck, lazy, factories.person())
    answer = owner_client.post(f"{wreck.get_absolute_url()}clear/", {"reason": lazy, "by": "R. Pell"})
    assert answer.status_code == 422 and 'value="R. Pell"' in answer.content.decode()
    assert now(wreck).holds and not Person.objects.filter(name="R. Pell").exists()


def test_somebody_cleared_it(owner_client, wreck: Site) -> None:
    with pytest.raises(ValueError, match="who"):
        clear_hold(wreck, REASON, None)
    for nobody in ("", "  "):
        answer = owner_client.post(f"{wreck.get_absolute_url()}clear/", {"reason": REASON, "by": nobody})
        assert answer.status_code == 422 and REASON in answer.content.decode()
    assert now(wreck).holds


def test_it_is_set_again_and_the_clearing_stays_told(owner_client, wreck: Site) -> None:
    page = wreck.get_absolute_url()
    clear_hold(wreck, REASON, factories.person("R. Pell"))
    shown = owner_client.get(page).content.decode()
    assert "Hold it again" in shown and "Cleared before" not in shown
    address, sent = opened(owner_client, page, "hold/")
    answer = owner_client.post(address, sent, follow=True).content.decode()
    assert now(wreck).holds and now(wreck).hold_cleared_by is None
    assert "The hold is set again" in answer and "Clear the hold" in answer
    assert f"by R. Pell: {REASON}" in answer
    # a second tap of the same form, and one where nothing is cleared
    owner_client.post(address, sent)
    assert "no cleared hold" in owner_client.post(f"{page}hold/", follow=True).content.decode()
    owner_client.post(f"{page}clear/", {"reason": "The navy has looked too", "by": "Ida Marl"})
    shown = owner_client.get(page).content.decode()
    assert not now(wreck).holds
    assert "by Ida Marl: The navy has looked too" in shown and f"by R. Pell: {REASON}" in shown


@pytest.mark.parametrize("person", ["owner_client", "client"])
def test_setting_it_again_is_a_posted_form_of_the_owner(request, wreck: Site, person: str) -> None:
    client = request.getfixturevalue(person)
    address = f"{wreck.get_absolute_url()}hold/"
    if person == "client":
        assert client.post(address)["Location"].startswith("/enter/")
    else:
        assert client.get(address).status_code == 405
        assert client.post("/dives/sites/nowhere/hold/").status_code == 404


def test_a_link_noted_later_sets_a_cleared_hold_again(owner_client, wreck: Site) -> None:
    clear_hold(wreck, REASON, factories.person())
    address, sent = opened(owner_client, f"{wreck.get_absolute_url()}edit/", military="yes")
    answer = owner_client.post(address, sent, follow=True).content.decode()
    assert now(wreck).holds and now(wreck).military == "yes"
    assert "The hold is set again" in answer


def test_other_changes_leave_a_cleared_hold_cleared(wreck: Site) -> None:
    clear_hold(wreck, REASON, factories.person())
    wreck.notes, wreck.military = "silt", "no"
    assert change_site(wreck, ["notes", "military"]) is False
    assert not now(wreck).holds and now(wreck).notes == "silt"


def test_where_no_link_is_noted_there_is_no_hold_to_set() -> None:
    site = factories.site()
    set_hold_again(site)
    assert not now(site).holds
