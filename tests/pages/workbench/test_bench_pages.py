"""The pages of the bench: what is not there, wrong methods, and that they are the owner's alone."""

import pytest

from catalogue.care.services import start_soak
from tests.care.makers import bath, crusted, soak, tool

pytestmark = pytest.mark.django_db


def test_every_page_is_the_owners_alone(client) -> None:
    find, planned, water, brush = crusted(), bath(crusted("Other")), start_soak(soak(), []), tool()
    for address in (
        "",
        "which/",
        "first-aid/",
        "due/",
        "vessels/",
        "vessels/new/",
        f"vessels/{planned.vessel.pk}/",
        "kit/",
        "kit/new/",
        f"kit/{brush.pk}/",
        "baths/new/",
        f"baths/{planned.pk}/",
        f"baths/{planned.pk}/sheet.pdf",
        "soaks/new/",
        f"soaks/{water.pk}/",
        f"{find.number}/",
        f"{find.number}/clean/",
        f"{find.number}/growth-kept/",
        f"{find.number}/condition/parts/",
        f"{find.number}/condition/compare/",
        f"{find.number}/record/",
        f"{find.number}/record.pdf",
    ):
        assert client.get(f"/workbench/{address}")["Location"].startswith("/enter/"), address


@pytest.mark.parametrize(
    "address",
    [
        "baths/7/",
        "soaks/7/",
        "vessels/7/",
        "kit/7/",
        "2025.9.9/",
        "2025.9.9/clean/",
        "baths/7/sheet.pdf",
        "2025.9.9/record/",
        "pictures/7/small.jpg",
        f"baths/{10**30}/",
    ],
)
def test_what_is_not_there(owner_client, address: str) -> None:
    assert owner_client.get(f"/workbench/{address}").status_code == 404


def test_wrong_methods(owner_client) -> None:
    planned = bath(crusted())
    for address in ("start/", "look/", "end/", "note/"):
        assert owner_client.get(f"/workbench/baths/{planned.pk}/{address}").status_code == 405
    assert owner_client.post(f"/workbench/baths/{planned.pk}/").status_code == 405
    assert owner_client.post("/workbench/which/").status_code == 405
