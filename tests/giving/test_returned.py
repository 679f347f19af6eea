"""A piece that an authority has: nobody gives it away by a tap."""

import re

import pytest

from catalogue.care.models import HazardReason
from catalogue.care.services import HazardAsksReason
from catalogue.giving import services
from catalogue.giving.services import NotGiven
from catalogue.specimens.models import Specimen
from tests import factories as make

pytestmark = pytest.mark.django_db
REASON = "The receiver of wreck released it by letter"


@pytest.fixture
def returned() -> Specimen:
    find = make.find("Squat soda", dive=make.dive())
    services.mark(find, "free")
    return services.mark(find, "returned")


def standing(find: Specimen) -> str:
    return Specimen.objects.get(pk=find.pk).standing


@pytest.mark.parametrize("reason", ["", REASON])
def test_it_is_not_set_free_by_one_tap(returned: Specimen, reason: str) -> None:
    with pytest.raises(NotGiven, match="an authority has it"):
        services.mark(returned, "free", reason=reason)
    assert standing(returned) == "returned"


def test_undo_sets_it_no_more_free_than_a_tap(returned: Specimen) -> None:
    with pytest.raises(NotGiven, match="an authority has it"):
        services.undo_mark(returned, returned.history.first().history_id)
    assert standing(returned) == "returned"


def test_neither_promised_nor_handed_over(returned: Specimen) -> None:
    for act in (services.promise, services.hand_over):
        with pytest.raises(NotGiven):
            act(returned, make.person("Ivo Lark"))
    assert standing(returned) == "returned"


def test_it_is_kept_again_only_with_how_it_came_back(returned: Specimen) -> None:
    for lazy in ("", "ok"):
        with pytest.raises(HazardAsksReason, match="who gave it back"):
            services.mark(returned, "kept", reason=lazy)
    services.mark(returned, "returned")
    assert standing(returned) == "returned"
    services.mark(returned, "kept", reason=REASON)
    assert standing(returned) == "kept"
    assert HazardReason.objects.get().reason == REASON


@pytest.mark.parametrize("gone", ["returned", "left", "lost"])
def test_what_is_not_here_is_not_free(gone: str) -> None:
    find = services.mark(make.find(), gone)
    with pytest.raises(NotGiven):
        services.mark(find, "free")
    assert standing(find) == gone


def test_each_return_wants_a_reason_of_its_own(returned: Specimen) -> None:
    services.mark(returned, "kept", reason=REASON)
    services.mark(returned, "free")
    services.mark(returned, "returned")
    with pytest.raises(HazardAsksReason):
        services.mark(returned, "kept")


def test_a_wrong_tap_on_a_kept_piece_is_undone() -> None:
    find = make.find()
    services.mark(find, "returned")
    services.undo_mark(Specimen.objects.get(), find.history.first().history_id)
    assert standing(find) == "kept"


def test_the_page_asks_and_then_keeps_it(owner_client, returned: Specimen) -> None:
    address = f"/giving/{returned.number}/standing/"
    refused = owner_client.post(address, {"standing": "free"}, follow=True).content.decode()
    assert "an authority has it" in refused and standing(returned) == "returned"
    asked = owner_client.post(address, {"standing": "kept"})
    assert asked.status_code == 422 and "Before you keep it again" in asked.content.decode()
    page = returned.get_absolute_url()
    assert re.search(r'value="free"[^>]* disabled', owner_client.get(page).content.decode())
    owner_client.post(address, {"standing": "kept", "hazard-reason": REASON})
    assert standing(returned) == "kept"
    shown = owner_client.get(page).content.decode()
    assert REASON in shown and not re.search(r'value="free"[^>]* disabled', shown)
