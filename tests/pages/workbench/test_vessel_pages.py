"""One's own vessels."""

import pytest

from catalogue.care.models import (
    Vessel,
)
from tests.care.makers import tub

from .pages import html

pytestmark = pytest.mark.django_db


GOOD_TUB = {
    "name": "White tub",
    "material": "plastic",
    "outline": "round",
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


BOX = {
    **GOOD_TUB,
    "name": "Storage box",
    "outline": "box",
    "top_length_mm": "560",
    "top_mm": "360",
    "bottom_length_mm": "500",
    "bottom_mm": "310",
    "height_mm": "280",
}


def test_a_storage_box_has_lengths_and_says_what_it_holds(owner_client) -> None:
    """By hand, prismatoid: 280 / 6 · (500 · 310 + 4 · 530 · 335 + 560 · 360) mm³ = 49.8 l."""
    owner_client.post("/workbench/vessels/new/", BOX)
    kept = Vessel.objects.get()
    assert f"{kept.litres:.1f}" == "49.8"
    assert "49.8 l, rectangular" in html(owner_client.get("/workbench/vessels/"))
    page = html(owner_client.get(f"/workbench/vessels/{kept.pk}/"))
    assert 'value="560 mm"' in page and 'value="box"' in page


@pytest.mark.parametrize("value", ["", "-3", "0", "nan", "1e9"])
@pytest.mark.parametrize("field", ["top_length_mm", "bottom_length_mm"])
def test_a_rectangular_one_without_a_length_says_so(owner_client, field: str, value: str) -> None:
    page = html(owner_client.post("/workbench/vessels/new/", {**BOX, field: value}), 422)
    assert f'id="id_{field}_error"' in page
    assert not Vessel.objects.exists()


@pytest.mark.parametrize("length", ["560", "many", "-1"])
def test_lengths_typed_before_round_was_chosen_do_not_count(owner_client, length: str) -> None:
    owner_client.post("/workbench/vessels/new/", {**BOX, "outline": "round", "top_length_mm": length})
    assert Vessel.objects.get().top_length_mm is None


def test_a_box_that_turns_out_round_loses_its_lengths(owner_client) -> None:
    owner_client.post("/workbench/vessels/new/", BOX)
    kept = Vessel.objects.get()
    owner_client.post(f"/workbench/vessels/{kept.pk}/", {**BOX, "outline": "round"})
    kept.refresh_from_db()
    assert (kept.outline, kept.top_length_mm, kept.bottom_length_mm) == ("round", None, None)


def test_a_vessel_as_large_as_a_room_is_a_slip_of_the_rule(owner_client) -> None:
    huge = {**BOX, **dict.fromkeys(("top_length_mm", "top_mm", "bottom_length_mm", "bottom_mm"), "1500")}
    page = html(owner_client.post("/workbench/vessels/new/", {**huge, "height_mm": "1400"}), 422)
    assert "check the measures" in page
    assert not Vessel.objects.exists()


def test_measures_taken_out_of_a_stored_vessel_are_asked_for_again(owner_client) -> None:
    owner_client.post("/workbench/vessels/new/", BOX)
    kept = Vessel.objects.get()
    page = html(
        owner_client.post(f"/workbench/vessels/{kept.pk}/", BOX | {"top_mm": "", "height_mm": ""}), 422
    )
    assert "49.8 l" in page and page.count('class="error"') >= 2
    assert Vessel.objects.get().height_mm == 280
