"""A soak on the screen."""

from datetime import timedelta

import pytest
from django.utils import timezone

from catalogue.care.models import (
    Soak,
    Treatment,
)
from catalogue.care.services import start_soak
from tests import factories as make
from tests.care.makers import SOAK_FORM

from .pages import html

pytestmark = pytest.mark.django_db


def when(days: float) -> str:
    """That many days ago, as the form takes it."""
    return f"{timezone.localtime() - timedelta(days=days):%Y-%m-%dT%H:%M}"


def test_the_walk_of_a_soak(owner_client) -> None:
    finds = [make.find(f"Beer {n}") for n in range(2)]
    data = {
        "name": "Blue crate",
        **SOAK_FORM,
        "tap": "200",
        "find": [f.number for f in finds],
        "began_at": when(6),
    }
    html(owner_client.get("/workbench/soaks/new/"))
    answer = owner_client.post("/workbench/soaks/new/", data)
    here = answer["Location"]
    for days, value in enumerate(("4100", "", "212", "214", "210")):
        owner_client.post(here, {"value": value, "changed_water": "on", "at": when(5 - days)})
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


def test_readings_within_minutes_of_fresh_water_say_that_they_do_not_count(owner_client) -> None:
    """Fresh water reads like the tap: three such readings called a piece ready within a minute."""
    soak = start_soak(Soak(name="Blue crate", tap=200), [make.find("Beer")])
    here = f"/workbench/soaks/{soak.pk}/"
    for value in ("4100", "205", "204", "205"):
        owner_client.post(here, {"value": value, "changed_water": "on"})
    page = html(owner_client.get(here))
    assert "Levelled off" not in page
    assert "3 more readings before anything can be said" in page
    assert page.count("Doesn't count: 0 minutes after fresh water; counts from 18 hours on.") == 4
