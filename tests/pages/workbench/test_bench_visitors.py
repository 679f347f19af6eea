"""What a visitor sees of the bench: nothing, also on the cards and pages of what is shared."""

import re

import pytest

from catalogue.specimens.models import Specimen
from catalogue.specimens.services import set_standing
from tests import factories as make

pytestmark = pytest.mark.django_db

WORKING = [stage for stage in Specimen.Stage if stage != "done"]


def words_of(answer) -> str:
    """The page's visible words, without tags, addresses and the house's own menu."""
    main = answer.content.decode().split("<main", 1)[1].split("</main>", 1)[0]
    return re.sub(r"<[^>]*>", " ", main)


@pytest.mark.parametrize("standing", ["free", "kept"])
@pytest.mark.parametrize("stage", WORKING)
def test_no_working_stage_on_a_shared_card_or_page(client, stage: str, standing: str) -> None:
    find = make.find("Plain flask", stage=stage, shared=True)
    set_standing(find, standing)
    label = str(Specimen.Stage(stage).label)
    for address in ("/giving/", find.get_absolute_url()):
        answer = client.get(address)
        assert answer.status_code == 200 and "Plain flask" in words_of(answer)
        assert not re.search(rf"\b{label}\b", words_of(answer))


@pytest.mark.parametrize("stage", WORKING)
def test_the_owner_sees_the_stage_on_the_same_card(owner_client, stage: str) -> None:
    make.find("Plain flask", stage=stage, shared=True)
    assert str(Specimen.Stage(stage).label) in words_of(owner_client.get("/finds/"))


def test_a_report_a_treatment_and_a_bath_are_the_owners_alone(client) -> None:
    from catalogue.care.services import start_load, take_out_of_bath
    from tests.care.makers import bath, crusted

    find = crusted("Shared soda", shared=True)
    take_out_of_bath(start_load(bath(find)).members.get(), "some", note="lip rough")
    page = words_of(client.get(find.get_absolute_url()))
    assert "lip rough" not in page and "acid" not in page.lower()
