"""What a bath asks before it is planned and poured: its mixture, its vessel, its fill, its first look."""

from datetime import timedelta

import pytest

from catalogue.care.bath_sums import sums_of
from catalogue.care.models import (
    Bath,
    Soak,
)
from catalogue.care.services import (
    NotNow,
    SoakRefused,
    end_soak,
    keep_soak,
    start_load,
    start_soak,
)
from tests.care.makers import bath, crusted, tub

from .pages import html
from .test_bath_pages import plan

pytestmark = pytest.mark.django_db


def test_swapped_parts_are_asked_about_and_never_become_the_next_default(owner_client) -> None:
    tub()
    find = crusted()
    swapped = plan(find, acid_parts="85", water_parts="15")
    page = html(owner_client.post("/workbench/baths/new/", swapped), 422)
    assert "Were the two swapped?" in page and "no bath is planned here" in page
    weak = {**swapped, "strength_label": "10 %"}
    page = html(owner_client.post("/workbench/baths/new/", weak), 422)
    assert 'id="id_more_acid_error"' in page and "Were the two swapped?" in page
    assert not Bath.objects.exists()
    assert owner_client.post("/workbench/baths/new/", {**weak, "more_acid": "on"}).status_code == 302
    page = html(owner_client.get("/workbench/baths/new/"))
    assert 'value="85.0"' not in page and 'value="10 %"' not in page
    assert 'name="acid_parts" value="15"' in page


def test_a_strong_mixture_wants_a_written_reason_that_is_kept(owner_client) -> None:
    tub()
    find = crusted()
    strong = plan(find, acid_parts="30", water_parts="70")
    assert 'name="strong_reason"' not in html(owner_client.get("/workbench/baths/new/"))
    page = html(owner_client.post("/workbench/baths/new/", strong), 422)
    assert "This mixes to 10.5 % acid" in page and 'name="strong_reason"' in page
    for lazy in ("x", "because", "yes yes yes"):
        html(owner_client.post("/workbench/baths/new/", {**strong, "strong_reason": lazy}), 422)
    kept = {**strong, "strong_reason": "Thick oyster, weak took nothing off"}
    assert owner_client.post("/workbench/baths/new/", kept).status_code == 302
    assert Bath.objects.get().strong_reason == kept["strong_reason"]


def test_a_mixture_planned_too_strong_before_is_not_poured() -> None:
    """Plans of older versions knew no limit."""
    tub()
    planned = bath(crusted())
    Bath.objects.update(acid_parts=85, water_parts=15)
    with pytest.raises(NotNow, match="no bath is planned here"):
        start_load(planned)
    Bath.objects.update(acid_parts=30, water_parts=70)
    with pytest.raises(NotNow, match="Say in a few words"):
        start_load(planned)


def test_one_vessel_holds_a_bath_or_a_soak(owner_client) -> None:
    crate = tub()
    held = start_soak(Soak(name="Tank by the door", vessel=crate), [])
    page = html(owner_client.post("/workbench/baths/new/", plan(crusted())), 422)
    assert "holds the soak “Tank by the door”" in page
    with pytest.raises(NotNow, match="holds the soak"):
        bath(crusted("Another"), vessel=crate)
    end_soak(held)
    load = start_load(bath(crusted("Third"), vessel=crate))
    with pytest.raises(SoakRefused, match="holds an acid bath"):
        start_soak(Soak(name="Too early", vessel=crate), [])
    other = start_soak(Soak(name="Elsewhere"), [])
    other.vessel = load.bath.vessel
    with pytest.raises(SoakRefused, match="holds an acid bath"):
        keep_soak(other, ["vessel"])


def test_far_too_much_acid_is_said_with_what_would_do(owner_client) -> None:
    find = crusted()
    planned = bath(find)
    here = f"/workbench/baths/{planned.pk}/"
    assert "Too much" not in html(owner_client.get(here))
    most = sums_of(planned, planned.members.all()).plan.bath.dissolves_g
    for grams, said in ((most / 5.9, False), (most / 6.1, True)):
        planned.members.update(growth_g=grams)
        assert ("Too much" in html(owner_client.get(here))) is said
    # filled as it says, half of the acid would still be in hand
    excess = sums_of(planned, planned.members.all()).excess
    assert excess and excess.acid_parts is None
    planned.fill_pct = excess.fill_pct
    enough = sums_of(planned, planned.members.all()).plan.bath.dissolves_g
    assert enough == pytest.approx(2 * most / 6.1, rel=0.01)


def test_a_fill_never_leaves_the_pieces_dry(owner_client) -> None:
    planned = bath(crusted())
    planned.members.update(growth_g=5)
    excess = sums_of(planned, planned.members.all()).excess
    shape = planned.vessel.shape
    assert shape.height_of(shape.volume_ml * excess.fill_pct / 100) == pytest.approx(68, abs=0.5)
    planned.fill_pct, planned.acid_parts = excess.fill_pct, excess.acid_parts
    planned.water_parts = 100 - excess.acid_parts
    assert sums_of(planned, planned.members.all()).plan.bath.dissolves_g == pytest.approx(10, rel=0.05)


def test_milder_acids_are_summed_beside_as_upper_bounds(owner_client) -> None:
    planned = bath(crusted())
    page = html(owner_client.get(f"/workbench/baths/{planned.pk}/"))
    assert "at the very most" in page and "slow down long before they are spent" in page
    assert "white crust" in page and "at 20 °C" in page


def test_the_first_look_comes_when_the_steps_say(owner_client) -> None:
    """The steps of a bath say 15, 30 and 60 minutes; the clock said two hours."""
    planned = bath(crusted())
    here = f"/workbench/baths/{planned.pk}/"
    assert 'name="from_minutes" value="15"' in html(owner_client.get(here))
    load = start_load(planned)
    assert load.next_look - load.began_at == timedelta(minutes=15)
