"""Treatments and condition reports put right: the form as for new ones, reached from the history line."""

import datetime

import pytest
from django.utils import timezone

from catalogue.care.models import ConditionReport, Damage, Treatment
from catalogue.care.services import report_condition
from tests import factories as make
from tests.posted import forms_in, opened

pytestmark = pytest.mark.django_db


def report(**given) -> ConditionReport:
    made = ConditionReport(find=make.find(), on=datetime.date(2024, 5, 1), grade="damaged", **given)
    return report_condition(
        made,
        [
            Damage(kind="chip", part="lip", extent="little"),
            Damage(kind="growth", part="whole", note="shells"),
        ],
    )


def treatment(**given) -> Treatment:
    begun = timezone.now() - datetime.timedelta(days=2)
    return Treatment.objects.create(
        find=make.find(), method="soap-brush", begun=begun, ended=begun + datetime.timedelta(hours=1), **given
    )


def page_of(record) -> str:
    word = "treatment" if isinstance(record, Treatment) else "condition"
    return f"/workbench/{record.find.number}/{word}/{record.pk}/"


@pytest.mark.parametrize("made", [report, treatment])
def test_the_history_line_leads_there(owner_client, made) -> None:
    record = made()
    assert f'href="{page_of(record)}"' in owner_client.get(record.find.get_absolute_url()).content.decode()


def test_a_treatment_is_put_right_and_keeps_what_was_not_touched(owner_client) -> None:
    done = treatment(by=make.person(), tools="a wire", note="gently")
    begun, ended = done.begun, done.ended
    find = done.find
    address, values = opened(owner_client, page_of(done), tools="a stick", method="soak")
    assert values["by_name"] == ["Ansel Quick"] and "stage" not in values
    answer = owner_client.post(address, values)
    assert answer.url == f"{find.get_absolute_url()}#history"
    done.refresh_from_db()
    assert (done.tools, done.method, done.note) == ("a stick", "soak", "gently")
    # The picker knows no seconds.
    assert (done.begun, done.ended, done.by.name) == (begun, ended, "Ansel Quick")
    assert Treatment.objects.count() == 1 and done.history.count() == 2
    assert done.history.last().tools == "a wire"


def test_who_did_it_is_put_right(owner_client) -> None:
    done = treatment()
    address, values = opened(owner_client, page_of(done), by_name="Ida Marl")
    owner_client.post(address, values)
    done.refresh_from_db()
    assert done.by.name == "Ida Marl"
    address, values = opened(owner_client, page_of(done), by_name="")
    owner_client.post(address, values)
    done.refresh_from_db()
    assert done.by is None


def test_a_treatment_on_a_site_on_hold_still_needs_its_reason(owner_client) -> None:
    site = make.site(wreck="yes")
    find = make.find(dive=make.dive(at=site))
    done = Treatment.objects.create(find=find, method="soak", begun=timezone.now())
    address, values = opened(owner_client, page_of(done), method="acid-bath")
    answer = owner_client.post(address, values)
    assert answer.status_code == 422
    done.refresh_from_db()
    assert done.method == "soak"


def test_a_report_is_put_right_with_its_damages(owner_client) -> None:
    made = report()
    address, values = opened(owner_client, page_of(made), **{"damage-0-kind": "", "damage-1-note": "tubes"})
    values |= {"damage-2-kind": "crack", "damage-2-part": "body", "damage-2-extent": "much"}
    assert owner_client.post(address, values).status_code == 302
    assert {(d.kind, d.part, d.note) for d in made.damages.all()} == {
        ("growth", "whole", "tubes"),
        ("crack", "body", ""),
    }
    # What was taken out lies in the bin, and the report's history has the correction.
    assert Damage.everything.in_bin().get().kind == "chip"
    assert made.history.count() == 2 and ConditionReport.objects.count() == 1


def test_a_damage_taken_out_here_and_changed_there_is_told(owner_client) -> None:
    made = report()
    address, first = opened(owner_client, page_of(made), **{"damage-0-note": "sharp"})
    _, second = opened(owner_client, page_of(made), **{"damage-0-kind": "", "damage-0-note": ""})
    owner_client.post(address, first)
    answer = owner_client.post(address, second)
    assert answer.status_code == 422 and "Another page changed note meanwhile." in answer.content.decode()
    assert made.damages.count() == 2


def test_a_damage_added_in_both_windows_is_told(owner_client) -> None:
    made = report()
    address, first = opened(
        owner_client, page_of(made), **{"damage-2-kind": "crack", "damage-2-part": "body"}
    )
    _, second = opened(owner_client, page_of(made), **{"damage-2-kind": "stain", "damage-2-part": "body"})
    owner_client.post(address, first)
    answer = owner_client.post(address, second)
    assert answer.status_code == 422 and "Meanwhile it says: crack" in answer.content.decode()
    assert made.damages.count() == 3


def test_more_rows_than_a_new_report_may_have(owner_client) -> None:
    made = report()
    kinds = ["crack", "stain", "haze", "scratch", "repair", "missing"]
    for part in ("lip", "neck", "body", "base"):
        for kind in kinds:
            Damage.objects.create(report=made, kind=kind, part=part)
    address, values = opened(owner_client, page_of(made), note="looked again")
    assert owner_client.post(address, values).status_code == 302
    assert made.damages.count() == 26


@pytest.mark.parametrize("made", [report, treatment])
def test_of_another_piece_there_is_none(owner_client, made) -> None:
    record = made()
    other = make.find("Other")
    page = page_of(record).replace(record.find.number, other.number)
    assert owner_client.get(page).status_code == 404 and owner_client.post(page).status_code == 404


@pytest.mark.parametrize("made", [report, treatment])
def test_a_visitor_may_not(client, made) -> None:
    assert client.get(page_of(made())).status_code == 302


def test_rows_lost_on_the_way_take_no_damage_out(owner_client) -> None:
    made = report()
    address, values = opened(owner_client, page_of(made), note="looked again")
    del values["damage-TOTAL_FORMS"]
    answer = owner_client.post(address, values)
    assert answer.status_code == 422 and "could not be read" in answer.content.decode()
    again = next(form for _, form in forms_in(answer.content.decode()) if "damage-0-kind" in form)
    assert (again["damage-0-kind"], again["note"]) == (["chip"], ["looked again"])
    assert owner_client.post(address, again).status_code == 302
    assert made.damages.count() == 2
