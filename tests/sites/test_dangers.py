"""Hazards of diving at a site: ticked or in own words, and said before a dive is logged."""

import re

import pytest

from catalogue.sites.dangers import Danger
from catalogue.sites.models import Site
from tests import factories as make

pytestmark = pytest.mark.django_db

CURRENT, NETS = "Strong current or tide", "nets, ropes or fishing lines"


@pytest.fixture
def ledge() -> Site:
    return make.site(dangers=["nets", "current"], dangers_words="The ferry turns here at the hour.")


def page(client, address: str) -> str:
    answer = client.get(address)
    assert answer.status_code == 200
    return answer.content.decode()


def test_they_are_kept_by_the_form_of_the_site(owner_client) -> None:
    site = make.site()
    form = page(owner_client, f"/dives/sites/{site.slug}/edit/")
    assert "Hazards of diving there" in form and form.count('name="dangers"') == len(Danger)
    sent = {"name": site.name, "show_as": "hidden", "tidal": "yes", "wreck": "no", "military": "no"}
    sent |= {"dangers": ["boats", "silt"], "dangers_words": "Anglers cast from the pier."}
    answer = owner_client.post(f"/dives/sites/{site.slug}/edit/", sent)
    assert answer.status_code == 302
    site.refresh_from_db()
    assert site.dangers == ["boats", "silt"] and site.dangers_words == "Anglers cast from the pier."
    form = page(owner_client, f"/dives/sites/{site.slug}/edit/")
    ticked = re.findall(r'name="dangers" value="(\w+)"[^>]* checked', form)
    assert ticked == ["boats", "silt"]


def test_a_hazard_that_is_in_no_list_is_refused_and_nothing_saved(owner_client) -> None:
    site = make.site()
    sent = {"name": "Other", "show_as": "hidden", "tidal": "yes", "wreck": "no", "military": "no"}
    answer = owner_client.post(f"/dives/sites/{site.slug}/edit/", {**sent, "dangers": ["sirens"]})
    assert answer.status_code == 422
    site.refresh_from_db()
    assert (site.name, site.dangers) == ("Heron Ledge", [])


def test_the_page_of_the_site_and_of_a_dive_tell_them(owner_client, ledge) -> None:
    dive = make.dive(ledge)
    for address in (ledge.get_absolute_url(), dive.get_absolute_url()):
        text = page(owner_client, address)
        assert text.index("Hazards of Heron Ledge") < text.index(CURRENT) < text.index("The ferry turns here")


def test_before_a_dive_is_logged_those_of_the_chosen_site_stand_first(owner_client, ledge) -> None:
    other = make.site("Tallow Cove", dangers=["outfall"])
    text = page(owner_client, f"/dives/new/?site={ledge.slug}")
    assert (
        text.index(CURRENT)
        < text.index("Tallow Cove</a>")
        < text.index("outfall")
        < text.index('class="form sheet')
    )
    # no site chosen yet: all of them
    for address in ("/dives/new/", "/labels/tags/"):
        text = page(owner_client, address)
        assert NETS in text and "The ferry turns here" in text and f">{other}</a>" in text


def test_a_dive_of_which_something_is_wrong_still_tells_them(owner_client, ledge) -> None:
    answer = owner_client.post("/dives/new/", {"site": ledge.pk, "date": "yesterday"})
    assert answer.status_code == 422 and NETS in answer.content.decode()


def test_without_any_there_is_no_such_line(owner_client) -> None:
    site = make.site()
    assert site.danger_lines == [] and not site.to_report
    for address in ("/dives/new/", "/labels/tags/", site.get_absolute_url()):
        assert "Hazards o" not in page(owner_client, address)


@pytest.mark.parametrize(
    "given",
    [{"dangers": ["munition"]}, {"dangers": ["remains"]}, {"dangers": ["protected"]}, {"wreck": "yes"}],
)
def test_where_something_may_lie_that_is_not_touched_site_and_dive_say_what_to_do(
    owner_client, given
) -> None:
    site = make.site(**given)
    assert site.to_report
    for address in (site.get_absolute_url(), make.dive(site).get_absolute_url()):
        text = page(owner_client, address)
        for word in ("touch, mark the place, report it", "call the police", "protected area or a wreck"):
            assert word in text.replace("&#x27;", "'"), (address, word)


def test_a_site_costs_no_more_queries_with_hazards(owner_client, ledge, django_assert_num_queries) -> None:
    for n in range(3):
        make.site(f"Cove {n}", dangers=["surge"])
    owner_client.get("/dives/new/")
    from catalogue.sites.queries import sites_with_dangers

    with django_assert_num_queries(1):
        assert len(sites_with_dangers()) == 4
