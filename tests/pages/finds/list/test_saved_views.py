"""Saved views: kept under a name, opened as things are today."""

import pytest

from catalogue.pages.finds.list.saved_views import kept_part
from catalogue.specimens.models import SavedView
from catalogue.specimens.services.towns import keep_town
from tests import factories

pytestmark = pytest.mark.django_db
VIEWS = "/finds/views/"


def keep(client, name: str = "Marrowby, still wet", query: str = "town=marrowby&stage=wet&page=3"):
    return client.post(VIEWS, {"name": name, "query": query})


@pytest.mark.parametrize(
    ("query", "kept"),
    [
        ("town=marrowby&page=3&tick=all", "town=marrowby"),
        ("?town=a&town=b&q=&sort=-made&view=table", "town=a&town=b&sort=-made&view=table"),
        ("", ""),
        ("page=999999", ""),
        ("q=a%00b&stage=wet", "stage=wet"),
        ("q=%C3%89clair", "q=%C3%89clair"),
    ],
)
def test_what_is_kept_of_an_address(query, kept):
    assert kept_part(query) == kept


def test_kept_shown_beside_the_list_and_opened(owner_client):
    factories.find("Jar", town=factories.town())
    answer = keep(owner_client)
    assert answer.url == "/finds/?town=marrowby&stage=wet"
    page = owner_client.get(answer.url).content.decode()
    view = SavedView.objects.get()
    assert f'href="{VIEWS}{view.pk}/" aria-current="true"' in page
    assert "Keep this view under a name" not in page
    assert "Keep this view under a name" in owner_client.get("/finds/?stage=done").content.decode()
    assert owner_client.get(f"{VIEWS}{view.pk}/").url == answer.url


def test_with_nothing_chosen_there_is_nothing_to_keep(owner_client):
    assert "Save this view" not in owner_client.get("/finds/?page=2").content.decode()


def test_a_view_of_a_town_since_renamed_still_finds_its_pieces(owner_client):
    town = factories.town()
    factories.find("Jar", town=town)
    keep(owner_client, query="town=marrowby")
    town.name = "Great Marrowby"
    keep_town(town, ["name"])
    page = owner_client.get(f"{VIEWS}{SavedView.objects.get().pk}/", follow=True)
    assert [card.find.what for card in page.context["cards"]] == ["Jar"]
    assert "Great Marrowby" in page.content.decode()


def test_a_view_of_something_gone_says_what_it_left_out(owner_client):
    town = factories.town()
    factories.find("Jar")
    keep(owner_client, query="town=marrowby")
    town.delete()
    page = owner_client.get(f"{VIEWS}{SavedView.objects.get().pk}/", follow=True)
    assert page.status_code == 200
    assert "Nothing here is called “marrowby” (town)" in page.content.decode()


@pytest.mark.parametrize(
    ("name", "query", "sentence"),
    [
        ("", "stage=wet", "This field is required."),
        ("   ", "stage=wet", "This field is required."),
        ("x" * 201, "stage=wet", "200 go in"),
        ("Long", "&".join(f"town=town-number-{n}" for n in range(200)), "Too much is chosen"),
    ],
)
def test_bad_input_is_said_and_nothing_kept(owner_client, name, query, sentence):
    answer = keep(owner_client, name, query)
    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert not SavedView.everything.exists()


def test_a_name_is_there_once(owner_client):
    keep(owner_client)
    answer = keep(owner_client, query="stage=done")
    assert answer.status_code == 422
    assert "already a view of that name" in answer.content.decode()
    assert SavedView.objects.get().query == "town=marrowby&stage=wet"


def test_rename_put_away_and_back(owner_client):
    keep(owner_client)
    view = SavedView.objects.get()
    assert owner_client.post(f"{VIEWS}{view.pk}/rename/", {"name": "Wet"}).status_code == 302
    view.refresh_from_db()
    assert (view.name, view.query) == ("Wet", "town=marrowby&stage=wet")
    assert owner_client.post(f"{VIEWS}{view.pk}/rename/", {"name": ""}).status_code == 422
    owner_client.post(f"{VIEWS}{view.pk}/bin/")
    assert owner_client.get(f"{VIEWS}{view.pk}/").status_code == 404
    keep(owner_client, "Wet", "stage=wet")
    answer = owner_client.post(f"{VIEWS}{view.pk}/put-back/", follow=True)
    assert "another view called “Wet”" in answer.content.decode()
    owner_client.post(f"{VIEWS}{SavedView.objects.get().pk}/rename/", {"name": "All wet"})
    owner_client.post(f"{VIEWS}{view.pk}/put-back/")
    assert SavedView.objects.count() == 2


def test_wrong_method_not_there_and_a_visitor(owner_client, client):
    keep(owner_client)
    pk = SavedView.objects.get().pk
    for act in ("rename", "bin", "put-back"):
        assert owner_client.get(f"{VIEWS}{pk}/{act}/").status_code == 405
        assert owner_client.post(f"{VIEWS}999/{act}/").status_code == 404
        assert client.post(f"{VIEWS}{pk}/{act}/").status_code == 302
    assert client.get(VIEWS).status_code == 302
    assert SavedView.objects.get().name == "Marrowby, still wet"
