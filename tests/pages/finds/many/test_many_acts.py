"""Each act on many finds: shown, done as one step, undone as one step."""

from datetime import date

import pytest
from django.test import Client

from catalogue.care.models import Bath, BathMember, Soak, SoakMember
from catalogue.giving.models import Departure, Promise
from catalogue.specimens.derived import refresh
from catalogue.specimens.derived.redating import redate_stale, stale
from catalogue.specimens.models import Bottler, Move, PhraseChange, Specimen, Town
from catalogue.specimens.services import move_to
from catalogue.specimens.stored_answer import WAITING_WORDS
from tests import factories as make
from tests.care.makers import bath, soak
from tests.pages.finds.many.batches import choose, do, fresh, look, undo
from tests.specimens.derived_parts import agree, found

pytestmark = pytest.mark.django_db


@pytest.fixture
def three() -> list[Specimen]:
    return [make.find(what, kind="soda") for what in ("Aqua soda", "Amber beer", "Ink cone")]


def column_acts() -> dict[str, tuple[str, dict[str, str], object]]:
    return {
        "stage": ("stage", {"stage": "done"}, "done"),
        "standing": ("standing", {"standing": "free"}, "free"),
        "share": ("shared", {}, True),
        "words": ("notes", {"words": "crate by the door"}, "crate by the door"),
        "kind": ("kind", {"kind": "beer"}, "beer"),
    }


@pytest.mark.parametrize("act", column_acts())
def test_an_act_changes_all_and_its_undo_gives_back(
    owner_client: Client, three: list[Specimen], act: str
) -> None:
    column, fields, value = column_acts()[act]
    before = [getattr(find, column) for find in three]
    entries = [find.history.count() for find in three]
    key = choose(owner_client, *three, act=act)
    page = look(owner_client, key, act, **fields).content.decode()
    assert f"all {len(three)}" in page
    assert [getattr(find, column) for find in fresh(*three)] == before, "looked, not done"
    page = do(owner_client, key, act, **fields).content.decode()
    assert f'action="/finds/many/{key}/undo/"' in page
    assert [getattr(find, column) for find in fresh(*three)] == [value] * 3
    assert [find.history.count() for find in three] == [n + 1 for n in entries], "one entry each"
    assert "Undone: 3 pieces are as before." in undo(owner_client, key)
    assert [getattr(find, column) for find in fresh(*three)] == before
    assert "undone already" in undo(owner_client, key)


def test_moves_are_written_down_and_taken_back(owner_client: Client, three: list[Specimen]) -> None:
    hall, shed = make.place(), make.place("Shed")
    key = choose(owner_client, *three)
    do(owner_client, key, "move", place=hall.pk, why="sorted")
    assert list(Move.objects.values_list("to_place", "why")) == [(hall.pk, "sorted")] * 3
    assert len(found("hall case")) == 3, "search follows"
    again = choose(owner_client, *three)
    page = look(owner_client, again, "move", place=hall.pk).content.decode()
    assert "3 are so already" in page and "Move all" not in page
    do(owner_client, again, "move", place=shed.pk)
    undo(owner_client, again)
    assert [find.place for find in fresh(*three)] == [hall] * 3
    assert Move.objects.count() == 3
    assert "Undone" in undo(owner_client, key)
    assert [find.place for find in fresh(*three)] == [None] * 3 and not Move.objects.exists()


def test_a_town_is_read_as_it_was_moulded_and_made_only_when_it_is_done(
    owner_client: Client, three: list[Specimen]
) -> None:
    key = choose(owner_client, *three)
    page = look(owner_client, key, "town", name="MARROWBY").content.decode()
    assert "MARROWBY" in page and not Town.objects.exists()
    do(owner_client, key, "town", name="MARROWBY")
    assert {str(find.town) for find in fresh(*three)} == {"MARROWBY"}
    off = choose(owner_client, *three)
    do(owner_client, off, "town", name="-")
    assert {find.town for find in fresh(*three)} == {None}
    undo(owner_client, off)
    assert {str(find.town) for find in fresh(*three)} == {"MARROWBY"}
    Town.objects.get().put_in_bin()
    # its finds lead to it still, and are not changed: only going back to nothing is open
    assert "Undone: 3" in undo(owner_client, key)


def test_a_bottlers_years_date_all_its_pieces_anew(owner_client: Client, three: list[Specimen]) -> None:
    Bottler.objects.create(name="Quill & Sons", slug="quill", from_year=1904, to_year=1911, source="a bill")
    key = choose(owner_client, *three)
    do(owner_client, key, "bottler", name="quill & sons")
    assert {find.made_words for find in fresh(*three)} == {
        make.find(bottler=Bottler.objects.get()).made_words
    }
    assert "1904" in fresh(*three)[0].made_words
    assert fresh(*three)[0].history.first().made_words == fresh(*three)[0].made_words, "the history has it"
    undo(owner_client, key)
    assert {find.made_words for find in fresh(*three)} == {three[0].made_words}


def test_years_of_very_many_are_left_to_the_worker_and_say_so(
    owner_client: Client, three: list[Specimen], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(refresh, "DATED_AT_ONCE", 2)
    monkeypatch.setattr(refresh.worker, "running", True)
    Bottler.objects.create(name="Quill & Sons", slug="quill", from_year=1904, to_year=1911, source="a bill")
    before = {find.made_words for find in fresh(*three)}
    key = choose(owner_client, *three)
    page = do(owner_client, key, "bottler", name="quill & sons").content.decode()
    assert "Their years are being worked out beside the pages" in page
    assert page.count("years being worked out") >= 3, "each row says so"
    for find in fresh(*three):
        assert (find.made_words, find.made_from, find.made_decades, find.made_with) == (
            WAITING_WORDS,
            None,
            "",
            "",
        )
    # their pages work it out themselves; a visitor's says that it is going on
    assert "1904" in owner_client.get(three[0].get_absolute_url()).content.decode()
    # a crash here: nothing but the rows is left, and the next start finds them
    assert {find.pk for find in stale()} == {find.pk for find in three}
    list(redate_stale())
    assert all("1904" in find.made_words for find in fresh(*three)) and agree()
    entry = fresh(*three)[0].history.first()
    assert "1904" in entry.made_words, "the history has it"
    assert not PhraseChange.objects.exists(), "nobody read another phrase before"
    # while the worker is at it, the undo puts them off again
    said = undo(owner_client, key)
    assert "Their years are being worked out" in said
    list(redate_stale())
    assert {find.made_words for find in fresh(*three)} == before and agree()


def test_what_bears_on_no_years_puts_nothing_off(
    owner_client: Client, three: list[Specimen], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(refresh, "DATED_AT_ONCE", 0)
    monkeypatch.setattr(refresh.worker, "running", True)
    page = do(owner_client, choose(owner_client, *three), "kind", kind="jar").content.decode()
    assert "being worked out" not in page and WAITING_WORDS not in {find.made_words for find in fresh(*three)}


def test_of_bottlers_of_one_name_the_town_is_asked(owner_client: Client, three: list[Specimen]) -> None:
    made = [make.bottler("Quill & Sons", town=make.town(name)) for name in ("Marrowby", "Inchgate")]
    key = choose(owner_client, *three)
    page = do(owner_client, key, "bottler", name="quill & sons")
    assert page.status_code == 422 and "Quill &amp; Sons, Inchgate" in page.content.decode()
    assert {find.bottler for find in fresh(*three)} == {None} and Bottler.objects.count() == 2
    do(owner_client, key, "bottler", name="Quill & Sons, Inchgate")
    assert {find.bottler for find in fresh(*three)} == {made[1]}


def test_they_are_promised_to_one_person_and_the_undo_takes_each_promise_back(
    owner_client: Client, three: list[Specimen]
) -> None:
    key = choose(owner_client, *three)
    given = {"person": "Ola", "on": "2026-05-01"}
    do(owner_client, key, "promise", **given)
    assert {find.standing for find in fresh(*three)} == {"promised"}
    assert {str(each.person) for each in Promise.objects.all()} == {"Ola"}
    other = choose(owner_client, *three)
    page = look(owner_client, other, "promise", person="Bo", on="2026-05-01").content.decode()
    assert "3 may not" in page and "already promised to Ola" in page
    undo(owner_client, key)
    assert {find.standing for find in fresh(*three)} == {"kept"} and not Promise.objects.exists()


def test_what_is_gone_asks_a_day_and_a_reason_frees_the_place_and_is_taken_back(
    owner_client: Client, three: list[Specimen]
) -> None:
    shelf = make.place()
    move_to(three[0], shelf)
    key = choose(owner_client, *three)
    bare = look(owner_client, key, "gone", standing="lost", on="2026-05-01", reason="")
    assert "reason" in bare.context["form"].errors, "as for one piece"
    do(owner_client, key, "gone", standing="lost", on="2026-05-01", reason="the crate fell")
    assert {(find.standing, find.place_id) for find in fresh(*three)} == {("lost", None)}
    assert set(Departure.objects.values_list("standing", "on", "reason")) == {
        ("lost", date(2026, 5, 1), "the crate fell")
    }
    assert Departure.objects.count() == 3
    moved = Move.objects.filter(from_place=shelf, to_place=None).get()
    assert Departure.objects.get(find=three[0]).move == moved, "its undo finds the place again"
    assert [find.pk for find in found("hall case")] == []
    assert "Undone: 3 pieces are as before." in undo(owner_client, key)
    assert [(find.standing, find.place_id) for find in fresh(*three)] == [
        ("kept", shelf.pk),
        ("kept", None),
        ("kept", None),
    ]
    assert not Departure.everything.exists() and Move.objects.filter(to_place=None).count() == 0


def test_a_standing_for_many_offers_nothing_that_needs_a_day(
    owner_client: Client, three: list[Specimen]
) -> None:
    key = choose(owner_client, *three)
    page = look(owner_client, key, "standing", standing="lost")
    assert "standing" in page.context["form"].errors


def test_all_match_and_bring_their_twins_along(owner_client: Client, three: list[Specimen]) -> None:
    twin = make.find("Aqua soda twin")
    from catalogue.specimens.services import match

    group = match(three[0], twin)
    key = choose(owner_client, *fresh(*three))
    do(owner_client, key, "twins")
    assert len({find.twin_group_id for find in fresh(*three, twin)}) == 1
    undo(owner_client, key)
    assert [find.twin_group for find in fresh(*three, twin)] == [group, None, None, group]
    one = choose(owner_client, three[1])
    assert "it takes 2 pieces" in do(owner_client, one, "twins").content.decode()


def test_into_a_soak_and_out_again_by_undo(owner_client: Client, three: list[Specimen]) -> None:
    water = soak()
    water.save()
    key = choose(owner_client, *three)
    do(owner_client, key, "soak", soak=water.pk)
    assert SoakMember.objects.filter(soak=water, out_at=None).count() == 3
    assert {find.stage for find in fresh(*three)} == {"soaking"}
    again = choose(owner_client, *three)
    assert "it is in this water already" in look(owner_client, again, "soak", soak=water.pk).content.decode()
    undo(owner_client, key)
    assert not SoakMember.objects.exists() and {find.stage for find in fresh(*three)} == {"wet"}
    Soak.objects.update(ended_at=water.began_at)
    assert look(owner_client, again, "soak", soak=water.pk).status_code == 422, "an ended one is no choice"


@pytest.mark.parametrize(
    ("act", "said", "link"),
    [
        ("soak", "No soak is going on", "/workbench/soaks/new/"),
        ("bath", "No bath is planned", "/workbench/baths/new/"),
    ],
)
def test_where_there_is_none_to_join_the_way_to_one_is_shown(
    owner_client: Client, three: list[Specimen], act: str, said: str, link: str
) -> None:
    key = choose(owner_client, *three)
    page = owner_client.get(f"/finds/many/{key}/?act={act}").content.decode()
    assert said in page and f'href="{link}?find=' in page and "Show what changes" not in page
    (soak() if act == "soak" else bath()).save()
    page = owner_client.get(f"/finds/many/{key}/?act={act}").content.decode()
    assert said not in page and "Show what changes" in page


def test_chosen_for_a_bath(owner_client: Client, three: list[Specimen]) -> None:
    planned: Bath = bath()
    planned.save()
    key = choose(owner_client, *three)
    page = look(owner_client, key, "bath", bath=planned.pk).content.decode()
    assert "nobody has looked at it yet" in page, "said now, asked again before it is mixed"
    do(owner_client, key, "bath", bath=planned.pk)
    assert BathMember.objects.filter(bath=planned, in_at=None).count() == 3
    undo(owner_client, key)
    assert not BathMember.objects.exists()


def test_into_the_bin_and_back(owner_client: Client, three: list[Specimen]) -> None:
    key = choose(owner_client, *three)
    page = do(owner_client, key, "bin").content.decode()
    assert "3 pieces are in the bin. Nothing is lost." in page
    assert not Specimen.objects.exists()
    fresh(three[0])[0].take_out_of_bin()
    told = undo(owner_client, key)
    assert f"Undone: 2 pieces are as before. Not undone: {three[0].number}, as it was changed again" in told
    assert Specimen.objects.count() == 3
