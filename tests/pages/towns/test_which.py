"""A name that several towns bear is asked about on its page, and answered there."""

import pytest
from django.utils import timezone

from catalogue.common.models import Merge
from catalogue.specimens.models import Town
from catalogue.specimens.services.towns import town_named
from catalogue.specimens.services.which_town import settle_town
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture
def bare() -> Town:
    return town_named("PORTLAND")


def value(client, town: Town, words: str) -> str:
    choices = client.get(town.get_absolute_url()).context["choices"]
    return next(choice.value for choice in choices if choice.row.words == words)


def test_a_chosen_town_gives_its_name_region_and_position(owner_client, bare):
    answer = owner_client.post(
        f"/towns/{bare.slug}/which/", {"town": value(owner_client, bare, "Portland, ME, US")}
    )
    assert answer["Location"] == bare.get_absolute_url()
    bare.refresh_from_db()
    assert (bare.name, bare.region, bare.country) == ("Portland", "ME", "US")
    assert bare.latitude == pytest.approx(43.66, abs=0.05) and bare.from_gazetteer
    page = owner_client.get(bare.get_absolute_url())
    assert page.context["choices"] == [] and "Which Portland" not in page.content.decode()


def test_what_the_catalogue_has_already_becomes_one_with_it(owner_client, bare):
    maine, find = town_named("Portland, Me."), factories.find(town=bare)
    answer = owner_client.post(
        f"/towns/{bare.slug}/which/", {"town": value(owner_client, bare, "Portland, ME, US")}
    )
    assert answer["Location"] == maine.get_absolute_url()
    find.refresh_from_db()
    assert find.town == maine and Merge.objects.count() == 1
    # said with the way back
    undo = f"/towns/merges/{Merge.objects.get().pk}/undo/"
    page = owner_client.get(maine.get_absolute_url()).content.decode()
    assert "PORTLAND is Portland, ME, US." in page and page.count(undo) == 2
    owner_client.post(undo)
    find.refresh_from_db()
    assert find.town == bare


def test_the_nearest_to_where_its_pieces_lay_comes_first(owner_client, bare):
    site = factories.site(latitude=45.5, longitude=-122.6)
    factories.find(town=bare, site=site)
    choices = owner_client.get(bare.get_absolute_url()).context["choices"]
    assert choices[0].row.words == "Portland, OR, US" and choices[0].km < 20
    assert [choice.km for choice in choices] == sorted(choice.km for choice in choices)


def test_a_choice_says_what_is_marked_for_it_already_and_that_it_bears_another_name(owner_client, bare):
    maine = town_named("Portland, Me.")
    for _ in range(2):
        factories.find(town=maine)
    factories.find(town=maine, binned_at=timezone.now())
    choices = {
        choice.row.words: choice for choice in owner_client.get(bare.get_absolute_url()).context["choices"]
    }
    assert choices["Portland, ME, US"].pieces == 2 and not choices["Portland, ME, US"].by_other_name
    assert choices["Portland, OR, US"].pieces == 0
    # GeoNames lists `Portland` among the names of Sandusky, Ohio.
    assert choices["Sandusky, OH, US"].by_other_name
    page = owner_client.get(bare.get_absolute_url()).content.decode()
    assert page.count("2 pieces here already") == 1 and "by another of its names" in page


def test_all_open_towns_can_be_reached_those_with_most_pieces_first(owner_client):
    names = ["PORTLAND", "BOSTON", "HALIFAX", "NEWPORT", "SALEM", "BRISTOL", "SPRINGFIELD", "RICHMOND"]
    for n, name in enumerate(names):
        town = town_named(name)
        for _ in range(n):
            factories.find(town=town)
    answer = owner_client.get("/towns/")
    assert [town.name for town in answer.context["to_place"]][:2] == ["RICHMOND", "SPRINGFIELD"]
    asked = answer.content.decode().split('id="which-head"')[1].split("</section>")[0]
    for name in names:
        assert f"<bdi>{name}</bdi>" in asked
    assert "2 more" in asked


@pytest.mark.parametrize("town", ["", "0,0", "x" * 5000])
def test_what_is_none_of_them_changes_nothing(owner_client, bare, town):
    owner_client.post(f"/towns/{bare.slug}/which/", {"town": town})
    bare.refresh_from_db()
    assert (bare.name, bare.latitude) == ("PORTLAND", None)


def test_none_of_these_is_asked_again_when_the_lists_grow(owner_client, bare, monkeypatch):
    address = f"/towns/{bare.slug}/which/"
    assert "Which one is it?" in owner_client.get("/towns/").content.decode()
    owner_client.post(address, {"town": "none"})
    bare.refresh_from_db()
    assert (bare.name, bare.latitude) == ("PORTLAND", None)
    assert owner_client.get(bare.get_absolute_url()).context["choices"] == []
    assert "Which one is it?" not in owner_client.get("/towns/").content.decode()
    monkeypatch.setattr("catalogue.specimens.services.which_town.lists_version", lambda: "grown")
    assert owner_client.get(bare.get_absolute_url()).context["choices"]
    assert "Which one is it?" in owner_client.get("/towns/").content.decode()


def test_two_of_one_name_in_one_state_stay_two_towns(owner_client):
    first, second = (town_named("Salem, AR"), town_named("Salem"))
    rows = list(owner_client.get(first.get_absolute_url()).context["choices"])
    assert len(rows) == 2 and len({choice.row.described for choice in rows}) == 2
    owner_client.post(f"/towns/{first.slug}/which/", {"town": rows[0].value})
    settle_town(second, rows[1].row)
    first.refresh_from_db()
    second.refresh_from_db()
    assert first.region == "AR" and second.region.startswith("AR (")
    assert Town.objects.count() == 2 and first.latitude != second.latitude
    assert town_named("Salem, AR") not in (second, None)


def test_a_town_that_nobody_lists_asks_nothing(owner_client):
    town = town_named("Marrowby, Velmoor")
    assert owner_client.get(town.get_absolute_url()).context["choices"] == []
