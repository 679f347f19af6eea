"""Years in an address: four figures, or a sentence; however long the number is."""

import pytest

LONG = "0019009" + "9" * 5000
NO_YEARS = (LONG, "0" * 5000 + "1950", "19500", "950", "١٩٥٠", "1e3", "-1950", "9" * 20)
ADDRESSES = ("/date/?recovered=", "/finds/new/?recovered=", "/makers/read/?text=BW&from=")


@pytest.mark.django_db
@pytest.mark.parametrize(
    "typed", [LONG, "0" * 5000 + "1950", "19500", "950", "١٩٥٠", "1e3", "-1950", "9" * 20]
)
@pytest.mark.parametrize(
    "address", ["/date/?recovered=", "/finds/new/?recovered=", "/makers/read/?text=BW&from="]
)
def test_what_is_no_year_is_said_and_no_error(owner_client, address, typed):
    answer = owner_client.get(address + typed)
    assert answer.status_code in (200, 422)
    if not address.startswith("/finds/new"):
        assert "give a year from 1600 to" in answer.content.decode().lower()


@pytest.mark.django_db
@pytest.mark.parametrize("address", ["/date/?recovered=", "/makers/read/?text=BW&from="])
def test_a_year_is_taken(owner_client, address):
    assert "give a year" not in owner_client.get(address + "1950").content.decode().lower()
