"""Sizes by the setting: mm and g, or inches and oz; any unit can be typed, and an edit changes nothing."""

import re

import pytest

from catalogue.common.models import HouseSettings
from catalogue.specimens.models import Specimen

from .record_form import filled

pytestmark = pytest.mark.django_db
TYPED = {"height_mm": '9 1/2"', "diameter_mm": "2 13/16 in", "base_mm": "7 cm", "mass_g": "18 oz"}


def inches() -> None:
    HouseSettings(units="inch").save()


def kept(owner_client, **sizes: str) -> Specimen:
    answer = owner_client.post("/finds/new/", filled(**sizes))
    assert answer.status_code == 302, answer.context["problems"]
    return Specimen.objects.get()


def shown(owner_client, find: Specimen) -> dict[str, str]:
    form = owner_client.get(f"/finds/{find.number}/edit/").context["form"]
    return {name: form[name].value() for name in TYPED}


def test_any_unit_is_stored_in_mm_and_g(owner_client):
    find = kept(owner_client, **TYPED, capacity_ml="28 cl", depth_m="36 ft")
    sizes = (find.height_mm, find.diameter_mm, find.base_mm, find.mass_g, find.capacity_ml, find.depth_m)
    assert [f"{size:.1f}" for size in sizes] == ["241.3", "71.4", "70.0", "510.3", "280.0", "11.0"]
    assert shown(owner_client, find) == {
        "height_mm": "241.3 mm",
        "diameter_mm": "71.4 mm",
        "base_mm": "70 mm",
        "mass_g": "510.3 g",
    }


def test_in_inches_what_was_typed_comes_back_as_it_was_typed(owner_client):
    inches()
    find = kept(owner_client, height_mm='9 1/2"', diameter_mm="2 13/16", base_mm='2.76"', mass_g="18")
    assert shown(owner_client, find) == {
        "height_mm": '9 1/2"',
        "diameter_mm": '2 13/16"',
        "base_mm": '2.76"',
        "mass_g": "18 oz",
    }
    page = owner_client.get(find.get_absolute_url()).content.decode()
    assert "9 1/2&quot; high" in page
    assert "<dt>Mass</dt><dd>18 oz" in page


@pytest.mark.parametrize("setting", ["metric", "inch"])
def test_saving_an_edit_as_it_is_shown_changes_nothing(owner_client, setting):
    HouseSettings(units=setting).save()
    find = kept(owner_client, **TYPED)
    page = owner_client.get(f"/finds/{find.number}/edit/")
    form = page.context["form"]
    data = {name: form[name].value() for name in form.fields if form[name].value() not in (None, "")}
    answer = owner_client.post(f"/finds/{find.number}/edit/", data | {"what": "stone bottle"})
    assert answer.status_code == 302
    again = Specimen.objects.get()
    assert again.what == "stone bottle"
    assert [getattr(again, name) for name in TYPED] == [getattr(find, name) for name in TYPED]
    # Nor does the history say that a size was touched.
    first, last = again.history.earliest("history_id"), again.history.latest("history_id")
    assert not set(TYPED) & set(last.diff_against(first).changed_fields)


def test_the_same_size_in_other_words_is_no_change(owner_client):
    find = kept(owner_client, height_mm="241.3")
    form = owner_client.post(f"/finds/{find.number}/edit/", {"what": "", "height_mm": '9 1/2"'}).context[
        "form"
    ]
    assert "height_mm" not in form.changed_data


def test_what_cannot_be_read_is_told_by_its_box_and_stays(owner_client):
    answer = owner_client.post("/finds/new/", filled(height_mm="9 1/2"))
    assert answer.status_code == 422
    assert [(p.at, "Say the unit" in p.why) for p in answer.context["problems"]] == [("id_height_mm", True)]
    assert 'value="9 1/2"' in answer.content.decode()
    for typed, why in (("2 m", "more than 1500 mm"), ("0", "more than 0")):
        answer = owner_client.post("/finds/new/", filled(height_mm=typed))
        assert why in answer.context["problems"][0].why


def test_the_setting_is_kept_and_a_form_without_it_leaves_it(owner_client):
    owner_client.post("/settings/house/", {"units": "inch", "emergency_lines": "555 0100"})
    assert HouseSettings.current().units == "inch"
    page = owner_client.get("/settings/house/").content.decode()
    assert re.search(r'value="inch"[^>]* checked', page) and "555 0100" in page
    owner_client.post("/settings/house/", {"owner_name": "Velm", "emergency_lines": "555 0100"})
    assert (HouseSettings.current().units, HouseSettings.current().owner_name) == ("inch", "Velm")
    assert owner_client.post("/settings/house/", {"units": "cubits"}).status_code == 422


def test_empty_boxes_say_the_unit_of_a_bare_number(owner_client):
    assert 'placeholder="mm"' in owner_client.get("/finds/new/").content.decode()
    inches()
    page = owner_client.get("/finds/new/").content.decode()
    assert 'placeholder="in"' in page and 'placeholder="oz"' in page
