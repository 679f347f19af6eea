"""The heading of a form that was refused names what is stored, not what was typed."""

import pytest
from django.test import Client

from tests import factories
from tests.labels.test_own_sheets import own
from tests.posted import post_form

pytestmark = pytest.mark.django_db


@pytest.fixture
def addresses() -> dict[str, str]:
    """Where a place, a site and a sheet of one name are changed."""
    place, site, sheet = factories.place("Old name"), factories.site("Old name"), own(name="Old name")
    return {
        "place": f"/shelves/{place.pk}/edit/",
        "site": f"/dives/sites/{site.slug}/edit/",
        "sheet": f"/labels/sheets/{sheet.pk}/",
    }


@pytest.mark.parametrize(("what", "field"), [("place", "kind"), ("site", "show_as"), ("sheet", "columns")])
def test_heading_keeps_the_stored_name(
    what: str, field: str, addresses: dict[str, str], owner_client: Client
) -> None:
    answer = post_form(owner_client, addresses[what], {"name": "New name", field: "nonsense"})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "<h1>Change Old name</h1>" in page and 'value="New name"' in page
