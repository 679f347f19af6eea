"""The bench in the plain administration pages: to look at, never to change what was poured and when."""

import pytest

from catalogue.care.models import Bath, BathMember, Check, Soak, Tool, ToolUse, Vessel, WorkStep
from catalogue.care.services import (
    begin_step,
    end_bath,
    read_soak,
    start_load,
    start_soak,
    take_out_of_bath,
    use_tool,
)
from tests.care.makers import bath, crusted, soak, tool

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("administration")]

MODELS = [Bath, Check, Soak, Tool, ToolUse, Vessel, WorkStep]


@pytest.fixture
def closed() -> Bath:
    """A bath that has ended, and one row of everything else."""
    load = start_load(bath(crusted("Squat soda")))
    take_out_of_bath(load.members.get(), "some")
    end_bath(load.bath, "neutralised", final_ph=7)
    other = crusted("Kept", look="growth")
    begin_step(other, "scrape")
    use_tool(other, tool(), "yes")
    read_soak(start_soak(soak(), [other]), 400)
    return load.bath


@pytest.mark.parametrize("model", MODELS)
def test_lists_and_rows_open(owner_client, closed, model: type) -> None:
    name = model._meta.model_name
    assert owner_client.get(f"/admin/care/{name}/").status_code == 200
    row = model.objects.first()
    assert owner_client.get(f"/admin/care/{name}/{row.pk}/change/").status_code == 200
    assert owner_client.get(f"/admin/care/{name}/{row.pk}/history/").status_code == 200


def test_a_closed_bath_shows_its_piece_and_how_it_came_out(owner_client, closed) -> None:
    page = owner_client.get(f"/admin/care/bath/{closed.pk}/change/").content.decode()
    assert "some growth left" in page and "neutralised" in page
    assert owner_client.get(f"/admin/care/bath/?q={closed.members.get().find.number}").status_code == 200


@pytest.mark.parametrize("model", MODELS)
def test_nothing_is_added_changed_deleted_or_set_back(owner_client, closed, model: type) -> None:
    base = f"/admin/care/{model._meta.model_name}"
    row = model.objects.first()
    before = list(model.objects.values())
    assert owner_client.post(f"{base}/add/", {}).status_code == 403
    assert owner_client.post(f"{base}/{row.pk}/change/", {"note": "x", "name": "x"}).status_code == 403
    assert owner_client.post(f"{base}/{row.pk}/delete/", {"post": "yes"}).status_code == 403
    owner_client.post(f"{base}/", {"action": "delete_selected", "_selected_action": [row.pk], "post": "yes"})
    if hasattr(row, "history"):
        oldest = row.history.last()
        earlier = f"{base}/{row.pk}/history/{oldest.history_id}/"
        assert owner_client.get(earlier).status_code == 200
        assert owner_client.post(earlier, {}).status_code == 403
    assert list(model.objects.values()) == before


def test_rows_of_a_closed_bath_cannot_be_reached_through_its_page(owner_client, closed) -> None:
    member = closed.members.get()
    forged = {
        "members-TOTAL_FORMS": "1",
        "members-INITIAL_FORMS": "1",
        "members-0-id": str(member.pk),
        "members-0-bath": str(closed.pk),
        "members-0-DELETE": "on",
        "loads-TOTAL_FORMS": "0",
        "loads-INITIAL_FORMS": "0",
    }
    assert owner_client.post(f"/admin/care/bath/{closed.pk}/change/", forged).status_code == 403
    assert BathMember.objects.get().outcome == "some"
