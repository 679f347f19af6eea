"""The buttons and forms of giving."""

import pytest

from catalogue.giving import services
from catalogue.giving.models import HandOver, Promise
from catalogue.people.models import Person
from catalogue.sites.models import Site
from catalogue.specimens.models import Specimen
from tests import factories as make

pytestmark = pytest.mark.django_db

BUTTONS = ("standing", "withdraw", "came-back")
FORMS = ("promise", "hand-over")
TO_BRAM = {"person": "Bram Tolley", "on": "2025-09-12", "told": "on", "note": "as typed"}


@pytest.fixture
def find() -> Specimen:
    return make.find("Squat soda <b>x</b>", dive=make.dive())


def post(client, find: Specimen, act: str, **data: str):
    return client.post(f"/giving/{find.number}/{act}/", data)


def standing(find: Specimen) -> str:
    return Specimen.objects.get(pk=find.pk).standing


@pytest.mark.parametrize("act", BUTTONS)
def test_a_button_takes_a_form_alone(owner_client, find: Specimen, act: str) -> None:
    assert owner_client.get(f"/giving/{find.number}/{act}/").status_code == 405


@pytest.mark.parametrize("act", FORMS)
def test_a_form_is_shown_with_its_cautions(owner_client, find: Specimen, act: str) -> None:
    html = owner_client.get(f"/giving/{find.number}/{act}/").content.decode()
    assert "Clean does not mean fit to drink from" in html
    assert "<b>x</b>" not in html
    assert html.count("<h1") == 1
    assert owner_client.put(f"/giving/{find.number}/{act}/").status_code == 405


@pytest.mark.parametrize("act", BUTTONS + FORMS)
def test_no_such_find_and_visitor(owner_client, client, find: Specimen, act: str) -> None:
    services.mark(find, "free")
    assert owner_client.post(f"/giving/2025.9.9/{act}/").status_code == 404
    answer = post(client, find, act, standing="kept", **TO_BRAM)
    assert answer["Location"].startswith("/enter/")
    assert standing(find) == "free"


def test_one_tap_makes_it_free(owner_client, find: Specimen) -> None:
    post(owner_client, find, "standing", standing="free")
    assert standing(find) == "free"


@pytest.mark.parametrize("word", ["", "sold", "promised", "x" * 5000])
def test_a_word_that_is_no_standing(owner_client, find: Specimen, word: str) -> None:
    answer = owner_client.post(f"/giving/{find.number}/standing/", {"standing": word}, follow=True)
    assert "no standing" in answer.content.decode()
    assert standing(find) == "kept"


def test_on_hold_the_tap_says_why_not(owner_client, find: Specimen) -> None:
    Site.objects.update(wreck="yes")
    answer = owner_client.post(f"/giving/{find.number}/standing/", {"standing": "free"}, follow=True)
    assert "giving away waits until a person has cleared" in answer.content.decode()
    assert standing(find) == "kept"


def test_letters_that_the_slip_can_not_set_are_told_before_it_is_handed_over(owner_client, find) -> None:
    page = f"/giving/{find.number}/hand-over/"
    assert "would print as boxes" not in owner_client.get(page).content.decode()
    find.what = "Flask \U0001f37e"
    find.save()
    told = owner_client.get(page).content.decode()
    assert "No font here has these letters, which would print as boxes: \U0001f37e." in told


def test_promised_then_handed_over_then_back(owner_client, find: Specimen) -> None:
    assert post(owner_client, find, "promise", **TO_BRAM).status_code == 302
    assert Promise.objects.get().person.name == "Bram Tolley"
    html = owner_client.get(f"/giving/{find.number}/hand-over/").content.decode()
    assert 'value="Bram Tolley"' in html
    assert post(owner_client, find, "hand-over", **TO_BRAM).status_code == 302
    assert standing(find) == "handed-over"
    assert HandOver.objects.get().note == "as typed"
    assert Person.objects.count() == 1
    assert "Open its slip" in owner_client.get(find.get_absolute_url()).content.decode()
    post(owner_client, find, "came-back")
    assert standing(find) == "kept"


def test_withdrawn_and_free_again(owner_client, find: Specimen) -> None:
    post(owner_client, find, "promise", **TO_BRAM)
    post(owner_client, find, "withdraw", then="free")
    assert standing(find) == "free"
    answer = owner_client.post(f"/giving/{find.number}/withdraw/", follow=True)
    assert "It is not promised to anybody." in answer.content.decode()


@pytest.mark.parametrize("act", FORMS)
@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"person": ""}, "This field is required."),
        ({"person": "   "}, "This field is required."),
        ({"person": "x" * 201}, "200 go in"),
        ({"on": "3000-01-01"}, "This day is in the future."),
        ({"on": "soon"}, "Enter a valid date."),
        ({"note": "as typed" + "x" * 10_000}, "10,000 go in"),
    ],
)
def test_a_form_that_can_not_be_taken(owner_client, find: Specimen, act: str, change: dict, why: str) -> None:
    answer = post(owner_client, find, act, **{**TO_BRAM, **change})
    assert answer.status_code == 422
    html = answer.content.decode()
    assert why in html
    assert "as typed" in html
    assert standing(find) == "kept"
    assert not Person.objects.exists()


def test_a_promise_until_a_day_before(owner_client, find: Specimen) -> None:
    assert post(owner_client, find, "promise", until="2025-09-11", **TO_BRAM).status_code == 422
    assert post(owner_client, find, "promise", until="2999-01-01", **TO_BRAM).status_code == 422
    assert not Promise.objects.exists()


def test_the_cautions_have_to_be_given_along(owner_client, find: Specimen) -> None:
    answer = post(owner_client, find, "hand-over", **{**TO_BRAM, "told": ""})
    assert answer.status_code == 422
    assert "Give the cautions along" in answer.content.decode()
    assert not HandOver.objects.exists()


@pytest.mark.parametrize("act", FORMS)
def test_a_hold_is_told_on_the_form_and_adds_nobody(owner_client, find: Specimen, act: str) -> None:
    Site.objects.update(military="yes")
    answer = post(owner_client, find, act, **TO_BRAM)
    assert answer.status_code == 422
    assert "giving away waits" in answer.content.decode()
    assert not Person.objects.exists()
    assert standing(find) == "kept"


def test_a_day_that_can_not_be_is_no_day_to_come_back(owner_client, find: Specimen) -> None:
    post(owner_client, find, "hand-over", **TO_BRAM)
    for on in ("3000-01-01", "soon", "2025-01-01"):
        post(owner_client, find, "came-back", on=on)
        assert standing(find) == "handed-over"
