"""One's own vessels."""

import pytest

from catalogue.care.models import (
    Vessel,
)
from tests.care.makers import tub
from tests.care.pages import html

pytestmark = pytest.mark.django_db


GOOD_TUB = {
    "name": "White tub",
    "material": "plastic",
    "top_mm": "300",
    "bottom_mm": "260",
    "height_mm": "330",
}


def test_a_vessel_with_its_rings(owner_client) -> None:
    owner_client.post("/workbench/vessels/new/", {**GOOD_TUB, "rings": "10000, 5000 ml; 15000"})
    kept = Vessel.objects.get()
    assert [(m.ml, m.name) for m in kept.marks.all()] == [
        (5000, "the first ring"),
        (10000, "the second ring"),
        (15000, "the third ring"),
    ]
    page = html(owner_client.get(f"/workbench/vessels/{kept.pk}/"))
    assert "5000, 10000, 15000" in page
    owner_client.post(f"/workbench/vessels/{kept.pk}/", {**GOOD_TUB, "rings": "5000"})
    assert kept.marks.count() == 1


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("name", ""),
        ("name", "x" * 10_000),
        ("top_mm", "-3"),
        ("top_mm", "0"),
        ("bottom_mm", "nan"),
        ("height_mm", "inf"),
        ("height_mm", "1e9"),
        ("material", "gold"),
        ("rings", "many"),
        ("rings", "-5"),
        ("rings", "90000"),
        ("rings", "٣"),
        ("rings", ",".join(["1"] * 3 + [str(n) for n in range(2, 20)])),
    ],
)
def test_a_vessel_that_cannot_be_says_so_by_its_field(owner_client, field: str, value: str) -> None:
    page = html(owner_client.post("/workbench/vessels/new/", {**GOOD_TUB, field: value}), 422)
    assert f'id="id_{field}_error"' in page
    assert not Vessel.objects.exists()


def test_two_vessels_of_one_name(owner_client) -> None:
    tub("White tub")
    html(owner_client.post("/workbench/vessels/new/", GOOD_TUB), 422)
