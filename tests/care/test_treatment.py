"""Writing down what was done to a find."""

import datetime

import pytest
from django.utils import timezone

from catalogue.care.care_tables import treatment_kinds
from catalogue.care.models import Treatment
from catalogue.care.piece_facts import CAUTIONS, HELD_METHODS, caution_for
from catalogue.care.services import ReasonNeeded, log_treatment
from catalogue.people.models import Person
from catalogue.sites.models import Site
from catalogue.specimens.models import Specimen
from tests import factories as make

pytestmark = pytest.mark.django_db


@pytest.fixture
def find() -> Specimen:
    return make.find("Squat soda", dive=make.dive())


def treat(client, find: Specimen, **change: str):
    data = {"method": "soak", "begun": "2025-09-01T10:00", "agents": "as typed"} | change
    return client.post(f"/workbench/{find.number}/treatment/", data)


def test_a_treatment_with_everything(owner_client, find: Specimen) -> None:
    answer = treat(
        owner_client,
        find,
        ended="2025-09-01T13:10",
        strength="15 : 85",
        tools="sponge, toothbrush",
        passes="2",
        result="better",
        by_name="Orla Finch",
        stage="drying",
        method="acid-bath",
    )
    assert answer["Location"] == f"{find.get_absolute_url()}#history"
    done = Treatment.objects.get(find=find)
    assert done.ended is not None
    assert done.ended - done.begun == datetime.timedelta(hours=3, minutes=10)
    assert (done.strength, done.tools, done.passes, str(done.by)) == (
        "15 : 85",
        "sponge, toothbrush",
        2,
        "Orla Finch",
    )
    assert Specimen.objects.get(pk=find.pk).stage == "drying"


def test_the_least_that_makes_one(owner_client, find: Specimen) -> None:
    assert treat(owner_client, find).status_code == 302
    assert Specimen.objects.get(pk=find.pk).stage == "wet"


@pytest.mark.parametrize("method", sorted(treatment_kinds().keys() - HELD_METHODS))
def test_whatever_was_done_can_be_written_down(owner_client, find: Specimen, method: str) -> None:
    Site.objects.update(military="yes")
    assert treat(owner_client, find, method=method).status_code == 302
    assert Treatment.objects.get().method == method


@pytest.mark.parametrize("method", sorted(HELD_METHODS))
def test_on_hold_acid_and_tumbling_need_a_reason(owner_client, find: Specimen, method: str) -> None:
    Site.objects.update(wreck="yes")
    answer = treat(owner_client, find, method=method, override_reason="  ")
    assert answer.status_code == 422
    assert "write down why it was done" in answer.content.decode()
    assert not Treatment.objects.exists()
    assert treat(owner_client, find, method=method, override_reason="Done before we knew").status_code == 302
    assert Treatment.objects.get().override_reason == "Done before we knew"


def test_a_cleared_hold_asks_no_more(owner_client, find: Specimen) -> None:
    Site.objects.update(wreck="yes", hold_cleared_reason="The harbour office looked")
    assert treat(owner_client, find, method="acid-bath").status_code == 302


def test_the_service_holds_too(find: Specimen) -> None:
    Site.objects.update(wreck="yes")
    find = Specimen.objects.get(pk=find.pk)
    with pytest.raises(ReasonNeeded):
        log_treatment(Treatment(find=find, method="tumble", begun=timezone.now()))
    assert not Treatment.objects.exists()


def test_a_wrong_stage_saves_nothing(find: Specimen) -> None:
    with pytest.raises(ValueError, match="polished"):
        log_treatment(Treatment(find=find, method="soak", begun=timezone.now()), stage="polished")
    assert not Treatment.objects.exists()


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"method": ""}, "This field is required."),
        ({"method": "boil"}, "none of the choices"),
        ({"begun": ""}, "This field is required."),
        ({"begun": "3000-01-01T10:00"}, "Give a time that has been"),
        ({"begun": "0800-01-01T10:00"}, "Give a time that has been"),
        ({"begun": "soon"}, "Enter a valid date/time."),
        ({"ended": "2025-08-01T10:00"}, "It can't end before it began."),
        ({"passes": "-1"}, "0 is the least"),
        ({"passes": "501"}, "This can't be more than 500."),
        ({"passes": "NaN"}, "Enter a whole number."),
        ({"strength": "x" * 101}, "100 go in"),
        ({"tools": "x" * 201}, "200 go in"),
        ({"note": "x" * 10_001}, "10,000 go in"),
        ({"stage": "polished"}, "none of the choices"),
    ],
)
def test_a_treatment_that_can_not_be_taken(owner_client, find: Specimen, change: dict, why: str) -> None:
    answer = treat(owner_client, find, by_name="Orla Finch", **change)
    assert answer.status_code == 422
    html = answer.content.decode().replace("&#x27;", "'")
    assert why in html
    assert "as typed" in html
    assert not Treatment.objects.exists()
    assert not Person.objects.exists()
    assert Specimen.objects.get(pk=find.pk).stage == "wet"


def test_cautions_stand_beside_the_form(owner_client, find: Specimen) -> None:
    html = owner_client.get(f"/workbench/{find.number}/treatment/").content.decode()
    assert "Follow the label and the safety data sheet" in html
    for method in CAUTIONS:
        assert f'data-method="{method}"' in html
    assert html.count("<h1") == 1


def test_each_caution_has_a_source_and_two_are_not_for_again() -> None:
    assert all(kind.caution and kind.rests_on for kind in CAUTIONS.values())
    assert {method for method, kind in CAUTIONS.items() if not kind.again} == {"bleach", "tumble"}
    assert caution_for("nonsense") is None


def test_wrong_method_no_such_find_and_visitor(owner_client, client, find: Specimen) -> None:
    assert owner_client.put(f"/workbench/{find.number}/treatment/").status_code == 405
    assert owner_client.get("/workbench/2025.9.9/treatment/").status_code == 404
    assert treat(client, find)["Location"].startswith("/enter/")
    assert not Treatment.objects.exists()


def test_the_form_takes_six_queries(owner_client, find: Specimen, django_assert_num_queries) -> None:
    """Session, user, find; looks, reports, lettering."""
    with django_assert_num_queries(6):
        owner_client.get(f"/workbench/{find.number}/treatment/")
