"""A soak on the screen."""

import pytest

from catalogue.care.models import (
    Soak,
    Treatment,
)
from tests import factories as make

from .pages import html

pytestmark = pytest.mark.django_db


def test_the_walk_of_a_soak(owner_client) -> None:
    finds = [make.find(f"Beer {n}") for n in range(2)]
    data = {
        "name": "Blue crate",
        "unit": "us",
        "tap": "200",
        "change_every_days": "1",
        "rule_last": "3",
        "rule_within_pct": "5",
        "rule_near_tap_pct": "10",
        "find": [f.number for f in finds],
    }
    html(owner_client.get("/workbench/soaks/new/"))
    answer = owner_client.post("/workbench/soaks/new/", data)
    here = answer["Location"]
    for value in ("4100", "", "212", "214", "210"):
        owner_client.post(here, {"value": value, "changed_water": "on"})
    page = html(owner_client.get(here))
    assert "Levelled off: ready" in page and "<polyline" in page
    assert "Ready" in html(owner_client.get("/workbench/"))
    for bad in ({"value": "-1"}, {"value": "nan"}, {"value": ""}, {"value": "5", "at": "2999-01-01T00:00"}):
        html(owner_client.post(here, bad), 422)
    html(owner_client.post(f"{here}rule/", {**data, "rule_last": "1"}), 422)
    owner_client.post(f"{here}rule/", {**data, "rule_last": "6"})
    assert "more reading" in html(owner_client.get(here))
    member = Soak.objects.get().members.first()
    for _ in range(2):
        owner_client.post(f"{here}out/{member.pk}/", {"stage": "cleaning"})
    assert Treatment.objects.count() == 1
    more = make.find("Late")
    html(owner_client.get(f"{here}pieces/"))
    owner_client.post(f"{here}pieces/", {"find": more.number})
    owner_client.post(f"{here}end/", {"stage": "drying"})
    assert Treatment.objects.filter(method="soak").count() == 3
    html(owner_client.get(here))
