"""What the owner set for the house, and sheets of labels: who changed what, Undo, an earlier state back."""

import pytest

from catalogue.common.models import HouseSettings
from catalogue.labels.models import OwnSheet
from catalogue.pages.parts.history import history_changes
from catalogue.pages.parts.history_kinds import HISTORY_KINDS
from tests.pages.history.test_history_pages import UNDO, apart
from tests.posted import forms_in, post_form

pytestmark = pytest.mark.django_db
HOUSE = "/settings/house/"


def saved(client, page: str, **typed: str) -> str:
    """The page that follows the form of `page`, filled in so and sent."""
    answer = post_form(client, page, typed)
    assert answer.status_code == 302
    return client.get(answer["Location"]).content.decode()


def test_the_first_save_is_undone_from_its_notice(owner_client):
    said = saved(owner_client, HOUSE, owner_name="Velm & Co", units="inch")
    undo = UNDO.search(said)
    assert undo and HouseSettings.current().units == "inch"
    after = owner_client.post(undo[1], follow=True).content.decode()
    assert "Undone: this catalogue’s settings are as they were before." in after
    assert (HouseSettings.current().owner_name, HouseSettings.current().units) == ("", "metric")


def test_each_change_is_told_and_an_earlier_state_comes_back(owner_client):
    for name in ("First", "Second"):
        saved(owner_client, HOUSE, owner_name=name)
        apart(HouseSettings.current())
    page = owner_client.get("/history/house/1/").content.decode()
    assert "<del>First</del>" in page and "You" in page and "Whose catalogue this is" in page
    entry = history_changes(HISTORY_KINDS["house"], 1)[1].entry
    back = f"/history/house/1/{entry}/"
    (values,) = [v for _, v in forms_in(owner_client.get(back).content.decode()) if "version" in v]
    said = owner_client.post(back, values, follow=True).content.decode()
    assert "settings are back as they were then" in said
    assert HouseSettings.current().owner_name == "First"


def test_a_save_that_is_refused_keeps_nothing(owner_client):
    assert owner_client.post(HOUSE, {"label_address": "here"}).status_code == 422
    assert not HouseSettings.objects.exists() and not HouseSettings.history.exists()
    assert owner_client.get("/history/house/1/").status_code == 404


def test_what_was_set_before_histories_were_kept_says_no_more_than_is_known():
    HouseSettings(owner_name="Velm").save()
    HouseSettings.history.update(history_type="~")
    assert history_changes(HISTORY_KINDS["house"], 1)[0].said == [
        "So it stood; what was before is not on record"
    ]


@pytest.fixture
def roll() -> OwnSheet:
    return OwnSheet.objects.create(name="Parcel roll", roll=True, label_width_mm=44, label_height_mm=22)


def test_a_sheet_of_labels_is_undone_and_goes_into_the_bin(owner_client, roll):
    apart(roll)
    page = f"/labels/sheets/{roll.pk}/"
    undo = UNDO.search(saved(owner_client, page, label_width_mm="50"))
    assert undo and OwnSheet.objects.get().label_width_mm == 50
    owner_client.post(undo[1])
    assert OwnSheet.objects.get().label_width_mm == 44
    said = owner_client.post(f"/bin/sheet/{roll.pk}/", follow=True).content.decode()
    assert "Parcel roll is in the bin." in said and not OwnSheet.objects.exists()
    assert roll.name not in owner_client.get("/labels/").content.decode()
    OwnSheet.objects.create(name="Parcel roll", roll=True, label_width_mm=9, label_height_mm=9)
    said = owner_client.post(f"/bin/sheet/{roll.pk}/back/", follow=True).content.decode()
    assert f"You have another own sheet of the name {roll.name} by now: rename that one first." in said


def test_a_name_is_given_once(owner_client, roll):
    answer = post_form(owner_client, "/labels/sheets/new/", {"name": roll.name, "label_width_mm": "9"})
    assert answer.status_code == 422 and "a sheet of that name already" in answer.content.decode()
