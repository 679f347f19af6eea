"""Condition part by part, the treatment record, and pictures of the bench."""

import pytest
from django.utils import timezone

from catalogue.care.models import BenchPhoto, ConditionReport
from catalogue.care.piece_facts import knowledge_of
from catalogue.care.services import start_load, take_out_of_bath
from tests import factories as make
from tests.care.makers import bath, crusted, tool

from .pages import html

pytestmark = pytest.mark.django_db


def test_a_report_part_by_part_is_graded_by_its_rule_and_compared(owner_client) -> None:
    find = crusted()
    here = f"/workbench/{find.number}/condition/"
    today = timezone.localdate().isoformat()
    html(owner_client.get(f"{here}parts/"))
    owner_client.post(f"{here}parts/", {"on": "2025-01-01", "lip-chip": "trace", "body-growth": "much"})
    again = html(owner_client.get(f"{here}parts/"))
    assert '<option value="much" selected>' in again
    owner_client.post(f"{here}parts/", {"on": today, "lip-chip": "some", "whole-weeping": "trace"})
    grades = list(find.condition_reports.values_list("grade", flat=True))
    assert grades == ["unstable", "damaged"]
    page = html(owner_client.get(f"{here}compare/"))
    assert "<b>gone</b>" in page
    assert all(f'<b class="worse">{words}</b>' in page for words in ("more", "new"))
    html(owner_client.post(f"{here}parts/", {"on": "2999-01-01"}), 422)
    html(owner_client.post(f"{here}parts/", {"on": today, "lip-chip": "terrible"}), 422)
    assert find.condition_reports.count() == 2
    assert "42 % humidity" in html(owner_client.get(f"/workbench/{find.number}/record/"))


def test_the_treatment_record_tells_everything(owner_client) -> None:
    find = crusted()
    load = start_load(bath(find))
    take_out_of_bath(load.members.get(), "some", note="lip still rough")
    page = html(owner_client.get(f"/workbench/{find.number}/record/"))
    assert "Acid bath" in page and "lip still rough" in page and "fit to drink" in page
    html(owner_client.get(f"/workbench/{make.find('Bare').number}/record/"))


@pytest.mark.parametrize("what", ["bath", "tool", "vessel"])
def test_pictures_of_the_bench(owner_client, data_folder, what: str) -> None:
    from tests.pages.pictures import not_a_picture, picture

    planned = bath(crusted())
    pk = {"bath": planned.pk, "vessel": planned.vessel.pk, "tool": tool().pk}[what]
    address = f"/workbench/{what}/{pk}/picture/"
    owner_client.post(address, {"picture": picture()})
    photo = BenchPhoto.objects.get()
    assert owner_client.get(f"/workbench/pictures/{photo.pk}/small.jpg")["Content-Type"] == "image/jpeg"
    owner_client.post(address, {"picture": not_a_picture()})
    owner_client.post(address)
    assert type(photo).objects.count() == 1


@pytest.mark.parametrize(
    ("kind", "part"), [("munition", "whole"), ("remains", "whole"), ("sealed", "inside")]
)
def test_what_is_in_it_is_not_lost_by_a_report_part_by_part(owner_client, kind, part) -> None:
    """A report part by part begins as the last one was: saved unchanged it must not clear what is in it."""
    find = make.find("Squat soda")
    last = ConditionReport.objects.create(find=find, on="2025-01-01", grade="fragile")
    last.damages.create(kind=kind, part=part, extent="all")
    here = f"/workbench/{find.number}/condition/parts/"
    page = html(owner_client.get(here))
    assert page.index("What is in it") < page.index("<summary>Lip")
    field = page[page.index(f'name="whole-{kind}"') :]
    assert '<option value="all" selected>' in field[: field.index("</select>")]
    owner_client.post(here, {"on": "2025-02-01", f"whole-{kind}": "all"})
    assert ConditionReport.objects.count() == 2
    assert [gate.key for gate in knowledge_of([find])[find.pk].hazards] == [kind]
