"""A bath on the screen, from plan to end."""

from datetime import timedelta
from itertools import product

import pytest
from django.utils import timezone

from catalogue.care.models import (
    Bath,
    BathMember,
    Treatment,
    Vessel,
)
from catalogue.care.services import (
    start_load,
)
from catalogue.specimens.models import Specimen
from tests.care.makers import bath, crusted, tub

from .pages import html

pytestmark = pytest.mark.django_db


def plan(find: Specimen, **given) -> dict:
    return {
        "vessel": Vessel.objects.first().pk,
        "strength_label": "31.45 %",
        "acid_parts": "15",
        "water_parts": "85",
        "fill_pct": "80",
        "temperature_c": "12",
        "find": find.number,
        **given,
    }


def test_a_bath_is_planned_and_its_page_says_what_to_pour(owner_client) -> None:
    assert "Add a vessel" in html(owner_client.get("/workbench/baths/new/"))
    tub()
    find = crusted()
    assert find.number in html(owner_client.get(f"/workbench/baths/new/?find={find.number}"))
    answer = owner_client.post("/workbench/baths/new/", plan(find))
    page = html(owner_client.get(answer["Location"]))
    assert "mm above the second ring" in page
    assert "mol/l" in page
    assert "never water on to acid" in page
    assert "Nothing ticked speaks against it." in page
    water, acid = page.index("of cold water into"), page.index("of the acid slowly into the water")
    assert water < acid


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("strength_label", ""),
        ("strength_label", "0 %"),
        ("strength_label", "60 %"),
        ("strength_label", "20"),
        ("strength_label", "<b>strong</b>"),
        ("acid_parts", "0"),
        ("acid_parts", "-1"),
        ("acid_parts", "nan"),
        ("water_parts", "inf"),
        ("fill_pct", "0"),
        ("fill_pct", "140"),
        ("temperature_c", "60"),
        ("temperature_c", "0"),
        ("vessel", "999"),
        ("vessel", ""),
    ],
)
def test_a_bath_that_cannot_be_says_so_by_its_field(owner_client, field: str, value: str) -> None:
    tub()
    find = crusted()
    page = html(owner_client.post("/workbench/baths/new/", plan(find, **{field: value})), 422)
    assert f'id="id_{field}_error"' in page
    assert f'value="{find.number}" checked' in page
    assert not Bath.objects.exists()


def test_metal_is_not_offered(owner_client) -> None:
    tub()
    pail = tub("Zinc pail", material="metal")
    assert "Zinc pail" not in html(owner_client.get("/workbench/baths/new/"))
    html(owner_client.post("/workbench/baths/new/", plan(crusted(), vessel=pail.pk)), 422)


def test_more_glass_than_vessel_is_said_and_nothing_starts(owner_client) -> None:
    small = tub("Cup", (), top_mm=60, bottom_mm=60, height_mm=60)
    planned = bath(crusted(), vessel=small)
    page = html(owner_client.get(f"/workbench/baths/{planned.pk}/"))
    assert "fewer pieces or a larger vessel" in page
    owner_client.post(f"/workbench/baths/{planned.pk}/start/", {"from_minutes": 15, "to_hours": 4})
    assert not Bath.objects.get().mixed_at


def test_the_walk_of_a_bath(owner_client) -> None:
    one, two = crusted("One", looked=False), crusted("Two", found=("crack",))
    planned = bath(one, two)
    here = f"/workbench/baths/{planned.pk}/"
    page = html(owner_client.get(here))
    assert "nobody has looked" in page and "A written reason of a few words is needed" in page
    owner_client.post(f"/workbench/{one.number}/look/", {"nothing": "1", "next": here})
    members = {m.find_id: m for m in planned.members.all()}
    hours = {"from_minutes": "15", "to_hours": "4"}
    refused = html(owner_client.post(f"{here}start/", {**hours, f"growth-{members[one.pk].pk}": "35"}), 422)
    assert "spread it" in refused and 'value="35' in refused
    answer = owner_client.post(
        f"{here}start/",
        {
            **hours,
            f"reason-{members[two.pk].pk}": "A trial with a weak bath",
            f"growth-{members[one.pk].pk}": "35,5",
        },
    )
    assert answer.status_code == 302
    running = html(owner_client.get(here))
    assert "data-clock" in running and "All out by".lower() in running.lower()
    owner_client.post(f"{here}look/", {"again": "30"})
    assert owner_client.post(f"{here}look/", {"again": "9999"}).status_code == 400
    first = members[one.pk].pk
    for outcome in ("none", "much"):
        owner_client.post(f"{here}out/{first}/", {"outcome": outcome})
    assert Treatment.objects.filter(find=one).count() == 1
    assert BathMember.objects.get(pk=first).outcome == "none"
    assert "Out" in html(owner_client.get(here))
    end = owner_client.post(f"{here}end/", {"how": "neutralised"})
    assert "still in it" in html(end, 422)
    owner_client.post(f"{here}out/{members[two.pk].pk}/", {"outcome": "some", "note": "lip"})
    resting = html(owner_client.get(here))
    assert "Neutralise and end it" in resting
    bad = owner_client.post(f"{here}end/", {"how": "neutralised", "final_ph": "20"})
    assert "id_final_ph_error" in html(bad, 422)
    owner_client.post(
        f"{here}end/", {"how": "neutralised", "neutralised_with": "baking soda", "final_ph": "7"}
    )
    owner_client.post(f"{here}end/", {"how": "collected"})
    bath_now = Bath.objects.get()
    assert (bath_now.ended_how, str(bath_now.final_ph)) == ("neutralised", "7.0")
    assert "Soak them all" in html(owner_client.get(here))
    assert Treatment.objects.filter(method="acid-bath").count() == 2
    assert Treatment.objects.get(find=two).override_reason == "A trial with a weak bath"


@pytest.mark.parametrize(
    ("field", "hours"),
    [
        *product(("from_minutes", "to_hours"), ("", "0", "-2", "nan", "inf", "1e9", "soon", "721")),
        ("from_minutes", "4"),
        ("to_hours", "13"),
    ],
)
def test_hours_that_cannot_be_start_nothing(owner_client, field: str, hours: str) -> None:
    planned = bath(crusted())
    times = {"from_minutes": "15", "to_hours": "4", field: hours}
    page = html(owner_client.post(f"/workbench/baths/{planned.pk}/start/", times), 422)
    assert "Not started yet" in page
    assert not Bath.objects.get().mixed_at


@pytest.mark.parametrize(
    "ended",
    [
        {"how": "drunk"},
        {"how": "neutralised", "neutraliser_g": "-1"},
        {"how": "neutralised", "neutraliser_g": "nan"},
        {"how": "neutralised", "neutraliser_g": "1e9"},
        {"how": "neutralised", "final_ph": "inf"},
        {"how": "neutralised", "at": "1999-01-01T10:00"},
        {"how": "neutralised", "at": "2999-01-01T10:00"},
    ],
)
def test_an_end_that_cannot_be_ends_nothing(owner_client, ended: dict[str, str]) -> None:
    load = start_load(bath(crusted()))
    owner_client.post(f"/workbench/baths/{load.bath_id}/out/{load.members.get().pk}/", {"outcome": "none"})
    html(owner_client.post(f"/workbench/baths/{load.bath_id}/end/", ended), 422)
    assert Bath.objects.get().ended_at is None


def test_what_is_never_planned_stands_with_why(owner_client) -> None:
    tub()
    page = html(owner_client.get("/workbench/baths/new/"))
    for words in ("Hot water", "acid fume", "Bleach", "chlorine", "metal vessel", "hydrogen", "Peroxide"):
        assert words in page


def test_enter_in_the_note_takes_nothing_out(owner_client) -> None:
    """The first button of a form is what Enter presses; where it is disabled, nothing is sent (HTML)."""
    load = start_load(bath(crusted()))
    page = html(owner_client.get(f"/workbench/baths/{load.bath_id}/"))
    form = page[page.index(f"/out/{load.members.get().pk}/") :]
    first = form[form.index("<button") :].split(">")[0]
    assert "disabled" in first and "outcome" not in first


@pytest.mark.parametrize(
    "data",
    [
        {},
        {"outcome": "shiny"},
        {"outcome": "none", "at": "1999-01-01T10:00"},
        {"outcome": "none", "at": "soon"},
        {"outcome": "none", "at": "2999-01-01T10:00"},
    ],
)
def test_taking_out_wrongly_changes_nothing(owner_client, data) -> None:
    load = start_load(bath(crusted()))
    member = load.members.get()
    owner_client.post(f"/workbench/baths/{load.bath_id}/out/{member.pk}/", data)
    assert BathMember.objects.get(pk=member.pk).out_at is None
    assert not Treatment.objects.exists()


@pytest.mark.parametrize("grams", ["-3", "lots", "nan", "1e99", "0"])
def test_growth_that_cannot_be_is_said(owner_client, grams: str) -> None:
    planned = bath(crusted())
    member = planned.members.get()
    answer = owner_client.post(
        f"/workbench/baths/{planned.pk}/note/", {f"growth-{member.pk}": grams}, follow=True
    )
    assert "growth" in html(answer)
    assert BathMember.objects.get(pk=member.pk).growth_g is None


def test_a_piece_is_left_out_and_others_are_chosen(owner_client) -> None:
    planned = bath(crusted("One"))
    here = f"/workbench/baths/{planned.pk}/"
    owner_client.post(f"{here}note/", {"leave": str(planned.members.get().pk)})
    assert "No piece is chosen" in html(owner_client.get(here))
    two = crusted("Two")
    assert two.number in html(owner_client.get(f"{here}pieces/"))
    owner_client.post(f"{here}pieces/", {"find": two.number})
    assert planned.members.get().find == two
    html(owner_client.post(f"{here}change/", plan(two, strength_label="99 %")), 422)
    owner_client.post(f"{here}change/", plan(two, strength_label="20 °Bé"))
    planned.refresh_from_db()
    assert planned.strength_wt_pct == pytest.approx(31.45, rel=0.01)
    owner_client.post(f"{here}end/")
    assert Bath.objects.get().ended_how == "not-mixed"


def test_a_mixed_bath_is_not_changed(owner_client) -> None:
    load = start_load(bath(crusted()))
    answer = owner_client.post(f"/workbench/baths/{load.bath_id}/change/", plan(crusted("X"), fill_pct="20"))
    assert answer.status_code == 302
    assert Bath.objects.get().fill_pct == 80


def test_when_somebody_has_to_look(owner_client) -> None:
    long_ago = timezone.now() - timedelta(hours=5)
    start_load(bath(crusted()), at=long_ago)
    said = owner_client.get("/workbench/due/").json()
    assert said["baths"][0]["late"] < said["now"]
    assert said["baths"][0]["pieces"] == 1
    page = html(owner_client.get("/workbench/"))
    assert "Overdue" in page
