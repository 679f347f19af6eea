"""The next like it: what it shares is carried over and said, what was seen on the glass is not."""

import pytest
from django.utils import timezone

from catalogue.care.models import ConditionReport
from catalogue.pages.finds.form.sheet import RecordSheet
from catalogue.pages.finds.form.start import start_new
from catalogue.specimens.models import Specimen

from .record_form import filled, reading

pytestmark = pytest.mark.django_db

# Everything that a form can hold of what was seen on the glass, or measured on the piece.
SEEN: dict[str, str] = {
    "colour": "aqua",
    "contents": "soda",
    "region": "US",
    "town": "Marrowby",
    "bottler": "Quill & Sons",
    "product": "Old Ferry ginger beer",
    "height_mm": "241",
    "diameter_mm": "66",
    "base_mm": "62.5",
    "bore_mm": "17",
    "mass_g": "510",
    "capacity_ml": "280",
}
# What was noted of that one piece alone.
ITS_OWN: dict[str, str] = {
    "notes": "two bubbles in the neck",
    "story": "found by the stairs",
    "field_tag": "T-4",
    "older_numbers": "61",
    "lie": "upright",
    "found_with": "a boot",
    "depth_m": "9",
}
SHARED: dict[str, str] = {
    "what": "aqua soda bottle",
    "kind": "soda",
    "look": "near-new",
    "stage": "soaking",
    "where_on_site": "under the stairs",
}


@pytest.fixture
def first(owner_client):
    """A find with all of that, its condition written down."""
    data = filled(
        **SEEN,
        **ITS_OWN,
        **{name: word for name, word in SHARED.items() if name not in ("what", "stage")},
        new_place="Hall case",
        pick="new",
        new_site="Tallow Cove",
        date=timezone.localdate().isoformat(),
        act="another",
        readings=[reading(letters="LG", right="69", frame="circle")],
        lettering=[{"text": "QUILL & SONS", "where": "body", "how": "embossed", "says": "bottler"}],
        known=[{"what": "bottler listed", "from_year": "1960", "certainty": "certain"}],
        **{"made-lip-shape": "crown-finish", "made-inscription": ["not-to-be-sold"]},
    ) | {"stage": "soaking"}
    answer = owner_client.post("/finds/new/", data)
    assert answer.status_code == 302, answer.context["problems"]
    find = Specimen.objects.get()
    assert answer["Location"] == f"/finds/new/?like={find.number}"
    ConditionReport.objects.create(find=find, grade="worn", on=timezone.localdate())
    return find


def like(owner_client, find):
    return owner_client.get(f"/finds/new/?like={find.number}")


def test_what_it_shares_is_carried_over_and_said(owner_client, first):
    page = like(owner_client, first)
    form, dive = page.context["form"], page.context["dive"]
    assert {name: form[name].value() for name in SHARED} == SHARED
    assert form["place"].value() == first.place_id
    assert dive["pick"].value() == str(first.dive_id)
    assert page.context["carried"] == [
        "dive",
        "site",
        "where on the site",
        "name",
        "kind",
        "look aimed at",
        "how far along",
        "place",
    ]
    assert "Nothing that was seen on that glass" in page.content.decode()


def test_nothing_seen_on_the_glass_is_carried_over(owner_client, first):
    page = like(owner_client, first)
    sheet = page.context["sheet"]
    empty = {name: sheet.find_form[name].value() for name in (*SEEN, *ITS_OWN)}
    assert {name: value for name, value in empty.items() if value} == {}
    for rows in sheet.sets.values():
        assert [form.initial for form in rows] == [{}]
    assert not sheet.start.seen and not page.context["questions"]
    # nothing that dates: the years start from nothing
    assert page.context["answer"].words == "not yet dated"
    # What it shares alone dates it no more than an empty form.
    assert sheet.evidence().case() == RecordSheet(start_new()).evidence().case()


def test_saved_as_it_starts_it_has_no_evidence_and_no_condition(owner_client, first):
    page = like(owner_client, first)
    form, dive = page.context["form"], page.context["dive"]
    data = {name: form[name].value() or "" for name in form.fields} | {"pick": dive["pick"].value()}
    answer = owner_client.post(f"/finds/new/?like={first.number}", data | {"once": "next"})
    assert answer.status_code == 302, answer.context["problems"]
    second = Specimen.objects.exclude(pk=first.pk).get()
    rows = (second.readings, second.inscriptions, second.features, second.known_years)
    assert [kind.count() for kind in rows] == [0, 0, 0, 0]
    assert not second.condition_reports.exists() and not second.photos.exists()
    assert (second.town, second.bottler, second.product, second.maker) == (None, None, None, None)
    assert (second.dive, second.place, second.stage) == (first.dive, first.place, "soaking")


def test_without_a_dive_the_site_and_the_time_go_on(owner_client):
    data = filled(pick="unknown", loose_new_site="Tallow Cove", recovered="the 1990s")
    owner_client.post("/finds/new/", data)
    find = Specimen.objects.get()
    page = like(owner_client, find)
    assert page.context["dive"]["recovered"].value() == "199X"
    assert page.context["carried"][:2] == ["site", "when it came up"]
