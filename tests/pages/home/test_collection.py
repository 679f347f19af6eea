"""The collection on the first page: cut out or drawn, in the order of years, folded where it is large."""

import datetime
import re

import pytest

from catalogue.pages.home.collection import MOST_SHOWN, collection
from catalogue.photos.models import Photo
from catalogue.photos.services import take_in
from catalogue.specimens.models import Specimen
from tests import factories
from tests.photos.drawn import jpeg

pytestmark = pytest.mark.django_db


def dated(what: str, first: int | None, last: int | None, **given) -> Specimen:
    """A find with stored years, as the dating service would have left it."""
    find = factories.find(what, **given)
    spread = "" if first is None else f"{first}-{last}"
    Specimen.objects.filter(pk=find.pk).update(
        made_from=first,
        made_to=last,
        made_spread=spread,
        made_words=f"about {first} to {last}" if first else "",
    )
    return find


def shown() -> list[tuple[str, list[str], int]]:
    """Captions, what stands under each, and how many more there are."""
    return [
        (each.group.caption, [piece.find.what for piece in each.standing], each.group.more)
        for each in collection().captioned
    ]


def plate_of(client) -> str:
    page = client.get("/").content.decode()
    return page.split('id="collection"')[1].split("</ul>")[0]


def test_it_stands_in_the_order_of_years_the_undated_at_the_end(owner_client):
    dated("Jar", 1921, 1921)
    dated("Lump", None, None)
    dated("Ink", 1890, 1922)
    dated("Flask", 1925, 1925)
    assert shown() == [("1900s", ["Ink"], 0), ("1920s", ["Jar", "Flask"], 0), ("not yet dated", ["Lump"], 0)]
    page = owner_client.get("/").content.decode()
    assert "4 pieces, 3 of them dated" in page
    plate = plate_of(owner_client)
    assert re.findall("<h2>(.*?)</h2>", plate) == ["1900s", "1920s", "not yet dated"]
    assert "10 cm" in plate and plate.count('class="elevation"') == 4


def test_one_piece_alone(owner_client):
    find = dated("Jar", 1921, 1921)
    page = owner_client.get("/").content.decode()
    assert "1 piece, all dated" in page
    named = page.split('id="named"')[1].split("</section>")[0]
    assert f'href="/finds/{find.number}/"' in named and "about 1921 to 1921" in named


@pytest.mark.usefixtures("data_folder")
def test_every_piece_is_a_link_that_says_its_name_years_and_hazard(owner_client):
    find = dated('Jar "A" <b>', 1921, 1921)
    photo = take_in(jpeg(), subject=find, role="after")
    Photo.objects.filter(pk=photo.pk).update(cut_width=100, cut_height=300)
    Specimen.objects.filter(pk=find.pk).update(care_flags="|sealed|")
    link = re.search(rf'<a href="/finds/{find.number}/".*?</a>', plate_of(owner_client), re.DOTALL)[0]
    assert f'src="/photos/{photo.pk}/cut.webp"' in link
    assert "Jar &quot;A&quot; &lt;b&gt;, about 1921 to 1921" in link
    assert "Careful" in link and "sealed" in link


def test_sixty_stand_whole_and_one_more_folds():
    for n in range(MOST_SHOWN):
        dated(f"Jar {n}", 1900 + n % 30, 1900 + n % 30)
    assert [(caption, len(pieces), more) for caption, pieces, more in shown()] == [
        ("1900s", 20, 0),
        ("1910s", 20, 0),
        ("1920s", 20, 0),
    ]
    dated("One more", 1905, 1905)
    assert sum(len(pieces) for _, pieces, _ in shown()) == MOST_SHOWN
    assert [more for _, _, more in shown()] == [0, 0, 1] or sum(more for *_, more in shown()) == 1


def test_a_decade_that_is_folded_leads_to_its_list(owner_client, django_assert_num_queries):
    for n in range(70):
        dated(f"Jar {n}", 1900, 1909)
    dated("Flask", 1925, 1925)
    dated("Binned", 1925, 1925).put_in_bin()
    with django_assert_num_queries(5):
        assert [(caption, len(pieces), more) for caption, pieces, more in shown()] == [
            ("1900s", 59, 11),
            ("1920s", 1, 0),
        ]
    # of those dated alike the ones written last
    assert shown()[0][1][-1] == "Jar 69"
    plate = plate_of(owner_client)
    assert re.search(r'href="/finds/\?decade=1900"><span class="stand">and 11 more', plate)
    assert "71 of them dated" not in plate


def test_of_those_dated_alike_the_ones_that_contradict_themselves_stand_apart():
    for n in range(40):
        dated(f"Jar {n}", 1900, 1909)
        find = dated(f"Odd {n}", 1900, 1909)
        Specimen.objects.filter(pk=find.pk).update(made_from=None, made_to=None)
    found = shown()
    assert [(caption, len(pieces), more) for caption, pieces, more in found] == [
        ("1900s", 30, 10),
        ("years disagree", 30, 10),
    ]
    assert all(what.startswith("Jar") for what in found[0][1])
    assert all(what.startswith("Odd") for what in found[1][1])


def test_the_piece_that_is_named_stays_all_day_and_changes_tomorrow():
    for n in range(3):
        dated(f"Jar {n}", 1900, 1909)
    pieces, day = collection(), datetime.date(2026, 5, 1)
    named = [pieces.named_on(day + datetime.timedelta(days=n)).find.pk for n in (0, 0, 1, 2, 3)]
    assert named[0] == named[1] == named[4] and len(set(named)) == 3


def test_what_left_is_still_in_the_collection_and_no_longer_waits(owner_client):
    dated("Gone", None, None, standing="handed-over")
    dated("Here", None, None)
    found = collection()
    assert (found.pieces, found.dated, found.waiting) == (2, 0, 1)
    assert "2 pieces, none dated yet" in owner_client.get("/").content.decode()
