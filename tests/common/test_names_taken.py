"""A name that was taken since: one hook is asked by the bin, by histories and where a merge is undone."""

from collections.abc import Callable
from typing import Any

import pytest

from catalogue.common.merged import merged_into
from catalogue.common.records import Record, StillNeeded
from catalogue.labels.models import OwnSheet
from catalogue.people.models import Person
from catalogue.shelves.models import Place
from catalogue.sites.models import Site
from catalogue.specimens.models import Bottler, Maker, Product, SavedView, Town
from catalogue.specimens.services.merging import MergeError, merge_records, part_records
from tests import factories

pytestmark = pytest.mark.django_db
Made = Callable[[str], Any]


def _slugged(model: type[Any], **given: Any) -> Made:
    def made(name: str) -> Any:
        count = model.everything.count()
        return model.objects.create(name=name, slug=f"{model.__name__.lower()}-{count}", **given)

    return made


MERGED: dict[str, Made] = {
    "towns": _slugged(Town, region="NQ"),
    "bottlers": _slugged(Bottler),
    "products": _slugged(Product),
    "makers": _slugged(Maker),
}


@pytest.mark.parametrize("room", MERGED)
def test_a_merge_is_not_undone_while_another_bears_the_name(owner_client, room):
    make = MERGED[room]
    kept, gone = make("Quill & Sons"), make("Quill & Son")
    merged = merge_records(kept, gone)
    other = make("Quill & Son")
    undo = f"/{room}/merges/{merged.pk}/undo/"
    said = owner_client.post(undo, follow=True).content.decode()
    words = f"You have another {kept._meta.verbose_name} of the name {other} by now: rename that one first."
    assert words.replace("&", "&amp;") in said
    assert merged_into(gone) == kept
    other.name = "Quill & Daughter"
    other.save()
    owner_client.post(undo)
    assert merged_into(gone) is None and type(gone).objects.filter(pk=gone.pk).exists()


@pytest.mark.parametrize("room", MERGED)
def test_the_one_kept_is_in_the_way_where_it_took_the_name_since(room):
    make = MERGED[room]
    kept, gone = make("Quill & Sons"), make("Quill & Son")
    merged = merge_records(kept, gone)
    kept.name = gone.name
    kept.save()
    with pytest.raises(MergeError, match=f"of the name {kept} by now: rename that one first"):
        part_records(merged)
    kept.name = "Quill & Sons"
    kept.save()
    part_records(merged)
    assert merged_into(gone) is None


def test_makers_that_bore_one_name_when_they_were_merged_are_parted():
    """From before the form asked: two of one name are what one merges, and Undo brings back what was."""
    make = MERGED["makers"]
    kept, gone = make("Quill & Sons"), make("QUILL & SONS")
    merged = merge_records(kept, gone)
    kept.notes = "In Hook Lane."
    kept.save()
    part_records(merged)
    assert merged_into(gone) is None and Maker.objects.own().count() == 2


def test_a_merged_maker_is_not_taken_out_of_the_bin_by_its_old_address(owner_client):
    make = MERGED["makers"]
    kept, gone = make("Quill & Sons"), make("Quill & Son")
    merge_records(kept, gone)
    assert owner_client.post(f"/makers/{gone.slug}/back/").status_code == 404
    assert merged_into(gone) == kept and not Maker.objects.filter(pk=gone.pk).exists()


def test_people_of_one_name_are_two_people():
    kept, gone = factories.person("Ansel Quick"), factories.person("Ansel Quick")
    merged = merge_records(kept, gone)
    factories.person("Ansel Quick")
    part_records(merged)
    assert Person.objects.count() == 3


KINDS: dict[str, Made] = MERGED | {
    "places": lambda name: Place.objects.create(name=name, kind="shelf"),
    "sites": _slugged(Site),
    "views": lambda name: SavedView.objects.create(name=name, query="q=1"),
    "sheets": lambda name: OwnSheet.objects.create(
        name=name, roll=True, label_width_mm=44, label_height_mm=22
    ),
}


@pytest.mark.parametrize("kind", KINDS)
def test_out_of_the_bin_it_names_the_one_that_bears_its_name(kind):
    make = KINDS[kind]
    record: Record = make("Hook Lane")
    record.put_in_bin()
    other = make("Hook Lane")
    with pytest.raises(StillNeeded, match=f"of the name {other} by now: rename that one first"):
        record.take_out_of_bin()
    other.put_in_bin()
    record.take_out_of_bin()
    assert record.binned_at is None and type(record).objects.filter(pk=record.pk).exists()


def test_only_within_the_same_town_or_place_a_name_is_taken():
    town, bare = factories.town(), MERGED["bottlers"]("Quill")
    there = _slugged(Bottler, town=town)("Quill")
    room = Place.objects.create(name="Room", kind="room")
    box, other = (Place.objects.create(name="Box", kind="box", parent=above) for above in (room, None))
    for record in (bare, there, box, other):
        record.put_in_bin()
        record.take_out_of_bin()
    assert all(record.namesake() is None for record in (bare, there, box, other))


def test_an_earlier_name_that_another_bears_is_told_as_everywhere(owner_client):
    town = MERGED["towns"]("Hook")
    town.name = "Hook Harbour"
    town.save()
    other = MERGED["towns"]("Hook")
    then = town.history.order_by("history_id").first()
    version = town.history.order_by("-history_id").first().history_id
    said = owner_client.post(
        f"/history/town/{town.pk}/{then.history_id}/", {"version": version}, follow=True
    ).content.decode()
    assert f"You have another town of the name {other} by now: rename that one first." in said
    town.refresh_from_db()
    assert town.name == "Hook Harbour"
