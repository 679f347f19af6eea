"""The bench's pages: undo of a wrong tap, a soak begun in the past, a reading put right."""

import re
from datetime import timedelta

import pytest
from django.utils import timezone

from catalogue.care.models import BathMember, Soak, SoakMember, SoakReading
from catalogue.care.services import end_bath, read_soak, start_load, start_soak
from tests import factories as make
from tests.care.makers import SOAK_FORM, bath, crusted, soak

pytestmark = pytest.mark.django_db
UNDO = re.compile(r'action="([^"]+)">(?:(?!</form>).)*>Undo</button>', re.DOTALL)


def typed(at):
    return timezone.localtime(at).strftime("%Y-%m-%dT%H:%M")


def minute(at):
    return at.replace(second=0, microsecond=0)


def test_a_piece_tapped_out_of_a_bath_is_in_again_from_the_notice(owner_client) -> None:
    member = start_load(bath(crusted(), crusted("Beer"))).members.first()
    page = f"/workbench/baths/{member.bath_id}/"
    said = owner_client.post(f"{page}out/{member.pk}/", {"outcome": "none"}, follow=True).content.decode()
    undo = UNDO.search(said)
    assert undo and f'action="{undo[1]}"' in said.split("out-heading")[2]
    assert "as before" in owner_client.post(undo[1], follow=True).content.decode()
    assert BathMember.objects.filter(out_at=None).count() == 2


def test_an_ended_bath_offers_and_does_no_such_thing(owner_client) -> None:
    member = start_load(bath(crusted())).members.get()
    page = f"/workbench/baths/{member.bath_id}/"
    owner_client.post(f"{page}out/{member.pk}/", {"outcome": "none"})
    end_bath(member.bath, "neutralised")
    assert "Undo: it is still in" not in owner_client.get(page).content.decode()
    assert "has ended" in owner_client.post(f"{page}back/{member.pk}/", follow=True).content.decode()


def test_a_piece_tapped_out_of_a_soak_is_in_again(owner_client) -> None:
    water = start_soak(soak(), [make.find("Beer")])
    member = water.members.get()
    page = f"/workbench/soaks/{water.pk}/"
    said = owner_client.post(f"{page}out/{member.pk}/", {"stage": "drying"}, follow=True).content.decode()
    undo = UNDO.search(said)
    assert undo and "Undo: it is still in" in said
    owner_client.post(undo[1])
    assert SoakMember.objects.get().out_at is None


def test_all_out_by_a_wrong_tap_is_mended_piece_by_piece(owner_client) -> None:
    water = start_soak(soak(), [make.find("Beer")])
    page = f"/workbench/soaks/{water.pk}/"
    owner_client.post(f"{page}end/", {"stage": "drying"})
    assert "Undo: it is still in" in owner_client.get(page).content.decode()
    owner_client.post(f"{page}back/{water.members.get().pk}/")
    assert Soak.objects.get().ended_at is None


@pytest.mark.parametrize("kind", ["baths", "soaks"])
def test_a_member_of_another_is_none_here(owner_client, kind) -> None:
    water = start_soak(soak(), [make.find("Beer")])
    assert owner_client.post(f"/workbench/{kind}/{water.pk}/back/999/").status_code == 404
    assert owner_client.get(f"/workbench/{kind}/{water.pk}/back/999/").status_code == 405


FORM = {"name": "Blue crate", **SOAK_FORM}


def test_a_soak_is_begun_in_the_past(owner_client) -> None:
    find, began = make.find("Beer"), timezone.now() - timedelta(days=4)
    data = {**FORM, "find": find.number, "began_at": typed(began)}
    assert owner_client.post("/workbench/soaks/new/", data).status_code == 302
    assert minute(Soak.objects.get().began_at) == minute(began)
    assert SoakMember.objects.get().in_at == Soak.objects.get().began_at


def test_without_a_time_it_begins_now(owner_client) -> None:
    assert owner_client.post("/workbench/soaks/new/", FORM).status_code == 302
    assert timezone.now() - Soak.objects.get().began_at < timedelta(minutes=1)


@pytest.mark.parametrize("days", [1, -60_000])
def test_not_in_the_future_and_not_before_there_were_bottles(owner_client, days) -> None:
    data = {**FORM, "began_at": typed(timezone.now() + timedelta(days=days))}
    answer = owner_client.post("/workbench/soaks/new/", data)
    assert answer.status_code == 422 and "Give a time that has been" in answer.content.decode()
    assert not Soak.objects.exists()


def test_a_beginning_is_put_right_and_its_pieces_go_along(owner_client) -> None:
    water = start_soak(soak(), [make.find("Beer")])
    began = timezone.now() - timedelta(days=2)
    page = f"/workbench/soaks/{water.pk}/rule/"
    assert typed(water.began_at) in owner_client.get(page).content.decode()
    owner_client.post(page, {**FORM, "name": "Red crate", "began_at": typed(water.began_at)})
    assert Soak.objects.get().began_at == water.began_at and Soak.objects.get().name == "Red crate"
    owner_client.post(page, {**FORM, "began_at": typed(began)})
    assert minute(Soak.objects.get().began_at) == minute(began)
    assert SoakMember.objects.get().in_at == Soak.objects.get().began_at


def test_no_piece_leaves_before_it_came(owner_client) -> None:
    water = start_soak(soak(began_at=timezone.now() - timedelta(days=3)), [make.find("Beer")])
    member = water.members.get()
    owner_client.post(f"/workbench/soaks/{water.pk}/out/{member.pk}/")
    SoakMember.objects.update(out_at=timezone.now() - timedelta(days=2))
    data = {**FORM, "began_at": typed(timezone.now() - timedelta(days=1))}
    answer = owner_client.post(f"/workbench/soaks/{water.pk}/rule/", data)
    assert answer.status_code == 422 and "take an earlier time" in answer.content.decode()
    assert Soak.objects.get().began_at == water.began_at


def test_a_reading_is_put_right(owner_client) -> None:
    water = start_soak(soak(began_at=timezone.now() - timedelta(days=3)), [make.find("Beer")])
    there = read_soak(water, 4000, at=timezone.now() - timedelta(days=1))
    page = f"/workbench/soaks/{water.pk}/readings/{there.pk}/"
    assert page in owner_client.get(f"/workbench/soaks/{water.pk}/").content.decode()
    shown = owner_client.get(page).content.decode()
    assert "4000" in shown and typed(there.at) in shown
    assert owner_client.post(page, {"value": "400", "at": typed(there.at)}).status_code == 302
    fresh = SoakReading.objects.get()
    assert (fresh.value, fresh.at) == (400, there.at)
    answer = owner_client.post(page, {"value": "", "at": typed(there.at)})
    assert answer.status_code == 422 and SoakReading.objects.get().value == 400
    other = start_soak(soak("Red crate"), [])
    assert owner_client.get(page.replace(f"/{water.pk}/", f"/{other.pk}/", 1)).status_code == 404


def test_all_out_of_a_bath_by_one_tap_and_back(owner_client) -> None:
    load = start_load(bath(crusted(), crusted("Beer")))
    page = f"/workbench/baths/{load.bath_id}/"
    assert "All 2 out." in owner_client.get(page).content.decode()
    said = owner_client.post(f"{page}out/all/", {"outcome": "some"}, follow=True).content.decode()
    undo = UNDO.search(said)
    assert undo and "2 pieces are out: some" in said
    assert BathMember.objects.filter(outcome="some", treatment__result="better").count() == 2
    assert (
        "was out already"
        in owner_client.post(f"{page}out/all/", {"outcome": "some"}, follow=True).content.decode()
    )
    assert "2 pieces are in the bath again" in owner_client.post(undo[1], follow=True).content.decode()
    assert BathMember.objects.filter(out_at=None, treatment=None).count() == 2
    assert owner_client.post(f"{page}out/all/", {"outcome": "x"}).status_code == 400


def test_one_piece_alone_needs_no_button_for_all(owner_client) -> None:
    load = start_load(bath(crusted()))
    assert "All 1 out" not in owner_client.get(f"/workbench/baths/{load.bath_id}/").content.decode()


def test_all_out_is_not_undone_once_the_bath_has_ended(owner_client) -> None:
    load = start_load(bath(crusted(), crusted("Beer")))
    page = f"/workbench/baths/{load.bath_id}/"
    undo = UNDO.search(
        owner_client.post(f"{page}out/all/", {"outcome": "none"}, follow=True).content.decode()
    )
    end_bath(load.bath, "neutralised")
    said = owner_client.post(undo[1], follow=True).content.decode()
    assert "Nothing was put back. This bath has ended" in said
    assert not BathMember.objects.filter(out_at=None).exists()


def test_all_out_of_a_soak_and_back(owner_client) -> None:
    water = start_soak(soak(), [make.find("Beer"), make.find("Ink")])
    page = f"/workbench/soaks/{water.pk}/"
    owner_client.post(f"{page}out/{water.members.last().pk}/", {"stage": "drying"})
    said = owner_client.post(f"{page}end/", {"stage": "cleaning"}, follow=True).content.decode()
    undo = UNDO.search(said)
    assert undo and Soak.objects.get().ended_at
    assert "again, as before" in owner_client.post(undo[1], follow=True).content.decode()
    # What came out before that tap stays out.
    assert Soak.objects.get().ended_at is None and SoakMember.objects.filter(out_at=None).count() == 1


def test_pieces_of_another_water_are_not_put_back(owner_client) -> None:
    water, other = start_soak(soak(), [make.find("Beer")]), start_soak(soak("Red crate"), [make.find("Ink")])
    owner_client.post(f"/workbench/soaks/{other.pk}/end/")
    owner_client.post(f"/workbench/soaks/{water.pk}/back/all/{other.members.get().pk}-9--/")
    assert other.members.get().out_at
