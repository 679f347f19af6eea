"""A hazard that is seen after a piece was set free or shared holds it back from visitors."""

import pytest
from django.test import Client

from catalogue.care.services import note_look
from catalogue.giving.told import is_for_visitors
from catalogue.specimens.models import Specimen
from tests import factories as make

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("opened", "found", "held"),
    [
        ({"standing": "free"}, "sealed", True),
        ({"standing": "free"}, "munition", True),
        ({"standing": "free", "shared": True}, "sealed", True),
        ({"shared": True}, "munition", True),
        ({"shared": True}, "remains", True),
        # these want a reason or a warning, and refuse nothing
        ({"shared": True}, "sealed", False),
        ({"standing": "free"}, "crack", False),
    ],
)
def test_a_hazard_seen_later_holds_it_back(
    client: Client, opened: dict[str, object], found: str, held: bool
) -> None:
    find = make.find("Squat soda", **opened)
    assert client.get(find.get_absolute_url()).status_code == 200
    note_look(find, [found])
    find = Specimen.objects.get(pk=find.pk)
    assert is_for_visitors(find) is not held
    assert Specimen.objects.for_visitors().exists() is not held
    assert Specimen.objects.held_back().exists() is held
    assert client.get(find.get_absolute_url()).status_code == (302 if held else 200)
    assert ("Squat soda" not in client.get("/giving/").content.decode()) is held


def test_the_owner_is_told_and_sees_it_go_out_again_when_the_hazard_is_gone(owner_client: Client) -> None:
    find = make.find("Squat soda", standing="free")
    note_look(find, ["sealed"])
    told = [each.words for each in owner_client.get("/").context["to_do"] if each.urgent]
    assert any("Squat soda was free to take and is held back: sealed" in words for words in told)
    assert (
        "visitors don’t see it while that stands"
        in owner_client.get(find.get_absolute_url()).content.decode()
    )
    find.checks.get().delete()
    assert Specimen.objects.for_visitors().get() == find
    assert not [each for each in owner_client.get("/").context["to_do"] if "held back" in each.words]


@pytest.mark.parametrize(("found", "offered"), [("sealed", False), ("munition", False), ("crack", True)])
def test_what_is_refused_is_not_offered(owner_client: Client, found: str, offered: bool) -> None:
    find = make.find("Squat soda")
    note_look(find, [found])
    page = owner_client.get(find.get_absolute_url()).content.decode()
    free = page.split('name="standing" value="free"', 1)[1].split(">", 1)[0]
    assert ("disabled" not in free) is offered
    assert ("Promise it to somebody" in page) is offered
    assert ("It is not given away." in page) is not offered
    assert ("Share it with visitors" in page) is (found != "munition")


@pytest.mark.parametrize("opened", [{"standing": "free"}, {"shared": True}])
def test_a_key_that_no_table_knows_holds_it_back_too(owner_client: Client, opened: dict[str, object]) -> None:
    """The page says that visitors don't see it; the start check names it (test_unknown_hazards.py)."""
    find = make.find("Squat soda", **opened)
    note_look(find, ["crack"])
    find.checks.update(found=["glows"])
    find = Specimen.objects.get(pk=find.pk)
    assert (
        "visitors don’t see it while that stands"
        in owner_client.get(find.get_absolute_url()).content.decode()
    )
    assert not is_for_visitors(find)
    assert not Specimen.objects.for_visitors().exists()
    assert Specimen.objects.held_back().get() == find
    assert [card.find for card in owner_client.get("/finds/?hazard=any").context["cards"]] == [find]
    assert not owner_client.get("/finds/?hazard=-").context["cards"]
