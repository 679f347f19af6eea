"""Who changed what of a find, and going back."""

import re
from datetime import date, timedelta

import pytest
from django.db.models import F

from catalogue.care.services import begin_step, note_look
from catalogue.care.services.treatments import growth_steps
from catalogue.giving.services import came_back, hand_over, promise, withdraw
from catalogue.pages.parts.history import HistoryChange, history_changes
from catalogue.pages.parts.history_kinds import HISTORY_KINDS
from catalogue.specimens.models import Inscription, KnownYears, ObservedFeature, Specimen
from catalogue.specimens.services import Parts, keep_find
from tests import factories as make
from tests.posted import forms_in
from tests.specimens.derived_parts import found

pytestmark = pytest.mark.django_db
UNDO = re.compile(r'action="(/history/find/[^"]+/undo/[^"]+)"')


@pytest.fixture
def find() -> Specimen:
    """Recorded with a crown; some time later the crown is doubtful, the name and the town are others."""
    town, other = make.town("Marrowby"), make.town("Inchgate")
    find = make.find(
        "Squat soda",
        Parts(
            features=[ObservedFeature(feature="crown-finish")],
            inscriptions=[Inscription(text="QUILL & SONS")],
            readings=[make.reading("BW", right="6")],
        ),
        town=town,
        notes="first",
    )
    step_back(find, seconds=3600)
    find.what, find.town, find.notes = "Squat soda <b>bottle</b>", other, ""
    keep_find(
        find,
        Parts(
            features=[ObservedFeature(feature="crown-finish", certainty="doubtful")],
            inscriptions=[],
            readings=[make.reading("BW", right="7")],
        ),
        fields=["what", "town", "notes"],
    )
    return Specimen.objects.get(pk=find.pk)


def step_back(find: Specimen, *, seconds: int) -> None:
    """Make everything on record so far that much older, so that what follows is another change."""
    for rows in (
        Specimen.history.filter(id=find.pk),
        Inscription.history.filter(find_id=find.pk),
        ObservedFeature.history.filter(find_id=find.pk),
        find.readings.model.history.filter(find_id=find.pk),
    ):
        for record in rows:
            record.history_date -= timedelta(seconds=seconds)
            record.save(update_fields=["history_date"])


def changes_of(find: Specimen) -> list[HistoryChange]:
    return history_changes(HISTORY_KINDS["find"], find.pk)


def lines(change: HistoryChange) -> list[str]:
    return [f"{each.name}: {each.was} → {each.now}" for each in change.fields] + change.said


def go_back(client, address: str, **follow):
    """Press the button of the preview."""
    forms = forms_in(client.get(address).content.decode())
    return client.post(address, next(values for _, values in forms if "version" in values), **follow)


def test_changes_are_told_in_words(owner_client, find: Specimen) -> None:
    latest, first = changes_of(find)
    assert lines(latest)[:3] == [
        "What it is: Squat soda → Squat soda <b>bottle</b>",
        "Marked for: Marrowby → Inchgate",
        "Notes: first → nothing",
    ]
    assert "Lettering removed: QUILL & SONS" in latest.said
    assert "Seen removed: Crown cap finish, certain" in latest.said
    assert "Seen added: Crown cap finish, doubtful" in latest.said
    assert "Mark reading added: BW 7" in latest.said
    assert first.said[0] == "Recorded"
    html = owner_client.get(f"{find.get_absolute_url()}changes/").content.decode()
    assert "&lt;b&gt;bottle&lt;/b&gt;" in html
    assert html.count("<h1") == 1


def test_one_press_of_a_button_is_one_change(find: Specimen) -> None:
    assert len(changes_of(find)) == 2


def test_who_is_named(owner_client, find: Specimen) -> None:
    step_back(find, seconds=3600)
    owner_client.post(f"/workbench/{find.number}/stage/", {"stage": "soaking"})
    latest = changes_of(find)[0]
    assert (latest.who, lines(latest)) == ("You", ["Stage: wet → soaking"])


def test_going_back_first_says_what_it_would_change(owner_client, find: Specimen) -> None:
    first = changes_of(find)[-1]
    html = owner_client.get(f"{find.get_absolute_url()}changes/{first.moment}/").content.decode()
    for line in (
        "<dt>What it is</dt><dd><del>Squat soda &lt;b&gt;bottle&lt;/b&gt;</del>",
        "Lettering again: QUILL &amp; SONS",
        "Mark reading no longer: BW 7",
    ):
        assert line in html, line
    assert Specimen.objects.get(pk=find.pk).town == find.town


def test_going_back_brings_the_description_back(owner_client, find: Specimen) -> None:
    first = changes_of(find)[-1]
    Specimen.objects.filter(pk=find.pk).update(standing="free", stage="done")
    address = f"{find.get_absolute_url()}changes/{first.moment}/"
    assert go_back(owner_client, address).status_code == 302
    back = Specimen.objects.get(pk=find.pk)
    assert (back.what, str(back.town), back.notes) == ("Squat soda", "Marrowby", "first")
    assert [i.text for i in back.inscriptions.all()] == ["QUILL & SONS"]
    assert [f.certainty for f in back.features.all()] == ["certain"]
    assert [r.right for r in back.readings.all()] == ["6"]
    # where it stands now is no part of its description
    assert (back.standing, back.stage) == ("free", "done")
    assert found("inchgate") == []
    # and that too can be undone
    assert len(changes_of(back)) >= 2
    assert "Nothing that can go back differs" in owner_client.get(address).content.decode()


def test_a_town_removed_since_does_not_stop_it(owner_client, find: Specimen) -> None:
    first = changes_of(find)[-1]
    make.Town.everything.get(name="Marrowby").delete()
    address = f"{find.get_absolute_url()}changes/{first.moment}/"
    assert "Marked for: what stood there is gone for good" in owner_client.get(address).content.decode()
    go_back(owner_client, address)
    back = Specimen.objects.get(pk=find.pk)
    assert (back.what, str(back.town)) == ("Squat soda", "Inchgate")
    assert any("something since removed" in line for change in changes_of(back) for line in lines(change))


def test_what_was_changed_since_the_preview_is_not_overwritten(owner_client, find: Specimen) -> None:
    """A column, or only a row that belongs to it."""
    address = f"{find.get_absolute_url()}changes/{changes_of(find)[-1].moment}/"
    for change in (
        lambda: keep_find(find, fields=["notes"]),
        lambda: keep_find(find, Parts(inscriptions=[Inscription(text="T&H")]), fields=[]),
    ):
        (values,) = [v for _, v in forms_in(owner_client.get(address).content.decode()) if "version" in v]
        change()
        answer = owner_client.post(address, values)
        assert answer.status_code == 422
        assert "changed since this page was opened" in answer.content.decode()
        assert Specimen.objects.get(pk=find.pk).what != "Squat soda"


def test_going_back_is_undone_from_its_notice(owner_client, find: Specimen) -> None:
    page = go_back(
        owner_client, f"{find.get_absolute_url()}changes/{changes_of(find)[-1].moment}/", follow=True
    )
    undo = UNDO.search(page.content.decode())
    assert undo
    said = owner_client.post(undo[1], follow=True).content.decode()
    assert "is as it was before" in said
    back = Specimen.objects.get(pk=find.pk)
    assert (back.what, str(back.town)) == ("Squat soda <b>bottle</b>", "Inchgate")
    assert list(back.inscriptions.all()) == []
    assert [r.right for r in back.readings.all()] == ["7"]
    assert "changed again since" in owner_client.post(undo[1], follow=True).content.decode()


def test_an_edit_is_undone_from_its_notice_and_says_what_stays(owner_client, find: Specimen) -> None:
    """The form writes columns, rows and the place; the place is an act of its own."""
    address = f"{find.get_absolute_url()}edit/"
    (values,) = [v for _, v in forms_in(owner_client.get(address).content.decode()) if "what" in v]
    text = next(name for name in values if name.endswith("-0-text"))
    typed = {"what": "Jar", "new_place": "Cellar", text: "HALE"}
    page = owner_client.post(address, {**values, **typed}, follow=True).content.decode()
    find.refresh_from_db()
    assert (find.what, find.place.name) == ("Jar", "Cellar")
    assert [each.text for each in find.inscriptions.all()] == ["HALE"]
    undo = UNDO.search(page)
    assert undo
    assert "as it was before, but for its place" in owner_client.post(undo[1], follow=True).content.decode()
    find.refresh_from_db()
    assert (find.what, find.place.name) == ("Squat soda <b>bottle</b>", "Cellar")
    assert list(find.inscriptions.all()) == []


def test_the_address_of_all_histories_leads_to_it(owner_client, find: Specimen) -> None:
    answer = owner_client.get(f"/history/find/{find.pk}/")
    assert answer["Location"] == f"{find.get_absolute_url()}changes/"
    moment = changes_of(find)[-1].moment
    answer = owner_client.get(f"/history/find/{find.pk}/{moment}/")
    assert answer["Location"] == f"{find.get_absolute_url()}changes/{moment}/"


@pytest.mark.parametrize("stamp", ["0", "1", "99999999999999999999999999", "x"])
def test_a_time_of_which_nothing_is_known(owner_client, find: Specimen, stamp: str) -> None:
    for send in (owner_client.get, owner_client.post):
        assert send(f"{find.get_absolute_url()}changes/{stamp}/").status_code == 404


def test_no_such_find_and_wrong_method(owner_client, find: Specimen) -> None:
    assert owner_client.get("/finds/2025.9.9/changes/").status_code == 404
    assert owner_client.get("/finds/2025.9.9/changes/5/").status_code == 404
    assert owner_client.post(f"{find.get_absolute_url()}changes/").status_code == 405
    assert owner_client.put(f"{find.get_absolute_url()}changes/5/").status_code == 405


def test_a_visitor_may_not(client, find: Specimen) -> None:
    Specimen.objects.filter(pk=find.pk).update(shared=True)
    first = changes_of(find)[-1]
    for address in ("changes/", f"changes/{first.moment}/"):
        assert client.get(find.get_absolute_url() + address)["Location"].startswith("/enter/")
    client.post(f"{find.get_absolute_url()}changes/{first.moment}/")
    assert Specimen.objects.get(pk=find.pk).town == find.town


def test_promises_hand_overs_looks_and_steps_are_told(owner_client, find: Specimen) -> None:
    bram = make.person("Bram Tolley")
    promise(find, bram, until=date(2099, 1, 1))
    withdraw(find)
    note_look(find, ["unknown_contents"], in_passing=True)
    begin_step(find, next(iter(growth_steps())), reason="Looked at by somebody who knows.")
    hand_over(find, bram, reason="Emptied and rinsed at the shore.")
    came_back(Specimen.objects.get(pk=find.pk))
    told = [line for change in changes_of(find) for line in change.said]
    for words in (
        "Promise added: Bram Tolley",
        "Promise changed: ended: nothing → withdrawn",
        "Look for hazards added: ",
        "Step added: ",
        "Hand-over added: Bram Tolley",
        "Hand-over changed: came back on: nothing → ",
    ):
        assert any(line.startswith(words) for line in told), (words, told)
    page = owner_client.get(f"{find.get_absolute_url()}changes/").content.decode()
    assert "unknown_contents" not in page and "in passing" in page


def test_the_changes_take_few_queries(owner_client, find: Specimen, django_assert_max_num_queries) -> None:
    """Session, user, find; its records; each of eleven kinds of row; the towns named: 16."""
    with django_assert_max_num_queries(16):
        owner_client.get(f"{find.get_absolute_url()}changes/")


def test_a_row_that_says_the_same_in_few_words_goes_back_too(owner_client) -> None:
    """Known years by their name alone, a feature without its note, a reading without its frame."""
    find = make.find(
        "Squat soda",
        Parts(
            features=[ObservedFeature(feature="crown-finish", note="worn")],
            readings=[make.reading("BW", frame="none")],
            known=[KnownYears(what="bottler in business", from_year=1884, certainty="certain")],
        ),
    )
    step_back(find, seconds=3600)
    KnownYears.history.update(history_date=F("history_date") - timedelta(seconds=3600))
    first = changes_of(find)[-1].moment
    keep_find(
        find,
        Parts(
            features=[ObservedFeature(feature="crown-finish", note="sharp")],
            readings=[make.reading("BW", frame="circle")],
            known=[KnownYears(what="bottler in business", from_year=1901, certainty="certain")],
        ),
        fields=[],
    )
    address = f"/finds/{find.number}/changes/{first}/"
    page = owner_client.get(address).content.decode()
    assert "note: sharp → worn" in page and "frame: circle → none" in page and "1901 → 1884" in page
    (values,) = [values for _, values in forms_in(page) if "version" in values]
    owner_client.post(address, values)
    assert (find.features.get().note, find.readings.get().frame) == ("worn", "none")
    assert find.known_years.get().from_year == 1884
