"""What may not, what is asked, what another window did: shown before, and asked again when it is done."""

import re

import pytest
from django.test import Client

from catalogue.care.models import HazardReason
from catalogue.care.services import note_look
from catalogue.common.forms.idempotency_key import NOTHING_TWICE
from catalogue.giving import services as giving
from catalogue.specimens.models import BatchAct, Bottler, Specimen, Town
from tests import factories as make
from tests.pages.finds.many.batches import choose, do, fresh, last, look, undo

pytestmark = pytest.mark.django_db
REASON = "opened it and looked inside"


@pytest.fixture
def three() -> list[Specimen]:
    return [make.find(what) for what in ("Aqua soda", "Amber beer", "Ink cone")]


def test_one_that_may_not_keeps_all_or_is_left_out_by_choice(
    owner_client: Client, three: list[Specimen]
) -> None:
    note_look(three[1], ["munition"])
    key = choose(owner_client, *three)
    page = look(owner_client, key, "standing", standing="free")
    text = page.content.decode()
    assert "1 may not" in text and "munition" in text and "the 2 that may" in text
    refused = do(owner_client, key, "standing", standing="free")
    assert refused.status_code == 422 and {f.standing for f in fresh(*three)} == {"kept"}
    assert BatchAct.objects.get(pk=key).done_at is None
    told = do(owner_client, key, "standing", "good", standing="free").content.decode()
    assert "2 pieces are now: free to take." in told and f"1 stays as it is: {three[1].number}." in told
    assert [f.standing for f in fresh(*three)] == ["free", "kept", "free"]


def test_a_reason_is_asked_of_those_that_want_one_and_kept_with_each(
    owner_client: Client, three: list[Specimen]
) -> None:
    note_look(three[0], ["sealed"])
    note_look(three[1], ["sealed"])
    key = choose(owner_client, *three)
    page = look(owner_client, key, "share").content.decode()
    assert 'name="hazard-sealed"' in page and "each of these pieces" in page
    short = do(owner_client, key, "share", **{"hazard-sealed": "fine"})
    assert short.status_code == 422 and ">fine</textarea>" in short.content.decode()
    assert not any(f.shared for f in fresh(*three)) and not HazardReason.objects.exists()
    do(owner_client, key, "share", **{"hazard-sealed": REASON})
    assert all(f.shared for f in fresh(*three))
    kept = HazardReason.objects.values_list("find", "act", "gates", "reason").order_by("find")
    assert list(kept) == [(f.pk, "share", ["sealed"], REASON) for f in three[:2]]


def test_a_reason_left_empty_leaves_the_piece_as_it_is(owner_client: Client, three: list[Specimen]) -> None:
    note_look(three[0], ["sealed"])
    key = choose(owner_client, *three)
    do(owner_client, key, "share", "good")
    assert [f.shared for f in fresh(*three)] == [False, True, True]


def test_what_would_tell_a_hidden_site_is_shown_only_by_a_tick(
    owner_client: Client, three: list[Specimen]
) -> None:
    make.site("Tallow Cove", show_as="hidden")
    Specimen.objects.filter(pk=three[0].pk).update(story="From Tallow cove, under the ledge.")
    for act, fields in (("share", {}), ("standing", {"standing": "free"})):
        key = choose(owner_client, *three)
        assert "visitors would read of Tallow Cove" in look(owner_client, key, act, **fields).content.decode()
        do(owner_client, key, act, "good", **fields)
        assert [f.pk for f in Specimen.objects.for_visitors().order_by("pk")] == [f.pk for f in three[1:]]
        undo(owner_client, key)
        assert not Specimen.objects.for_visitors().exists()
    key = choose(owner_client, *three)
    do(owner_client, key, "share", told="yes")
    assert Specimen.objects.for_visitors().count() == 3


def test_an_undo_shows_nobody_what_is_dangerous_by_now(owner_client: Client, three: list[Specimen]) -> None:
    key = choose(owner_client, *three)
    do(owner_client, key, "share")
    stop = choose(owner_client, *three)
    do(owner_client, stop, "unshare")
    note_look(three[2], ["munition"])
    told = undo(owner_client, stop)
    assert "Undone: 2 pieces are as before." in told and three[2].number in told
    assert [f.shared for f in fresh(*three)] == [True, True, False]


def test_what_another_window_wrote_is_not_overwritten_unseen(
    owner_client: Client, three: list[Specimen]
) -> None:
    hall, shed = make.place(), make.place("Shed")
    key = choose(owner_client, *three)
    seen = look(owner_client, key, "move", place=hall.pk).context["seen"]
    owner_client.post(f"/finds/{three[0].number}/move/", {"place": shed.pk})
    owner_client.post(f"/workbench/{three[1].number}/stage/", {"stage": "drying"})  # another column
    answer = do(owner_client, key, "move", place=hall.pk, seen=seen)
    assert answer.status_code == 422
    assert "another window changed this since: it is now Shed" in answer.content.decode()
    assert [f.place for f in fresh(*three)] == [shed, None, None]
    do(owner_client, key, "move", "good", place=hall.pk, seen=seen)
    assert [f.place for f in fresh(*three)] == [shed, hall, hall]


def test_what_was_changed_since_is_not_undone_and_named(owner_client: Client, three: list[Specimen]) -> None:
    key = choose(owner_client, *three)
    do(owner_client, key, "words", words="crate by the door")
    giving.share(fresh(three[1])[0], shared=True)  # another column is no matter
    changed = fresh(three[2])[0]
    changed.notes += "\nand a line of mine"
    changed.save(update_fields=["notes"])
    told = undo(owner_client, key)
    assert f"Not undone: {three[2].number}, as it was changed again since." in told
    assert [f.notes for f in fresh(*three)] == ["", "", "crate by the door\nand a line of mine"]


def test_a_second_tap_and_a_second_window_do_it_once(owner_client: Client, three: list[Specimen]) -> None:
    key = choose(owner_client, *three)
    sent = {"act": "words", "words": "twice?", "how": "all", "once": "k1"}
    owner_client.post(f"/finds/many/{key}/", sent)
    again = owner_client.post(f"/finds/many/{key}/", sent, follow=True).content.decode()
    assert NOTHING_TWICE in again
    other = owner_client.post(f"/finds/many/{key}/", {**sent, "once": "k2"}, follow=True).content.decode()
    assert "nothing was done twice" in other
    assert {f.notes for f in fresh(*three)} == {"twice?"}


def test_pieces_in_the_bin_meanwhile_are_said_and_left(owner_client: Client, three: list[Specimen]) -> None:
    key = choose(owner_client, *three)
    three[0].put_in_bin()
    assert "it is in the bin" in look(owner_client, key, "share").content.decode()
    do(owner_client, key, "share", "good")
    assert [f.shared for f in fresh(*three)] == [False, True, True]


def test_numbers_are_typed_with_one_mistake_and_stay(owner_client: Client, three: list[Specimen]) -> None:
    typed = f"{three[0].number}-{three[2].number_piece} 2026.x"
    page = owner_client.post("/finds/many/", {"numbers": typed, "act": "move"})
    text = page.content.decode()
    assert page.status_code == 422 and typed in text and "“2026.x”: this is no number" in text
    assert 'name="act" value="move"' in text and not BatchAct.objects.exists()
    on = owner_client.post("/finds/many/", {"numbers": typed, "act": "move", "without": "yes"})
    assert on["Location"].endswith("?act=move") and last().finds == [f.pk for f in three]


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ({}, "Choose at least one piece."),
        ({"numbers": "2026.0.9-1"}, "runs backwards"),
        ({"numbers": "2026.0.1-100000", "without": "yes"}, "100,000 numbers"),
        ({"numbers": "1999.1.1"}, "No find has the number 1999.1.1."),
        ({"to": "9" * 40}, "Choose at least one piece."),
    ],
)
def test_what_cannot_be_chosen_is_one_sentence(owner_client: Client, sent: dict[str, str], said: str) -> None:
    answer = owner_client.post("/finds/many/", sent)
    assert answer.status_code == 422 and said in answer.content.decode() and not BatchAct.objects.exists()


def test_all_of_a_choice_are_chosen_by_its_address(owner_client: Client, three: list[Specimen]) -> None:
    make.find("Milk pint", town=make.town())
    owner_client.post("/finds/many/", {"choice": "?town=marrowby&sort=name&page=3"})
    assert len(last().finds) == 1
    owner_client.post("/finds/many/", {"choice": "?", "find": three[0].number, "act": "labels"})
    assert len(last().finds) == 4
    page = owner_client.get(f"/labels/?of={last().pk}").content.decode()
    assert page.count('name="find"') == 4


def test_more_are_added_to_a_choice(owner_client: Client, three: list[Specimen]) -> None:
    key = choose(owner_client, *three[:2])
    assert choose(owner_client, three[2], to=str(key)) != key
    assert last().finds == [f.pk for f in three]


@pytest.mark.parametrize("address", ["/finds/many/", "/finds/many/1/", "/finds/many/1/progress/"])
def test_a_visitor_sees_none_of_it(client: Client, address: str) -> None:
    assert client.get(address).status_code == 302
    assert client.post(address).status_code in (302, 405)


def test_a_choice_that_is_not_there(owner_client: Client) -> None:
    assert owner_client.get("/finds/many/77/").status_code == 404
    assert owner_client.post("/finds/many/77/undo/").status_code == 404
    assert owner_client.get("/finds/many/77/progress/").json() == {}


@pytest.mark.parametrize("typed", ["???", " .. ", "?" * 40])
def test_a_town_without_a_letter_is_none(owner_client: Client, three: list[Specimen], typed: str) -> None:
    key = choose(owner_client, *three)
    page = look(owner_client, key, "town", name=typed)
    assert page.status_code == 422 and "There is no letter in that." in page.content.decode()
    assert do(owner_client, key, "town", seen=1, name=typed).status_code == 422
    assert not Town.objects.exists()
    # a dash takes the town away
    assert look(owner_client, key, "town", name="-").status_code == 200


def test_bottlers_of_one_name_are_told_apart_by_their_towns(
    owner_client: Client, three: list[Specimen]
) -> None:
    here, there = make.town("Marrowby"), make.town("Oldquay")
    one = Bottler.objects.create(name="Hark & Lowe", slug="hark-lowe", town=here)
    Bottler.objects.create(name="Hark & Lowe", slug="hark-lowe-2", town=there)
    Specimen.objects.filter(pk=three[0].pk).update(bottler=one)
    key = choose(owner_client, *three)
    page = look(owner_client, key, "bottler", name="Hark & Lowe, Oldquay").content.decode()
    text = re.sub(r"<[^>]+>|[\u2066-\u2069]|\s+", " ", page)
    assert "Hark &amp; Lowe, Marrowby → Hark &amp; Lowe, Oldquay" in re.sub(r" +", " ", text)
