"""Whatever first shows visitors a find whose words tell a hidden site asks before it does so."""

import re

import pytest

from catalogue.giving.models import Promise
from catalogue.specimens.models import Specimen, ToldSite
from tests import factories as make
from tests.posted import forms_in

LOST = {"standing": "lost", "on": "2025-09-12", "reason": "Not on its shelf"}
pytestmark = pytest.mark.django_db
UNDO = re.compile(r'action="([^"]+)">(?:(?!</form>).)*>Undo</button>', re.DOTALL)
TO_BRAM = {"person": "Bram Tolley", "on": "2025-09-12"}


@pytest.fixture
def find() -> Specimen:
    make.site("Tallow Cove")
    return make.find("A flask", story="Up from Tallow Cove.")


def undo_of(answer) -> str:
    found = UNDO.search(answer.content.decode())
    assert found
    return found[1]


def asked(answer, standing: str) -> tuple[str, dict]:
    """The answer asks and has done nothing; address and values of its form."""
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "tells of Tallow Cove" in page and "Nothing is changed yet." in page
    assert Specimen.objects.get().standing == standing
    said, values = next(form for form in forms_in(page) if form[0].get("class") == "acts")
    return said["action"], values | {"all-the-same": "yes"}


def test_free_to_take_asks_first(owner_client, find) -> None:
    address = f"/giving/{find.number}/standing/"
    sent = {"standing": "free", "next": f"{find.get_absolute_url()}#now"}
    again = asked(owner_client.post(address, sent), "kept")
    answer = owner_client.post(*again)
    assert answer.url == f"{find.get_absolute_url()}#now"
    assert Specimen.objects.get().standing == "free"


def test_other_standings_ask_nothing(owner_client, find) -> None:
    owner_client.post(f"/giving/{find.number}/gone/", LOST)
    assert Specimen.objects.get().standing == "lost"


def test_one_that_is_shared_already_is_not_asked_about_again(owner_client, find) -> None:
    Specimen.objects.update(shared=True)
    owner_client.post(f"/giving/{find.number}/standing/", {"standing": "free"})
    assert Specimen.objects.get().standing == "free"


def test_a_promise_withdrawn_to_free_asks_first(owner_client, find) -> None:
    owner_client.post(f"/giving/{find.number}/promise/", TO_BRAM)
    again = asked(owner_client.post(f"/giving/{find.number}/withdraw/", {"then": "free"}), "promised")
    assert Promise.objects.get().ended == ""
    owner_client.post(*again)
    assert Specimen.objects.get().standing == "free" and Promise.objects.get().ended == "withdrawn"


def test_undo_that_makes_it_free_again_asks_first(owner_client, find) -> None:
    Specimen.objects.update(standing="free")
    find.refresh_from_db()
    find.save()
    for act, sent, standing in (
        ("gone", LOST, "lost"),
        ("promise", TO_BRAM, "promised"),
    ):
        undo = undo_of(owner_client.post(f"/giving/{find.number}/{act}/", sent, follow=True))
        # What its owner let its words tell before is not asked again.
        ToldSite.objects.all().delete()
        again = asked(owner_client.post(undo), standing)
        owner_client.post(*again)
        assert Specimen.objects.get().standing == "free"
    undo = undo_of(owner_client.post(f"/giving/{find.number}/gone/", LOST, follow=True))
    owner_client.post(undo)
    assert Specimen.objects.get().standing == "free"


def test_words_that_tell_nothing_hidden_ask_nothing(owner_client) -> None:
    make.site("Tallow Cove", show_as="exact")
    find = make.find("A flask", story="Up from Tallow Cove.")
    owner_client.post(f"/giving/{find.number}/standing/", {"standing": "free"})
    assert Specimen.objects.get().standing == "free"
