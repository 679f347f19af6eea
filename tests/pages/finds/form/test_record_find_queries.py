"""How many questions the form asks the database: none of them grows with what the catalogue holds."""

import pytest
from django.utils import timezone

from catalogue.sites.models import Dive, Site
from catalogue.sites.services import log_dive
from catalogue.specimens.models import (
    Inscription,
    KnownYears,
    MarkReading,
    ObservedFeature,
    Specimen,
)
from catalogue.specimens.services import Parts, keep_find
from tests import factories

from .record_form import filled, reading

pytestmark = pytest.mark.django_db


@pytest.fixture
def shelf():
    """Several dives and finds, so that a query in a loop would show."""
    site = Site.objects.create(name="Heron Ledge", slug="heron-ledge")
    dives = [log_dive(Dive(site=site, date=timezone.localdate())) for _ in range(7)]
    for dive in dives:
        parts = Parts(
            readings=[MarkReading(letters="LG"), MarkReading(letters="AB")],
            features=[ObservedFeature(feature="crown-finish"), ObservedFeature(feature="acl")],
            inscriptions=[Inscription(text="A"), Inscription(text="B")],
            known=[KnownYears(what="law", from_year=1900)],
        )
        keep_find(Specimen(what=f"bottle of {dive}", dive=dive), parts)
    return dives


# Every page: session and owner (2).
# New: the units set, dives, sites, places (4), where there is a dive the find before (1), stamps of own
# marks, codes, bottlers and makers (4), own symbols (1), and to fill the boxes' lists what, town, bottler,
# product (4).
NEW_PAGE = 16


def test_new_page(owner_client, shelf, django_assert_num_queries):
    owner_client.get("/finds/new/")
    with django_assert_num_queries(NEW_PAGE):
        owner_client.get("/finds/new/")


def test_new_page_of_an_empty_catalogue(owner_client, django_assert_num_queries):
    owner_client.get("/finds/new/")
    with django_assert_num_queries(NEW_PAGE - 1):
        owner_client.get("/finds/new/")


# As a new page but for the find before, and the find (1), its readings, lettering, known years, features
# and opinions (5), the stamp of its history (1), whether it was treated (1), the axis of its
# years (1).
EDIT_PAGE = NEW_PAGE + 8


def test_edit_page(owner_client, shelf, django_assert_num_queries):
    find = Specimen.objects.first()
    owner_client.get(f"/finds/{find.number}/edit/")
    with django_assert_num_queries(EDIT_PAGE):
        owner_client.get(f"/finds/{find.number}/edit/")
    # The next like it shares nothing that was read: as a new page, the find instead of the one before.
    with django_assert_num_queries(NEW_PAGE):
        owner_client.get(f"/finds/new/?like={find.number}")


# Session and owner (2), the units set, dives, sites, places (4), own symbols (1), stamps of the tables (4),
# the dive with its site (1), the bottler (1), the axis (1).
LIVE = 14


def test_live_answer(owner_client, shelf, django_assert_num_queries):
    data = filled(
        bottler="Quill & Sons",
        pick=str(shelf[-1].pk),
        readings=[reading(letters="LG", right="6"), reading(letters="AB"), reading(letters="CD")],
        **{"made-lip-shape": "crown-finish", "made-label": ["acl"]},
    )
    owner_client.post("/finds/dating/", data)
    with django_assert_num_queries(LIVE):
        owner_client.post("/finds/dating/", data)


def test_suggestions(owner_client, shelf, django_assert_num_queries):
    # session and owner (2), the names (1)
    for kind in ("what", "town", "bottler", "product"):
        with django_assert_num_queries(3):
            owner_client.get(f"/finds/suggest/{kind}/", {kind: "b"})


def test_suggested_towns_are_told_with_their_distance_from_the_dive(owner_client):
    dive = factories.dive(factories.site(latitude=43.6, longitude=-70.2))

    def suggested(**said) -> str:
        return owner_client.get("/finds/suggest/town/", said).content.decode()

    page = suggested(town="PORTLAND ME", pick=dive.pk)
    assert 'value="Portland, ME, US"' in page and "for PORTLAND ME, Cumberland County, 8 km from" in page
    for wrong in ("", "new", "9" * 30, "0", "x"):
        page = suggested(town="PORTLAND ME", pick=wrong)
        assert "Portland, ME, US" in page and "km from" not in page
    assert "St. Louis, MO, US" in suggested(name="ST. LOUIS MO")


def test_suggested_towns_come_from_the_catalogue_first(owner_client):
    from catalogue.specimens.models import Town

    Town.objects.create(name="Bostonbury", slug="bostonbury")
    text = owner_client.get("/finds/suggest/town/?town=bostonb").content.decode()
    assert '<option value="Bostonbury">' in text
    assert text.count("<option") == 1
    assert owner_client.get("/finds/suggest/town/?town=bosto").content.decode().count("<option") > 1
    assert owner_client.get("/finds/suggest/planet/?planet=x").status_code == 404
