"""Who changed what of a find, and going back."""

from datetime import timedelta

import pytest

from catalogue.pages.finds.detail.changes import changes_of
from catalogue.specimens.models import Inscription, ObservedFeature, Specimen
from catalogue.specimens.services import Parts, keep_find
from tests import factories as make
from tests.specimens.derived_parts import found

pytestmark = pytest.mark.django_db


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


def test_changes_are_told_in_words(owner_client, find: Specimen) -> None:
    latest, first = changes_of(find)
    assert latest.lines[:3] == [
        "What it is: Squat soda → Squat soda <b>bottle</b>",
        "Marked for: Marrowby → Inchgate",
        "Notes: first → nothing",
    ]
    assert "Lettering removed: QUILL & SONS" in latest.lines
    assert "Seen removed: Crown cap finish, certain" in latest.lines
    assert "Seen added: Crown cap finish, doubtful" in latest.lines
    assert "Mark reading added: BW 7" in latest.lines
    assert first.lines[0] == "Recorded"
    html = owner_client.get(f"{find.get_absolute_url()}changes/").content.decode()
    assert "&lt;b&gt;bottle&lt;/b&gt;" in html
    assert html.count("<h1") == 1


def test_one_press_of_a_button_is_one_change(find: Specimen) -> None:
    assert len(changes_of(find)) == 2


def test_who_is_named(owner_client, find: Specimen) -> None:
    step_back(find, seconds=3600)
    owner_client.post(f"/workbench/{find.number}/stage/", {"stage": "soaking"})
    latest = changes_of(find)[0]
    assert (latest.who, latest.lines) == ("You", ["Stage: wet → soaking"])


def test_going_back_first_says_what_it_would_change(owner_client, find: Specimen) -> None:
    first = changes_of(find)[-1]
    html = owner_client.get(f"{find.get_absolute_url()}changes/{first.moment}/").content.decode()
    for line in (
        "What it is: Squat soda &lt;b&gt;bottle&lt;/b&gt; → Squat soda",
        "Lettering again: QUILL &amp; SONS",
        "Mark reading no longer: BW 7",
    ):
        assert line in html, line
    assert Specimen.objects.get(pk=find.pk).town == find.town


def test_going_back_brings_the_description_back(owner_client, find: Specimen) -> None:
    first = changes_of(find)[-1]
    Specimen.objects.filter(pk=find.pk).update(standing="free", stage="done")
    address = f"{find.get_absolute_url()}changes/{first.moment}/"
    assert owner_client.post(address).status_code == 302
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
    rows = Specimen.history.count()
    owner_client.post(address)
    assert Specimen.history.count() == rows


def test_a_town_removed_since_does_not_stop_it(owner_client, find: Specimen) -> None:
    first = changes_of(find)[-1]
    make.Town.everything.get(name="Marrowby").delete()
    owner_client.post(f"{find.get_absolute_url()}changes/{first.moment}/")
    back = Specimen.objects.get(pk=find.pk)
    assert (back.what, back.town) == ("Squat soda", None)
    assert any("something since removed" in line for change in changes_of(back) for line in change.lines)


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


def test_the_changes_take_few_queries(owner_client, find: Specimen, django_assert_max_num_queries) -> None:
    """Session, user, find; its records; each of seven kinds of row; the towns named: 12."""
    with django_assert_max_num_queries(12):
        owner_client.get(f"{find.get_absolute_url()}changes/")
