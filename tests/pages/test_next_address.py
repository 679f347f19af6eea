"""`next` in a form leads back to a page of ours, whatever stands in it."""

import pytest

from tests import factories
from tests.photos.drawn import jpeg

NOT_OURS = (
    "-Infinity",
    "{{7*7}}",
    "9999.1.1",
    "finds:finds",
    "//evil.example",
    "https://evil.example",
    "\\\\x",
    "",
)


@pytest.mark.django_db
@pytest.mark.usefixtures("data_folder")
@pytest.mark.parametrize("wanted", NOT_OURS)
def test_what_is_no_address_of_ours_leads_to_the_usual_page(owner_client, client, wanted):
    find = factories.find()
    answer = owner_client.post(f"/photos/add/?find={find.pk}", {"pictures": jpeg(), "next": wanted})
    assert answer["Location"] == f"{find.get_absolute_url()}#pictures"
    answer = owner_client.post(f"/bin/find/{find.pk}/", {"next": wanted})
    assert answer["Location"] == "/bin/"
    assert owner_client.get("/enter/", {"next": wanted})["Location"] == "/"


@pytest.mark.django_db
def test_a_page_of_ours_is_gone_back_to(owner_client):
    find = factories.find()
    answer = owner_client.post(f"/bin/find/{find.pk}/", {"next": "/finds/?q=ink"})
    assert answer["Location"] == "/finds/?q=ink"
