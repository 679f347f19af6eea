"""A record put into the bin, or deleted for good, while its form stood open: nothing typed is lost."""

from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from django.http import HttpResponse
from django.test import Client

from catalogue.care.services import read_soak, start_soak
from catalogue.specimens.models import Specimen
from tests import factories
from tests.care import makers as bench
from tests.pages import test_two_windows as two
from tests.pages.test_two_windows import Editing
from tests.posted import forms_in, opened


def find() -> Editing:
    found = factories.find()
    page = f"{found.get_absolute_url()}edit/"
    return Editing(found, page, ("notes", "mine", "yours"), ("colour", "aqua", "amber"))


def soak_reading() -> Editing:
    soak = start_soak(bench.soak(), [])
    read = read_soak(soak, Decimal("450"))
    page = f"/workbench/soaks/{soak.pk}/readings/{read.pk}/"
    return Editing(read, page, ("note", "mine", "yours"), ("value", "440", "430"))


EDITING: dict[str, Callable[[], Editing]] = {
    made.__name__: made
    for made in (
        *(find, soak_reading, two.site, two.dive, two.person, two.place, two.permission, two.town),
        *(
            two.bottler,
            two.product,
            two.maker,
            two.picture,
            two.vessel,
            two.tool,
            two.treatment,
            two.condition,
        ),
    )
}


@pytest.fixture(params=EDITING)
def editing(request: pytest.FixtureRequest, db: None, data_folder: Path) -> Editing:
    return EDITING[request.param]()


def stored(editing: Editing) -> Any:
    return type(editing.record).everything.get(pk=editing.record.pk)


def form_again(answer: Any, name: str) -> dict[str, Any]:
    return next(values for _, values in forms_in(answer.content.decode()) if name in values)


def test_a_form_on_what_lies_in_the_bin_by_now_comes_back_and_is_saved_by_one_button(
    owner_client: Client, editing: Editing
) -> None:
    name, mine, _ = editing.one
    address, values = opened(owner_client, editing.page, **{name: mine})
    editing.record.put_in_bin()
    told = owner_client.post(address, values)
    page = told.content.decode()
    assert told.status_code == 422
    assert "This is in the bin since" in page and "take it out, then save" in page
    assert page.count('name="take-out"') == 1
    again = form_again(told, name)
    assert again[name] == [mine]
    assert stored(editing).binned_at
    # Saved without the button, it is told again.
    assert owner_client.post(address, again).status_code == 422
    kept = owner_client.post(address, again | {"take-out": "yes"})
    assert kept.status_code == 302
    after = stored(editing)
    assert after.binned_at is None and str(editing.stored(after, name)) == mine


def test_what_another_changed_before_binning_it_is_said_after_all(
    owner_client: Client, editing: Editing
) -> None:
    name, mine, yours = editing.one
    address, first = opened(owner_client, editing.page, **{name: mine})
    _, second = opened(owner_client, editing.page, **{name: yours})
    assert owner_client.post(address, first).status_code == 302
    stored(editing).put_in_bin()
    told = owner_client.post(address, second)
    assert told.status_code == 422
    if not isinstance(editing.record, Specimen):
        # A find is compared as it is saved, the others as they are checked.
        assert f"Meanwhile it says: {mine}." in told.content.decode()
        return
    told = owner_client.post(address, form_again(told, name) | {"take-out": "yes"})
    assert told.status_code == 422 and "changed while you had it open" in told.content.decode()
    found = stored(editing)
    assert str(editing.stored(found, name)) == mine and found.binned_at


def test_a_form_cannot_be_opened_on_what_lies_in_the_bin(owner_client: Client, db: None) -> None:
    place = factories.place()
    place.put_in_bin()
    answer = owner_client.get(f"/shelves/{place.pk}/edit/")
    assert answer.status_code == 404 and "is in the bin" in answer.content.decode()


def test_what_rests_on_something_in_the_bin_says_so(owner_client: Client, db: None) -> None:
    site = factories.site()
    dive = factories.dive(at=site)
    address, values = opened(owner_client, f"{dive.get_absolute_url()}edit/", notes="mine")
    dive.put_in_bin()
    site.put_in_bin()
    answer = owner_client.post(address, values | {"take-out": "yes"})
    page = answer.content.decode()
    assert answer.status_code == 422 and "is in the bin too" in page and "mine" in page
    dive.refresh_from_db()
    assert dive.binned_at


def test_with_a_mistake_in_a_field_it_stays_in_the_bin_until_it_is_saved(
    owner_client: Client, db: None
) -> None:
    place = factories.place()
    address, values = opened(owner_client, f"/shelves/{place.pk}/edit/", name="", notes="mine")
    place.put_in_bin()
    answer = owner_client.post(address, values | {"take-out": "yes"})
    place.refresh_from_db()
    assert answer.status_code == 422 and place.binned_at
    again = form_again(answer, "notes")
    assert again["notes"] == ["mine"]
    assert owner_client.post(address, again | {"name": "Hall"}).status_code == 302
    place.refresh_from_db()
    assert place.binned_at is None and (place.name, place.notes) == ("Hall", "mine")


def test_words_typed_on_what_is_gone_for_good_are_shown(owner_client: Client, db: None) -> None:
    place = factories.place()
    address, values = opened(owner_client, f"/shelves/{place.pk}/edit/", notes="third board, <at the back>")
    type(place).everything.filter(pk=place.pk).delete()
    answer = owner_client.post(address, values)
    page = answer.content.decode()
    assert answer.status_code == 404
    assert "is not here any more" in page and "third board, &lt;at the back&gt;" in page


def test_a_visitor_who_posts_anywhere_is_shown_no_words(client: Client, db: None) -> None:
    answer: HttpResponse = client.post("/finds/2020.1.1/nowhere/", {"notes": "mine"})
    assert "mine" not in answer.content.decode()
