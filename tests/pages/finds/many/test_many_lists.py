"""Ticks and the bar of acts in every list of finds, and how many queries an act takes."""

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from catalogue.care.services import note_look
from catalogue.specimens.batch.perform import perform
from catalogue.specimens.models import BatchAct, Specimen
from tests import factories as make
from tests.pages.finds.many.batches import choose, do, fresh, last, look, undo
from tests.specimens.derived_parts import found

pytestmark = pytest.mark.django_db


@pytest.fixture
def listed() -> dict[str, str]:
    """Addresses of lists that one find stands in."""
    dive, town, place = make.dive(), make.town(), make.place()
    filler = make.bottler(town=town)
    make.find(dive=dive, town=town, place=place, bottler=filler, standing="free")
    loose = make.find("Ink cone", town=town)
    return {
        "finds": "/finds/",
        "table": "/finds/?view=table",
        "to scale": "/finds/?view=shelf",
        "town": f"/towns/{town.slug}/",
        "site": dive.site.get_absolute_url(),
        "dive": f"/dives/{dive.year}/{dive.ordinal}/",
        "shelf": f"/shelves/{place.pk}/",
        "no place": "/shelves/" if loose else "",
        "giving": "/giving/",
        "bottler": filler.get_absolute_url(),
    }


@pytest.mark.parametrize(
    "where", ["finds", "table", "to scale", "town", "site", "dive", "shelf", "no place", "giving", "bottler"]
)
def test_every_list_has_ticks_and_one_bar(owner_client: Client, listed: dict[str, str], where: str) -> None:
    text = owner_client.get(listed[where]).content.decode()
    assert text.count('id="many"') == 1
    assert text.count('type="checkbox" name="find"') >= 1
    assert all('form="many"' in box for box in text.split('type="checkbox" name="find"')[1:])


@pytest.mark.parametrize("address", ["/giving/", "/giving/?as-visitor"])
def test_visitors_have_neither(client: Client, listed: dict[str, str], address: str) -> None:
    text = client.get(address).content.decode()
    assert 'id="many"' not in text and 'name="find"' not in text


@pytest.mark.parametrize(
    ("act", "fields"),
    [
        ("move", {"why": ""}),
        ("words", {"words": "by the door"}),
        ("share", {}),
        ("standing", {"standing": "free"}),
        ("promise", {"person": "Ola", "on": "2026-05-01"}),
        ("stage", {"stage": "cleaning"}),
        ("bin", {}),
    ],
)
def test_no_query_more_for_more_pieces(owner_client: Client, act: str, fields: dict[str, str]) -> None:
    """Looked at, done and undone with five and with forty: as many queries, whatever their hazards say."""
    counts = []
    place = make.place()
    for pieces in (5, 40):
        dive = make.dive()
        finds = [make.find(f"bottle {n}", dive=dive) for n in range(pieces)]
        note_look(finds[0], ["munition"])
        note_look(finds[1], ["crack"])
        sent = {"place": place.pk, **fields} if act == "move" else fields
        key = choose(owner_client, *finds)
        with CaptureQueriesContext(connection) as asked:
            look(owner_client, key, act, **sent)
            do(owner_client, key, act, "good", seen="", **sent)
            undo(owner_client, key)
        counts.append(len(asked))
    # bulk inserts part at a thousand values
    assert counts[1] <= counts[0] + 6, counts


def test_more_than_one_part_is_done_in_one_step(owner_client: Client) -> None:
    make.find("first of many")
    one = Specimen.objects.get()
    rows = [
        Specimen(
            what=f"bottle {n}",
            number=f"{one.number_year}.0.{n}",
            number_year=one.number_year,
            number_ordinal=0,
            number_piece=n,
        )
        for n in range(2, 1203)
    ]
    Specimen.objects.bulk_create(rows)
    owner_client.post("/finds/many/", {"choice": "?"})
    page = do(owner_client, last().pk, "words", words="crate by the door").content.decode()
    assert "1,202 pieces" in page
    assert Specimen.objects.filter(notes="crate by the door").count() == 1202
    assert Specimen.history.filter(notes="crate by the door").count() == 1202
    assert len(found("crate by the door")) == 1202
    assert "1,202 pieces are as before" in undo(owner_client, last().pk)
    assert not Specimen.objects.exclude(notes="").exists()


def test_nothing_is_left_of_one_that_broke_in_the_middle(
    owner_client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The power goes after the first part: none of it was done."""
    from catalogue.specimens.batch import perform as module
    from catalogue.specimens.batch.links import MovePieces

    finds = [make.find() for _ in range(4)]
    batch = BatchAct.objects.create(finds=[find.pk for find in finds])
    monkeypatch.setattr(module, "in_parts", lambda keys: ([key] for key in keys))
    parts = iter([None, None, RuntimeError("gone")])
    monkeypatch.setattr(
        module, "refresh_now", lambda: (_ for _ in ()).throw(why) if (why := next(parts)) else None
    )
    with pytest.raises(RuntimeError):
        perform(batch, MovePieces(make.place()))
    assert [find.place for find in fresh(*finds)] == [None] * 4
    assert BatchAct.objects.get().done_at is None


def test_a_choice_that_the_list_cannot_follow_chooses_nothing(owner_client: Client) -> None:
    make.find()
    for wrong in ("?nosuch=1", "?town=nowhere-at-all"):
        answer = owner_client.post("/finds/many/", {"choice": wrong})
        assert answer.status_code == 422 and "can&#x27;t be followed" in answer.content.decode()
    assert not BatchAct.objects.exists()
