"""Writing down the state a find is in."""

import pytest
from django.db import connection
from django.utils import timezone

from catalogue.care.models import ConditionReport, Damage
from catalogue.people.models import Person
from catalogue.specimens.models import Specimen
from tests import factories as make

pytestmark = pytest.mark.django_db

ROWS = {"damage-TOTAL_FORMS": "3", "damage-INITIAL_FORMS": "0"}
CHIP = {"damage-0-kind": "chip", "damage-0-extent": "trace", "damage-0-part": "lip", "damage-0-note": "4 mm"}


@pytest.fixture
def find() -> Specimen:
    return make.find("Squat soda")


def report(client, find: Specimen, **change: str):
    data = {"on": "2025-08-26", "grade": "sound", "note": "as typed", **ROWS, **change}
    return client.post(
        f"/workbench/{find.number}/condition/", {k: v for k, v in data.items() if v is not None}
    )


def test_a_report_with_its_damages(owner_client, find: Specimen) -> None:
    growth = {"damage-2-kind": "growth", "damage-2-extent": "much"}
    answer = report(owner_client, find, **CHIP, **growth, by_name="Orla Finch")
    assert answer["Location"] == f"{find.get_absolute_url()}#history"
    saved = ConditionReport.objects.get(find=find)
    assert (str(saved.on), saved.grade, saved.note, str(saved.by)) == (
        "2025-08-26",
        "sound",
        "as typed",
        "Orla Finch",
    )
    assert [str(damage) for damage in saved.damages.all()] == [
        "chip, lip, a trace",
        "sea growth, all over, more than a third",
    ]


def test_a_report_without_damages_and_by_oneself(owner_client, find: Specimen) -> None:
    assert report(owner_client, find, grade="fragile").status_code == 302
    saved = ConditionReport.objects.get(find=find)
    assert (saved.by, saved.damages.count()) == (None, 0)


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"grade": ""}, "This field is required."),
        ({"grade": "splendid"}, "none of the choices"),
        ({"on": "3000-01-01"}, "This day is in the future."),
        ({"on": "<b>"}, "Enter a valid date."),
        ({"note": "x" * 10_001}, "10,000 go in"),
        ({"by_name": "x" * 201}, "200 go in"),
        ({"damage-0-kind": "melted"}, "none of the choices"),
        ({"damage-0-kind": "chip", "damage-0-extent": "vast"}, "none of the choices"),
        ({"damage-0-kind": "", "damage-0-note": "4 mm"}, "Say what it is, or clear the note."),
        ({"damage-0-kind": "chip", "damage-0-note": "x" * 201}, "200 go in"),
        ({**CHIP, "damage-1-kind": "chip", "damage-1-part": "lip"}, "stands there twice"),
        ({"damage-TOTAL_FORMS": "lots"}, "rows of damage could not be read"),
        ({"damage-TOTAL_FORMS": None}, "rows of damage could not be read"),
    ],
)
def test_a_report_that_can_not_be_taken(owner_client, find: Specimen, change: dict, why: str) -> None:
    answer = report(owner_client, find, **change)
    assert answer.status_code == 422
    html = answer.content.decode()
    assert why.lower() in html.lower()
    if "note" not in change:
        assert "as typed" in html
    assert not ConditionReport.objects.exists()
    assert not Damage.objects.exists()
    assert not Person.objects.exists()


def test_the_empty_form_begins_today(owner_client, find: Specimen) -> None:
    html = owner_client.get(f"/workbench/{find.number}/condition/").content.decode()
    assert f'value="{timezone.localdate():%Y-%m-%d}"' in html
    assert html.count("<h1") == 1


def test_wrong_method_no_such_find_and_visitor(owner_client, client, find: Specimen) -> None:
    address = f"/workbench/{find.number}/condition/"
    assert owner_client.put(address).status_code == 405
    assert report(client, find)["Location"].startswith("/enter/")
    assert owner_client.get("/workbench/2025.9.9/condition/").status_code == 404
    assert owner_client.post("/workbench/2025.9.9/condition/", ROWS).status_code == 404
    assert not ConditionReport.objects.exists()


def test_saving_takes_few_queries(owner_client, find: Specimen, django_assert_max_num_queries) -> None:
    """Session, user, find; the person looked for, also among those merged, and added; the report, its
    history, a damage; the marks of the transactions: 15 at most; then the find's stored gates, once for the
    whole report: whose damage it is, the find, its looks, reports, damages and lettering, the marks of a
    transaction: 8; the new person's entry in the search, with its words, by which they are found with letters
    lost, and the marks of a transaction: 10. A server is asked for this form's turn as well."""
    turn = connection.vendor == "postgresql"
    with django_assert_max_num_queries(15 + 8 + 10 + turn):
        report(owner_client, find, **CHIP, by_name="Orla Finch")
