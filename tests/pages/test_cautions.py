"""Cautions stand where the hand is: before the dive, before acid is chosen or measured, while it runs."""

import pytest

from catalogue.care.safety import STANDING_CAUTIONS
from catalogue.care.services import start_load
from catalogue.common.models import HouseSettings
from tests import factories as make
from tests.care.makers import bath, crusted, tub

pytestmark = pytest.mark.django_db


def page(client, address: str) -> str:
    answer = client.get(address)
    assert answer.status_code == 200
    return answer.content.decode().replace("&#x27;", "'")


@pytest.mark.parametrize(
    ("address", "keys"),
    [
        ("/dives/new/", ("dive", "report")),
        ("/dives/sites/new/", ("report",)),
        ("/labels/tags/", ("dive", "report")),
        ("/finds/new/", ("report",)),
        ("/workbench/baths/new/", ("conservators", "mixing")),
    ],
)
def test_a_page_says_it_before_its_form(owner_client, address: str, keys: tuple[str, ...]) -> None:
    tub()
    text = page(owner_client, address)
    form = text.index("<form", text.index("<h1"))
    for key in keys:
        assert text.index(STANDING_CAUTIONS[key]) < form


def test_gloves_and_goggles_come_before_the_quantities_and_stay_while_it_runs(owner_client) -> None:
    planned = bath(crusted())
    here = f"/workbench/baths/{planned.pk}/"
    text = page(owner_client, here)
    assert text.index(STANDING_CAUTIONS["wear"]) < text.index("cold water</span>")
    assert STANDING_CAUTIONS["mixing"] in text
    start_load(planned)
    running = page(owner_client, here)
    assert running.index(STANDING_CAUTIONS["wear"]) < running.index("I looked.")
    assert STANDING_CAUTIONS["mixing"] in running


def test_whoever_gives_a_piece_away_is_told_of_children_and_poison(owner_client) -> None:
    text = page(owner_client, f"/giving/{make.find().number}/hand-over/")
    for word in ("children", "poison bottles keep traces", "cadmium", "Not for food or drink"):
        assert word in text


def test_emergency_numbers_are_the_owners_to_fill_in(owner_client) -> None:
    planned = bath(crusted())
    pages = ("/workbench/first-aid/", f"/workbench/baths/{planned.pk}/")
    for address in pages:
        assert "Fill in your poison line" in page(owner_client, address)
    house = HouseSettings.current()
    house.emergency_lines = "Poison line 555 0100, ambulance 555 0199"
    house.save()
    for address in pages:
        text = page(owner_client, address)
        assert house.emergency_lines in text and "Fill in your poison line" not in text
