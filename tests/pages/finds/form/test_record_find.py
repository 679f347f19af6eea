"""Recording a find: the least and the most."""

import gzip

import pytest
from django.utils import timezone

from catalogue.sites.models import Dive, Site
from catalogue.specimens.models import Specimen, Town

from .record_form import filled, reading

pytestmark = pytest.mark.django_db


def test_page_shows_empty_form(owner_client):
    page = owner_client.get("/finds/new/")
    assert page.status_code == 200
    assert b"Record a find" in page.content
    assert b"not yet dated" in page.content


def test_page_is_light(owner_client):
    """As it goes over the wire; its scripts and styles are counted by `tests.browser.measure`."""
    assert len(gzip.compress(owner_client.get("/finds/new/").content)) < 11_600


def test_what_it_is_is_enough(owner_client):
    answer = owner_client.post("/finds/new/", {"what": "unmarked beer bottle"})
    find = Specimen.objects.get()
    assert answer.status_code == 302
    assert answer["Location"] == f"/finds/{find.number}/"
    assert find.number == f"{timezone.localdate().year}.0.1"
    assert find.what == "unmarked beer bottle"


def test_everything_is_kept(owner_client):
    today = timezone.localdate()
    data = filled(
        kind="soda",
        contents="soda",
        colour="aqua",
        town="Marrowby",
        bottler="Quill & Sons",
        product="Old Ferry ginger beer",
        height_mm="241",
        base_mm="62.5",
        lie="upright",
        where_on_site="under the stairs",
        notes="two bubbles in the neck",
        new_place="Hall case",
        pick="new",
        new_site="Tallow Cove",
        date=today.isoformat(),
        dive_depth_m="11",
        buddies="Ada Fenn, Bo Larkin",
        readings=[reading(letters="LG", right="69", left_none="on", frame="circle")],
        lettering=[
            {"text": "QUILL & SONS / MARROWBY", "where": "body", "how": "embossed", "says": "bottler"}
        ],
        known=[{"what": "bottler listed", "from_year": "1960", "to_year": "1975", "certainty": "certain"}],
        **{
            "made-lip-shape": "crown-finish",
            "sure-lip-shape": "probable",
            "made-inscription": ["not-to-be-sold"],
        },
    )
    answer = owner_client.post("/finds/new/", data)
    assert answer.status_code == 302, answer.context["problems"]
    find = Specimen.objects.get()
    dive = Dive.objects.get()
    assert (dive.site.name, dive.date, dive.depth_m) == ("Tallow Cove", today, 11)
    assert {p.name for p in dive.buddies.all()} == {"Ada Fenn", "Bo Larkin"}
    assert find.number == f"{today.year}.{dive.ordinal}.1"
    assert (str(find.town), str(find.bottler), str(find.product)) == (
        "Marrowby",
        "Quill & Sons",
        "Old Ferry ginger beer",
    )
    assert find.height_mm == 241
    assert find.place.path == "Hall case"
    mark = find.readings.get()
    assert (mark.letters, mark.left, mark.right, mark.above, mark.frame) == ("LG", "", "69", None, "circle")
    assert (mark.symbol, mark.arrangement) == (None, None)
    assert find.inscriptions.get().text == "QUILL & SONS / MARROWBY"
    assert find.known_years.get().to_year == 1975
    assert {(f.feature, f.certainty) for f in find.features.all()} == {
        ("crown-finish", "probable"),
        ("not-to-be-sold", "certain"),
    }
    assert find.made_words


def test_known_site_and_town_are_taken_not_doubled(owner_client):
    Site.objects.create(name="Tallow Cove", slug="tallow-cove")
    Town.objects.create(name="Marrowby", slug="marrowby")
    data = filled(town="marrowby", pick="new", new_site="tallow cove", date=timezone.localdate().isoformat())
    assert owner_client.post("/finds/new/", data).status_code == 302
    assert (Site.objects.count(), Town.objects.count()) == (1, 1)


def test_form_sent_twice_is_kept_once(owner_client):
    data = filled(once="abc")
    owner_client.post("/finds/new/", data)
    again = owner_client.post("/finds/new/", data)
    assert Specimen.objects.count() == 1
    assert again["Location"] == f"/finds/{Specimen.objects.get().number}/"


def test_visitor_may_not(client):
    for address in ("/finds/new/", "/finds/dating/"):
        assert client.get(address).status_code == 302
        assert client.post(address, {"what": "x"}).status_code == 302
    assert not Specimen.everything.exists()
