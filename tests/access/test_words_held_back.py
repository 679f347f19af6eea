"""A site hidden after its pieces were shown: no address tells its name, and each piece stays shown."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from django.test import Client, override_settings

from catalogue.access.api_keys import make_api_key
from catalogue.exchange.takeout.rows import keys_of, rows_of
from catalogue.giving.told import let_it_tell
from catalogue.photos.models import Photo
from catalogue.sites.models import Site
from catalogue.specimens.models import Specimen, ToldSite
from tests import factories as make
from tests.access.address_table import rows
from tests.access.example_rows import Examples, made_examples

SHOWN = [row.address for row in rows() if row.visitor == "shown"]
# Words of the glass itself; the name of the site stands in what, story and a caption.
NAME, TELLS = "Wrackholm", "from Wrackholm, by the posts"
SEARCHES = ("wrackholm", "wrackhlm", "posts", "bottle")


@pytest.fixture(scope="module")
def made(module_pictures) -> tuple[Examples, Path]:
    return module_pictures(_telling)


def _telling() -> Examples:
    """The rows; what visitors see tells the name of a site that is shown exactly so far."""
    made = made_examples()
    make.site(NAME, show_as="exact")
    find = Specimen.objects.for_visitors().get()
    find.what, find.story = f"Bottle {TELLS}", f"It came up {TELLS}."
    find.save()
    for photo in Photo.objects.filter(find=find):
        photo.caption = f"The bottle {TELLS}"
        photo.save()
    return made


@pytest.fixture
def examples(made: tuple[Examples, Path], db: None) -> Iterator[Examples]:
    with override_settings(DATA_DIR=made[1], MEDIA_ROOT=made[1] / "files"):
        yield made[0]


def heard(examples: Examples) -> dict[str, str]:
    """All that visitors are told, by address: pages, searches, the take-out for others, programs."""
    key = {"Authorization": f"Bearer {make_api_key('Page', 'public')}"}
    said = {}
    for address in SHOWN:
        answer = Client().get(examples.fill(address))
        assert answer.status_code == 200, address
        said[address] = answer.content.decode("utf-8", "replace")
    for words in SEARCHES:
        # What was typed stands in the box and its links; it is no news to whoever typed it.
        page = Client().get("/search/", {"q": words}).content.decode()
        said[f"search {words}"] = page if words == "bottle" else str("/finds/" in page.split("<main")[1])
    said["taken out"] = repr(list(rows_of(keys_of(Specimen.objects.all(), public=True), public=True)))
    for kind in ("finds", "pictures", "sites"):
        said[f"api {kind}"] = Client().get(f"/api/v1/{kind}/", headers=key).content.decode()
    return said


def telling(said: dict[str, str]) -> set[str]:
    return {address for address, text in said.items() if NAME.casefold() in text.casefold()}


def test_a_site_hidden_later_is_told_at_no_address(examples: Examples) -> None:
    before = heard(examples)
    # The check can fail: shown exactly, its name is read.
    assert {"finds/<number:number>/", "giving/", "photos/<whole:pk>/", "taken out", "api finds"} <= telling(
        before
    )
    assert before["search posts"] == "True"
    for show_as in ("hidden", "rounded"):
        Site.objects.filter(name=NAME).update(show_as=show_as)
        after = heard(examples)
        assert telling(after) == set()
        assert [after[f"search {words}"] for words in SEARCHES[:3]] == ["False"] * 3
        number = Specimen.objects.for_visitors().get().number
        assert number in after["giving/"] and number in after["api finds"]


def test_one_renamed_to_what_the_words_say_is_held_back_too(examples: Examples) -> None:
    Site.objects.filter(name=NAME).delete()
    assert telling(heard(examples))
    make.site("Another").delete()
    site = make.site("Whelk Bank")
    Site.objects.filter(pk=site.pk).update(name=NAME.upper())
    assert telling(heard(examples)) == set()


def test_its_owner_lets_them_read_it_with_a_word_and_takes_it_back(
    examples: Examples, owner_client: Client
) -> None:
    Site.objects.filter(name=NAME).update(show_as="hidden")
    find = Specimen.objects.for_visitors().get()
    page = owner_client.get(find.get_absolute_url()).content.decode()
    assert "Held back from visitors:" in page and TELLS in page
    address = f"/finds/{find.number}/tell/"
    said = owner_client.post(address, {"why": "  "}, follow=True)
    assert "Say in a word why" in said.content.decode() and not ToldSite.objects.exists()
    assert telling(heard(examples)) == set()
    said = owner_client.post(address, {"why": "It is in every guide"}, follow=True).content.decode()
    assert "It is in every guide" in said and "Held back from visitors:" not in said
    after = heard(examples)
    assert {"finds/<number:number>/", "giving/", "api finds", "taken out"} <= telling(after)
    assert after["search posts"] == "True"
    # Another site hidden since was not spoken of.
    make.site("The posts")
    Specimen.objects.filter(pk=find.pk).update(story=f"{TELLS} at the posts")
    assert "at the posts" not in heard(examples)["finds/<number:number>/"]
    owner_client.post(f"{address}withdraw/")
    assert telling(heard(examples)) == set()


def test_each_text_is_held_back_by_itself(examples: Examples, client: Client) -> None:
    Site.objects.filter(name=NAME).update(show_as="hidden")
    find = Specimen.objects.for_visitors().get()
    Specimen.objects.filter(pk=find.pk).update(what="Squat soda", story=f"It came up {TELLS}.")
    page = client.get(find.get_absolute_url()).content.decode()
    assert "Squat soda" in page and "It came up" not in page
    find.refresh_from_db()
    assert find.story == f"It came up {TELLS}.", "nothing is lost"


def test_what_is_let_told_ends_with_the_find_alone(examples: Examples) -> None:
    find = Specimen.objects.for_visitors().get()
    let_it_tell(find, [NAME], "said")
    let_it_tell(find, [NAME], "said again")
    assert ToldSite.objects.get().why == "said again"
