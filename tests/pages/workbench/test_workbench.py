"""Finds by stage."""

import datetime

import pytest
from django.utils import timezone

from catalogue.care.queries import finds_by_stage
from catalogue.care.services import stage_after, start_load, start_soak
from catalogue.specimens.models import Specimen
from catalogue.specimens.services import set_stage
from tests import factories as make
from tests.care.makers import bath, crusted, soak, tub

pytestmark = pytest.mark.django_db


def days(find: Specimen) -> int:
    return next(each.days for row in finds_by_stage() for each in row.finds if each.find == find)


def age_history(find: Specimen, by_days: int) -> None:
    for record in Specimen.history.filter(id=find.pk):
        record.history_date -= datetime.timedelta(days=by_days)
        record.save(update_fields=["history_date"])
    Specimen.objects.filter(pk=find.pk).update(created=find.created - datetime.timedelta(days=by_days))


def test_each_stage_has_its_finds_and_done_or_gone_ones_are_off_the_bench() -> None:
    for stage in Specimen.Stage:
        make.find(f"A {stage} one", stage=stage)
    make.find("Given away wet", stage="wet", standing="handed-over")
    rows = {row.stage.value: [each.find.what for each in row.finds] for row in finds_by_stage()}
    assert rows == {stage: [f"A {stage} one"] for stage in ("wet", "soaking", "cleaning", "drying")}


def test_a_find_is_wet_since_it_came_up() -> None:
    day = timezone.localdate() - datetime.timedelta(days=12)
    assert days(make.find("Beer", dive=make.dive(date=day))) == 12


def test_days_count_from_when_the_stage_began() -> None:
    find = make.find("Beer", dive=make.dive(date=timezone.localdate() - datetime.timedelta(days=30)))
    age_history(find, 20)
    set_stage(Specimen.objects.get(pk=find.pk), "soaking")
    assert days(find) == 0
    age_history(find, 5)
    assert days(find) == 5
    # another change of the record does not start the count anew
    Specimen.objects.get(pk=find.pk).save()
    assert days(find) == 5
    # going back to wet counts from then, not from the dive
    set_stage(Specimen.objects.get(pk=find.pk), "wet")
    assert days(find) == 0


def test_a_find_without_history_counts_from_its_creation() -> None:
    find = make.find("Beer", stage="soaking")
    age_history(find, 9)
    Specimen.history.all().delete()
    assert days(find) == 9


def test_the_longest_there_stands_first() -> None:
    first, second = make.find("Newer", stage="drying"), make.find("Older", stage="drying")
    age_history(second, 3)
    row = next(row for row in finds_by_stage() if row.stage == "drying")
    assert [each.find for each in row.finds] == [second, first]


def test_the_page_moves_a_find_on_by_one_tap(owner_client) -> None:
    find = make.find("Beer <b>bottle</b>", stage="soaking")
    html = owner_client.get("/workbench/").content.decode()
    assert "&lt;b&gt;bottle" in html
    assert 'name="stage" value="cleaning"' in html
    answer = owner_client.post(
        f"/workbench/{find.number}/stage/", {"stage": "cleaning", "next": "/workbench/"}
    )
    assert answer["Location"] == "/workbench/"
    assert Specimen.objects.get(pk=find.pk).stage == "cleaning"


@pytest.mark.parametrize("stage", ["", "polished", "x" * 10_000])
def test_a_word_that_is_no_stage_changes_nothing(owner_client, stage: str) -> None:
    find = make.find("Beer")
    assert owner_client.post(f"/workbench/{find.number}/stage/", {"stage": stage}).status_code == 400
    assert Specimen.objects.get(pk=find.pk).stage == "wet"


@pytest.mark.parametrize(
    "elsewhere", ["http://other.invalid/", "//other.invalid/", "javascript:alert(1)", "\\\\x"]
)
def test_the_way_back_stays_in_the_house(owner_client, elsewhere: str) -> None:
    find = make.find("Beer")
    answer = owner_client.post(f"/workbench/{find.number}/stage/", {"stage": "done", "next": elsewhere})
    assert answer["Location"] == find.get_absolute_url()


def test_wrong_method_no_such_find_and_visitor(owner_client, client) -> None:
    find = make.find("Beer", shared=True)
    address = f"/workbench/{find.number}/stage/"
    assert owner_client.get(address).status_code == 405
    assert owner_client.post("/workbench/").status_code == 405
    assert owner_client.post("/workbench/2025.9.9/stage/", {"stage": "done"}).status_code == 404
    assert client.post(address, {"stage": "done"})["Location"].startswith("/enter/")
    assert client.get("/workbench/")["Location"].startswith("/enter/")
    assert Specimen.objects.get(pk=find.pk).stage == "wet"


def test_the_bench_takes_twelve_queries_however_full(owner_client, django_assert_num_queries) -> None:
    """Session, user, finds with their stages, pictures; three for baths, three for soaks; cut-outs; units."""
    for n in range(4):
        find = make.find(
            f"Beer {n}", dive=make.dive(), place=make.place(f"Tank {n}"), town=make.town(f"Town {n}")
        )
        start_soak(soak(f"Crate {n}"), [find])
        start_load(bath(crusted(f"Soda {n}"), vessel=tub(f"Tub {n}")))
    with django_assert_num_queries(12):
        owner_client.get("/workbench/")


def test_the_usual_order_of_stages() -> None:
    assert [stage_after(stage) for stage in ("wet", "soaking", "cleaning", "drying", "done")] == [
        "soaking",
        "cleaning",
        "drying",
        "done",
        None,
    ]
