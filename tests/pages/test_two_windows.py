"""Optimistic lock: what one window saved stays, and a second one that was open meanwhile is told."""

import datetime
import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from catalogue.care.models import ConditionReport, Damage, Treatment
from catalogue.care.services import report_condition, start_soak
from catalogue.common.forms.base import CHANGED_MEANWHILE
from catalogue.common.models import HouseSettings
from catalogue.photos.models import Photo
from catalogue.sites.models import Permission
from catalogue.specimens.services import Parts, keep_find
from tests import factories
from tests.care import makers as bench
from tests.posted import forms_in, opened

FACTS: dict[str, Any] = {
    "sha256": "a" * 64,
    "format": "JPEG",
    "bytes": 9,
    "width": 4,
    "height": 3,
    "original_name": "a.jpg",
}


@dataclass(frozen=True, slots=True)
class Editing:
    """The page of a form on a record, and two of its fields, each with two values to type.

    `stored` says what of the record the two fields stand for.
    """

    record: Any
    page: str
    one: tuple[str, str, str]
    two: tuple[str, str, str]
    action: str = ""
    stored: Callable[[Any, str], Any] = lambda record, name: getattr(record, name)


def site() -> Editing:
    site = factories.site(notes="as it was")
    page = f"{site.get_absolute_url()}edit/"
    return Editing(site, page, ("notes", "mine", "yours"), ("bottom", "silt", "rock"))


def dive() -> Editing:
    dive = factories.dive(notes="as it was")
    page = f"{dive.get_absolute_url()}edit/"
    return Editing(dive, page, ("notes", "mine", "yours"), ("minutes", "33", "44"), stored=as_typed)


def buddies() -> Editing:
    dive = factories.dive()
    dive.buddies.add(factories.person("Ansel Quick"))

    def stored(record: Any, name: str) -> str:
        return ", ".join(p.name for p in record.buddies.all()) if name == "buddies_named" else record.notes

    page = f"{dive.get_absolute_url()}edit/"
    one = ("buddies_named", "Ida Marl", "Orrin Vale")
    return Editing(dive, page, one, ("notes", "mine", "yours"), stored=stored)


def person() -> Editing:
    person = factories.person()
    return Editing(person, f"/people/{person.pk}/", ("notes", "mine", "yours"), ("reach", "pier", "quay"))


def place() -> Editing:
    place = factories.place()
    page = f"/shelves/{place.pk}/edit/"
    return Editing(place, page, ("notes", "mine", "yours"), ("name", "Back hall", "Front hall"))


def permission() -> Editing:
    site = factories.site()
    asked = Permission.objects.create(site=site, basis="owner", asked_on=datetime.date(2024, 5, 1))
    page = f"{site.get_absolute_url()}permission/{asked.pk}/"
    return Editing(asked, page, ("conditions", "mine", "yours"), ("authority", "Harbour", "Parish"))


def town() -> Editing:
    town = factories.town()
    page = f"/towns/{town.slug}/edit/"
    return Editing(town, page, ("notes", "mine", "yours"), ("region", "North", "South"))


def bottler() -> Editing:
    bottler = factories.bottler()
    page = f"/bottlers/{bottler.slug}/edit/"
    return Editing(bottler, page, ("notes", "mine", "yours"), ("from_year", "1901", "1902"), stored=as_typed)


def product() -> Editing:
    product = factories.product()
    page = f"/products/{product.slug}/edit/"
    return Editing(product, page, ("notes", "mine", "yours"), ("contents", "soda", "beer"))


def maker() -> Editing:
    maker = factories.brackwater()
    page = f"{maker.get_absolute_url()}edit/"
    return Editing(maker, page, ("notes", "mine", "yours"), ("source", "a letter", "a book"))


def mark_of_a_maker() -> Editing:
    maker = factories.brackwater()

    def stored(record: Any, name: str) -> str:
        return record.own_marks.get().note if name.startswith("marks") else record.notes

    page = f"{maker.get_absolute_url()}edit/"
    one = ("marks-0-note", "mine", "yours")
    return Editing(maker, page, one, ("notes", "my words", "your words"), stored=stored)


def picture() -> Editing:
    photo = Photo.objects.create(find=factories.find(), **FACTS)
    page = f"/photos/{photo.pk}/words/"
    return Editing(photo, page, ("caption", "mine", "yours"), ("credit", "Ansel", "Ida"))


def house() -> Editing:
    settings = HouseSettings(owner_name="Ansel", ask_line="At the pier")
    settings.save()
    one = ("owner_name", "mine", "yours")
    return Editing(settings, "/settings/house/", one, ("ask_line", "At the quay", "By telephone"))


def vessel() -> Editing:
    tub = bench.tub()
    page = f"/workbench/vessels/{tub.pk}/"
    return Editing(tub, page, ("notes", "mine", "yours"), ("name", "Pail", "Crate"))


def rings_of_a_vessel() -> Editing:
    tub = bench.tub()

    def stored(record: Any, name: str) -> str:
        return ", ".join(str(mark.ml) for mark in record.marks.all()) if name == "rings" else record.notes

    page = f"/workbench/vessels/{tub.pk}/"
    one = ("rings", "4000, 8000", "5000, 9000")
    return Editing(tub, page, one, ("notes", "mine", "yours"), stored=stored)


def tool() -> Editing:
    tool = bench.tool()
    page = f"/workbench/kit/{tool.pk}/"
    return Editing(tool, page, ("how", "mine", "yours"), ("name", "Soft brush", "Stiff brush"))


def planned_bath() -> Editing:
    bath = bench.bath(bench.crusted())
    page = f"/workbench/baths/{bath.pk}/change/"
    one = ("strength_label", "30 %", "20 %")
    return Editing(bath, page, one, ("fill_pct", "70", "60"), stored=as_typed)


def soak() -> Editing:
    soak = start_soak(bench.soak(), [])
    page = f"/workbench/soaks/{soak.pk}/rule/"
    return Editing(soak, page, ("note", "mine", "yours"), ("name", "Red crate", "Green crate"))


def treatment() -> Editing:
    find = factories.find()
    begun = timezone.now() - datetime.timedelta(days=2)
    done = Treatment.objects.create(find=find, method="soap-brush", begun=begun, tools="a wire")
    page = f"/workbench/{find.number}/treatment/{done.pk}/"
    return Editing(done, page, ("note", "mine", "yours"), ("strength", "thin", "thick"))


def condition() -> Editing:
    find = factories.find()
    report = ConditionReport(find=find, on=datetime.date(2024, 5, 1), grade="sound")
    report_condition(report, [Damage(kind="chip", part="lip", extent="little")])
    page = f"/workbench/{find.number}/condition/{report.pk}/"
    return Editing(report, page, ("note", "mine", "yours"), ("grade", "worn", "damaged"))


def damage_in_a_report() -> Editing:
    made = condition()

    def stored(record: Any, name: str) -> str:
        return str(record.damages.get().note) if name.startswith("damage") else str(record.note)

    one = ("damage-0-note", "mine", "yours")
    return Editing(made.record, made.page, one, ("note", "my words", "your words"), stored=stored)


def work_queue() -> Editing:
    find = factories.find("Unread bottle")
    return Editing(find, "/finds/next/", ("notes", "mine", "yours"), ("colour", "aqua", "amber"))


def as_typed(record: Any, name: str) -> str:
    return str(getattr(record, name) or "")


EDITING: dict[str, Callable[[], Editing]] = {
    made.__name__: made
    for made in (
        *(site, dive, buddies, person, place, permission, town, bottler, product, maker, mark_of_a_maker),
        *(picture, house, vessel, rings_of_a_vessel, tool, planned_bath, soak, work_queue),
        *(treatment, condition, damage_in_a_report),
    )
}


@pytest.fixture(params=EDITING)
def editing(request: pytest.FixtureRequest, db: None, data_folder: Path) -> Editing:
    return EDITING[request.param]()


def stored(editing: Editing) -> tuple[Any, Any]:
    record = type(editing.record)._base_manager.get(pk=editing.record.pk)
    return editing.stored(record, editing.one[0]), editing.stored(record, editing.two[0])


def test_two_windows_on_different_fields_keep_both(owner_client: Client, editing: Editing) -> None:
    (one, mine, _), (two, yours, _) = editing.one, editing.two
    address, first = opened(owner_client, editing.page, editing.action, **{one: mine})
    _, second = opened(owner_client, editing.page, editing.action, **{two: yours})
    assert owner_client.post(address, first).status_code == 302
    told = owner_client.post(address, second)
    page = told.content.decode()
    assert told.status_code == 422 and CHANGED_MEANWHILE in page
    assert stored(editing)[0] == mine
    # The page as it is shown now, sent as it is: both are kept.
    again = opened_from(page, editing)
    assert again[two] == [yours] and again[one] == [mine]
    assert owner_client.post(address, again).status_code == 302
    assert stored(editing) == (mine, yours)


def test_two_windows_on_one_field_leave_the_choice_to_the_second(
    owner_client: Client, editing: Editing
) -> None:
    name, mine, yours = editing.one
    address, first = opened(owner_client, editing.page, editing.action, **{name: mine})
    _, second = opened(owner_client, editing.page, editing.action, **{name: yours})
    owner_client.post(address, first)
    told = owner_client.post(address, second)
    page = told.content.decode()
    assert told.status_code == 422 and CHANGED_MEANWHILE in page and f"Meanwhile it says: {mine}." in page
    assert stored(editing)[0] == mine
    again = opened_from(page, editing)
    assert again[name] == [yours]
    assert owner_client.post(address, again).status_code == 302
    assert stored(editing)[0] == yours


def test_the_same_words_in_both_windows_are_no_conflict(owner_client: Client, editing: Editing) -> None:
    name, mine, _ = editing.one
    address, first = opened(owner_client, editing.page, editing.action, **{name: mine})
    _, second = opened(owner_client, editing.page, editing.action, **{name: mine})
    assert [owner_client.post(address, sent).status_code for sent in (first, second)] == [302, 302]


def test_only_what_was_typed_is_written(owner_client: Client, editing: Editing) -> None:
    name, mine, _ = editing.one
    history = getattr(editing.record, "history", None)
    before = history.count() if history is not None else 0
    address, values = opened(owner_client, editing.page, editing.action, **{name: mine})
    assert owner_client.post(address, values).status_code == 302
    if history is not None and history.count() > before:
        latest, earlier = history.all()[:2]
        assert set(latest.diff_against(earlier).changed_fields) <= {name, "path"}


def opened_from(page: str, editing: Editing) -> dict[str, Any]:
    forms = forms_in(page)
    fitting = (values for said, values in forms if said.get("action", "").endswith(editing.action))
    return next(values for values in fitting if editing.one[0] in values)


@pytest.mark.parametrize("version", ["", "12", "name", "name:x,:,notes:", "a" * 9000])
def test_a_version_that_cannot_be_read_keeps_nothing_back(
    owner_client: Client, db: None, version: str
) -> None:
    site = factories.site()
    values = opened(owner_client, f"{site.get_absolute_url()}edit/", bottom="silt")[1]
    answer = owner_client.post(f"{site.get_absolute_url()}edit/", values | {"seen": version})
    assert answer.status_code in (302, 422)


def test_letters_typed_beside_a_mark_that_came_meanwhile_are_not_dropped(
    owner_client: Client, db: None
) -> None:
    find = factories.find("Unread bottle")
    values = opened(owner_client, "/finds/next/", letters="TH", notes="mine")[1]
    keep_find(find, Parts(readings=[factories.reading("BW")]))
    answer = owner_client.post("/finds/next/", values)
    page = answer.content.decode()
    assert answer.status_code == 422 and "What you typed is “TH”" in page and "BW" in page
    assert "mine" in page and find.readings.count() == 1


def test_what_is_typed_beside_the_pieces_of_a_bath_in_two_windows(owner_client: Client, db: None) -> None:
    one, two = bench.crusted("Soda bottle"), bench.crusted("Ink bottle")
    bath = bench.bath(one, two)
    grown = {member.find_id: f"growth-{member.pk}" for member in bath.members.all()}
    page = f"/workbench/baths/{bath.pk}/"
    address = f"{page}note/"
    values = forms_of(owner_client, page)
    owner_client.post(address, values | {grown[one.pk]: "40"})
    told = owner_client.post(address, values | {grown[one.pk]: "70", grown[two.pk]: "25"}, follow=True)
    assert "Another page wrote “40 g” meanwhile. Yours was “70”." in told.content.decode()
    assert {m.find_id: str(m.growth_g) for m in bath.members.all()} == {one.pk: "40.0", two.pk: "25.0"}


def forms_of(client: Client, page: str) -> dict[str, str]:
    """The boxes that say by `form=` that they belong to the form of the notes, as they were shown."""
    html = client.get(page).content.decode()
    found = re.findall(r'<input[^>]*form="notes" name="([^"]+)" value="([^"]*)"', html)
    assert len(found) >= 4
    return dict(found)


def test_what_pictures_show_in_two_windows(owner_client: Client, db: None, data_folder: Path) -> None:
    find = factories.find()
    one, two = (Photo.objects.create(find=find, **FACTS | {"sha256": letter * 64}) for letter in "ab")
    page = f"{find.get_absolute_url()}?arrange=yes"
    address, first = opened(owner_client, page, f"roles/?find={find.pk}", **{f"role-{one.pk}": "base"})
    second = opened(owner_client, page, f"roles/?find={find.pk}", **{f"role-{two.pk}": "after"})[1]
    third = second | {f"role-{one.pk}": "before"}
    for sent in (first, second):
        owner_client.post(address, sent)
    assert {p.pk: p.role for p in Photo.objects.all()} == {one.pk: "base", two.pk: "after"}
    told = owner_client.post(address, third, follow=True).content.decode()
    assert "Another page said meanwhile that a picture shows: base. Yours was: before." in told
    assert {p.pk: p.role for p in Photo.objects.all()} == {one.pk: "base", two.pk: "after"}


def test_what_was_looked_for_before_acid_in_two_windows(owner_client: Client, db: None) -> None:
    find = factories.find()
    page = f"/workbench/{find.number}/"
    address, first = opened(owner_client, page, "look/", found=["crack"])
    second = opened(owner_client, page, "look/", found=["metal"])[1]
    owner_client.post(address, first)
    told = owner_client.post(address, second, follow=True).content.decode()
    assert "Another page ticked meanwhile, and that stays: crack" in told
    assert set(find.checks.first().found) == {"crack", "metal"}
    # What was shown as ticked can be cleared.
    address, cleared = opened(owner_client, page, "look/", found=["metal"])
    owner_client.post(address, cleared)
    assert find.checks.first().found == ["metal"]


def test_nothing_there_does_not_undo_what_another_window_ticked(owner_client: Client, db: None) -> None:
    find = factories.find()
    address, first = opened(owner_client, f"/workbench/{find.number}/", "look/", found=["crack"])
    second = opened(owner_client, f"/workbench/{find.number}/", "look/", nothing="1")[1]
    owner_client.post(address, first)
    owner_client.post(address, second)
    assert find.checks.first().found == ["crack"]


def test_a_note_on_a_step_that_was_ticked_off_meanwhile_is_not_lost(owner_client: Client, db: None) -> None:
    find = factories.find(look="growth")
    page = f"/workbench/{find.number}/growth-kept/"
    owner_client.post(page, {"step": "soak", "act": "begin"})
    owner_client.post(page, {"step": "soak", "act": "done", "note": "cold water"})
    told = owner_client.post(page, {"step": "soak", "act": "done", "note": "warm"}, follow=True)
    assert "ticked off meanwhile" in told.content.decode() and "“warm”" in told.content.decode()
    assert find.work_steps.get().note == "cold water"


def test_a_tool_put_away_comes_back_from_its_notice(owner_client: Client, db: None) -> None:
    tool = bench.tool()
    address = f"/workbench/kit/{tool.pk}/away/"
    for _ in range(2):  # the second tap is no error
        told = owner_client.post(address, follow=True)
        assert told.status_code == 200
    assert f'action="/bin/tool/{tool.pk}/back/"' in told.content.decode()
    answer = owner_client.post(f"/bin/tool/{tool.pk}/back/")
    assert answer.url == f"/workbench/kit/{tool.pk}/"
    tool.refresh_from_db()
    assert tool.binned_at is None


def test_a_move_in_two_windows(owner_client: Client, db: None) -> None:
    hall, attic, shed = (factories.place(name) for name in ("Hall", "Attic", "Shed"))
    find = factories.find(place=hall)
    page = find.get_absolute_url()
    address, first = opened(owner_client, page, "move/", place=str(attic.pk))
    second = opened(owner_client, page, "move/", place=str(shed.pk), why="damp")[1]
    owner_client.post(address, first)
    told = owner_client.post(address, second)
    shown = told.content.decode()
    assert told.status_code == 422 and "Meanwhile it says: Attic." in shown and "damp" in shown
    find.refresh_from_db()
    assert find.place == attic
    again = next(values for said, values in forms_in(shown) if said.get("action", "").endswith("move/"))
    assert owner_client.post(address, again).status_code == 302
    find.refresh_from_db()
    assert find.place == shed
