"""What somebody who is not the owner may see of a find."""

import datetime
import re

import pytest

from catalogue.photos.models import Photo
from catalogue.photos.services import take_in
from catalogue.sites.models import Site
from catalogue.specimens.models import Specimen
from tests import factories as make
from tests.photos.drawn import jpeg
from tests.posted import forms_in

from .find_parts import full_find
from .test_find_page import plain

pytestmark = pytest.mark.django_db

PRIVATE = (
    "Tallow Cove",
    "Velmoor Sound",
    "km from",
    "Orla Finch",
    "Bram Tolley",
    "Private note",
    "third post",
    "under the ledge",
    "a clay pipe",
    "Hall case",
    "Bench",
    "The wave decides it",
    "Tumbling",
    "Who changed what",
    "Dive 1",
    "/edit/",
    "csrfmiddlewaretoken",
)


@pytest.fixture
def shared() -> Specimen:
    find = full_find()
    find.shared = True
    find.save()
    return find


def seen(client, find: Specimen) -> str:
    answer = client.get(find.get_absolute_url())
    assert answer.status_code == 200
    return answer.content.decode()


def test_a_private_find_and_no_find_at_all_look_alike(client) -> None:
    find = full_find()
    hidden, none = client.get(find.get_absolute_url()), client.get("/finds/2025.9.9/")
    assert hidden.status_code == none.status_code == 302
    assert hidden["Location"].startswith("/enter/")
    assert none["Location"].startswith("/enter/")


def test_a_shared_find_shows_the_piece(client, shared: Specimen) -> None:
    html = seen(client, shared)
    for part in (
        "Aqua ginger-beer bottle",
        "one of 1926, 1936, 1946",
        "ruler ruler-large",
        'class="mark"',
        "Brackwater Bottle Company",
        "QUILL &amp; SONS",
        "marked for Marrowby",
        "241 mm",
        "It held ginger beer.",
        "Clean does not mean fit to drink from",
    ):
        assert part in html, part
    assert html.count("<h1") == 1


def test_a_shared_find_gives_nothing_private_away(client, shared: Specimen) -> None:
    html = seen(client, shared)
    assert [word for word in PRIVATE if word in html] == []


def test_the_owners_page_holds_all_that_is_kept_from_visitors(owner_client, shared: Specimen) -> None:
    html = seen(owner_client, shared)
    # the check above can only fail where these words would be there to be seen
    assert [word for word in PRIVATE if word not in html] == []


@pytest.mark.parametrize(
    ("show_as", "told", "kept"),
    [
        ("hidden", [], ["Tallow Cove", "Velmoor Sound", "44.51", "44.55", "44° 3"]),
        ("rounded", ["Velmoor Sound", "about 44° 33′ N, 67° 15′ W"], ["Tallow Cove", "km from", "44° 30"]),
        ("exact", ["Tallow Cove", "Velmoor Sound"], ["km from"]),
    ],
)
def test_the_place_is_only_as_exact_as_the_site_is_shown(
    client, shared: Specimen, show_as: str, told: list[str], kept: list[str]
) -> None:
    Site.objects.update(show_as=show_as, longitude="-67.28", latitude="44.512345")
    html = seen(client, shared)
    assert [word for word in told if word not in html] == []
    assert [word for word in kept if word in html] == []


def test_a_free_find_says_how_to_ask(client) -> None:
    find = full_find()
    Specimen.objects.filter(pk=find.pk).update(standing="free")
    assert "To ask for a piece that is free to take" in seen(client, find)


def test_a_find_in_the_bin_is_not_shown(client, shared: Specimen) -> None:
    shared.put_in_bin()
    assert client.get(shared.get_absolute_url()).status_code == 302


def test_a_visitor_may_not_change_anything(client, shared: Specimen) -> None:
    assert client.post(shared.get_absolute_url()).status_code == 405


def test_the_visitors_page_takes_few_queries(client, shared: Specimen, django_assert_max_num_queries) -> None:
    """The find; readings; lettering; pictures; the house's words; the axis of what visitors see; units;
    hidden sites, and which of them its owner lets its words tell: 9."""
    with django_assert_max_num_queries(9):
        seen(client, shared)


@pytest.mark.parametrize(
    ("first", "last", "years", "words"),
    [
        (1926, 1946, [1926, 1936, 1946], "probably {1946}, {1936} or {1926} years old"),
        (1926, 1946, [1926, 1936, 1946], "{1946}, {1936} or {1926} years old"),
        (1900, 1920, None, "about {1920} to {1900} years old"),
        (1969, 1969, None, "{1969} years old"),
        (1892, None, None, "at most {1892} years old"),
        (None, 1890, None, "at least {1890} years old"),
    ],
)
def test_the_age_is_told_as_of_this_year(
    client, first: int | None, last: int | None, years: list[int] | None, words: str
) -> None:
    find = make.find("Bottle", shared=True)
    ruler = {"years": years, "curve": [[1890, 0.5], [1969, 1.0]]}
    said = "probably x" if words.startswith("probably") else "x"
    Specimen.objects.filter(pk=find.pk).update(
        made_from=first,
        made_to=last,
        made_ruler=ruler,
        made_words=said,
    )
    this_year = datetime.date.today().year
    expected = re.sub(r"\{(\d+)\}", lambda found: str(this_year - int(found[1])), words)
    assert f"{expected[:1].upper()}{expected[1:]}. " in f"{plain(seen(client, find))} "


def telling(where: str, words: str) -> Specimen:
    """A find that is not shared and has those words there."""
    find = make.find("A flask")
    if where == "caption":
        photo = take_in(jpeg(), subject=find)
        photo.caption = words
        photo.save()
    else:
        setattr(find, where, words)
        find.save()
    return find


@pytest.mark.parametrize("where", ["what", "story", "caption"])
def test_sharing_asks_first_where_a_hidden_sites_name_is_told(owner_client, where: str) -> None:
    make.site("Tallow Cove")
    find = telling(where, "From the silt of TALLOW  cove's end")
    address = f"{find.get_absolute_url()}share/"

    asked = owner_client.post(address, {"shared": "yes"})
    assert asked.status_code == 422
    assert "tells of Tallow Cove" in asked.content.decode()
    find.refresh_from_db()
    assert not find.shared

    said, sent = next(form for form in forms_in(asked.content.decode()) if "shared" in form[1])
    after = owner_client.post(said["action"], sent | {"all-the-same": "yes"}, follow=True).content.decode()
    find.refresh_from_db()
    assert find.shared
    assert "Visitors read of Tallow Cove in its words" in after


def test_a_piece_free_to_take_is_warned_of_on_its_page(owner_client) -> None:
    make.site("Tallow Cove")
    find = make.find("A flask", story="Up from Tallow Cove.", standing=Specimen.Standing.FREE)
    assert "Held back from visitors:" in owner_client.get(find.get_absolute_url()).content.decode()


@pytest.mark.parametrize(
    ("show_as", "words"),
    [("exact", "It lay in Tallow Cove."), ("hidden", "It lay in a tallow-maker's cove."), ("hidden", "")],
)
def test_sharing_asks_nothing_where_no_hidden_name_is_told(owner_client, show_as: str, words: str) -> None:
    make.site("Tallow Cove", show_as=show_as)
    find = make.find("A flask", story=words, notes="Tallow Cove", where_on_site="Tallow Cove")
    page = owner_client.post(f"{find.get_absolute_url()}share/", {"shared": "yes"}, follow=True)
    assert "sites-told" not in page.content.decode()
    find.refresh_from_db()
    assert find.shared


@pytest.mark.parametrize(("opened", "status"), [(False, 302), (True, 422)])
def test_a_private_pictures_caption_counts_once_it_is_opened(owner_client, opened: bool, status: int) -> None:
    make.site("Tallow Cove")
    find = telling("caption", "Tallow Cove at low water")
    Photo.objects.filter(find=find).update(role=Photo.Role.REFERENCE, opened=opened)
    answer = owner_client.post(f"{find.get_absolute_url()}share/", {"shared": "yes"})
    assert answer.status_code == status
