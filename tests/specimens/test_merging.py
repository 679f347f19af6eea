"""Two towns that are one are merged: everything follows, names lead on, and it is undone as one step."""

import threading

import pytest
from django.db import connection

from catalogue.common.merged import merged_into, merges_into
from catalogue.common.merging import _pointing_at
from catalogue.common.models import Merge
from catalogue.pages.parts.history import history_changes
from catalogue.pages.parts.history_kinds import HISTORY_KINDS
from catalogue.people.models import Person
from catalogue.specimens.models import Bottler, Maker, Product, Specimen, Town
from catalogue.specimens.services.merging import (
    MergeError,
    merge_records,
    part_records,
    what_moves,
)
from catalogue.specimens.services.towns import town_named
from tests import factories
from tests.specimens.derived_parts import found

pytestmark = pytest.mark.django_db


@pytest.fixture
def maine() -> Town:
    return town_named("Portland, Me.")


@pytest.fixture
def bare() -> Town:
    return town_named("PORTLAND")


def piece(town: Town, **more: object) -> Specimen:
    return factories.find(town=town, **more)


def test_pieces_bottlers_and_their_words_follow(maine, bare):
    there = piece(maine)
    moved = piece(bare, bottler=Bottler.objects.create(name="Quill", slug="quill", town=bare))
    assert what_moves(maine, bare) == [("bottler", 1), ("find", 1)]
    merge_records(maine, bare)
    moved.refresh_from_db()
    assert moved.town == maine and moved.bottler.town == maine
    assert set(Specimen.objects.from_town(maine)) == {there, moved}
    assert not Town.objects.filter(pk=bare.pk).exists()
    assert found("maine") == [] and moved.what in found("portland me")


def test_a_finds_history_says_what_a_merge_and_its_undo_changed(maine, bare):
    moved, there = piece(bare), piece(maine)
    known, other = moved.history.count(), there.history.count()
    made = merge_records(maine, bare)
    assert [entry.town_id for entry in moved.history.all()[:2]] == [maine.pk, bare.pk]
    part_records(made)
    assert moved.history.first().town_id == bare.pk and moved.history.count() == known + 2
    assert there.history.count() == other
    changes = history_changes(HISTORY_KINDS["find"], moved.pk)
    told = [(each.name, each.was, each.now) for change in changes for each in change.fields]
    assert told[-2:] == [
        ("Marked for", "PORTLAND", "Portland, ME"),
        ("Marked for", "Portland, ME", "PORTLAND"),
    ]


def test_what_lies_in_the_bin_follows_too(maine, bare):
    find = piece(bare)
    find.put_in_bin()
    merge_records(maine, bare)
    assert Specimen.everything.get(pk=find.pk).town == maine


def test_bottlers_of_one_name_become_one_with_their_products(maine, bare):
    kept = Bottler.objects.create(name="Quill", slug="quill", town=maine)
    gone = Bottler.objects.create(name="Quill", slug="quill-2", town=bare)
    for bottler in (kept, gone):
        Product.objects.create(name="Elder", slug=f"elder-{bottler.pk}", bottler=bottler)
    find = piece(bare, bottler=gone, product=gone.products.get())
    made = merge_records(maine, bare)
    find.refresh_from_db()
    assert (find.bottler, find.product) == (kept, kept.products.get())
    assert list(Bottler.objects.all()) == [kept] and Product.objects.count() == 1
    part_records(made)
    find.refresh_from_db()
    assert (find.town, find.bottler, find.product.bottler) == (bare, gone, gone)
    assert Bottler.objects.count() == Product.objects.count() == 2


def test_undone_it_is_as_before_but_for_what_was_moved_since(maine, bare):
    elsewhere = town_named("Marrowby")
    stays, goes_on = piece(bare), piece(bare)
    made = merge_records(maine, bare)
    Specimen.objects.filter(pk=goes_on.pk).update(town=elsewhere)
    assert part_records(made) == bare
    assert Specimen.objects.get(pk=stays.pk).town == bare
    assert Specimen.objects.get(pk=goes_on.pk).town == elsewhere
    assert merges_into(maine) == [] and merged_into(bare) is None
    with pytest.raises(MergeError, match="undone already"):
        part_records(made)


def test_a_merged_name_means_the_town_that_is_kept(maine, bare):
    merge_records(maine, bare)
    assert town_named("Portland") == town_named("PORTLAND, ME") == maine
    assert Town.objects.count() == 1


def test_merged_on_it_leads_all_the_way_and_is_undone_from_the_end(maine, bare):
    last = town_named("Portland Harbour, Me.")
    first = merge_records(maine, bare)
    second = merge_records(last, maine)
    assert merged_into(bare) == last
    with pytest.raises(MergeError, match="Portland Harbour"):
        part_records(first)
    part_records(second)
    part_records(first)
    assert Town.objects.count() == 3


def test_a_town_is_not_merged_with_itself_or_in_a_ring(maine, bare):
    with pytest.raises(MergeError, match="itself"):
        merge_records(maine, maine)
    merge_records(maine, bare)
    with pytest.raises(MergeError, match="merged meanwhile"):
        merge_records(bare, maine)
    assert Merge.objects.count() == 1


def test_one_of_its_name_in_the_bin_stays_there_and_stops_nothing(maine, bare):
    binned = Bottler.objects.create(name="Quill", slug="quill", town=maine)
    binned.put_in_bin()
    live = Bottler.objects.create(name="Quill", slug="quill-2", town=bare)
    find = piece(bare, bottler=live)
    made = merge_records(maine, bare)
    live.refresh_from_db()
    assert live.town == maine and list(Bottler.objects.all()) == [live]
    part_records(made)
    find.refresh_from_db()
    assert find.town == find.bottler.town == bare


def test_bottlers_merged_first_and_then_their_towns(maine, bare):
    """The one kept lies in the town that goes: its name is that of one that was merged into it."""
    there = Bottler.objects.create(name="Quill", slug="quill", town=maine)
    kept = Bottler.objects.create(name="Quill", slug="quill-2", town=bare)
    merge_records(kept, there)
    made = merge_records(maine, bare)
    kept.refresh_from_db()
    assert kept.town == maine and merged_into(there) == kept
    part_records(made)
    kept.refresh_from_db()
    assert kept.town == bare


def test_what_is_pointed_at_without_a_way_back_follows(maine):
    """An opinion has no name among its bottler's columns, and is the bottler's all the same."""
    kept, gone = factories.bottler("Quill & Sons"), factories.bottler("QUILL AND SONS")
    find = factories.find()
    said = find.opinions.create(about="bottler", value="QUILL AND SONS", bottler=gone, on="2024-05-01")
    made = merge_records(kept, gone)
    said.refresh_from_db()
    assert said.bottler == kept
    part_records(made)
    said.refresh_from_db()
    assert said.bottler == gone


@pytest.mark.parametrize("kind", [Town, Bottler, Product, Maker, Person])
def test_every_foreign_key_of_the_catalogue_is_found(kind):
    """Against the database's own list of what references the table."""
    said = {(model._meta.db_table, f"{column}_id") for model, column in _pointing_at(kind, derived=True)}
    there = set()
    with connection.cursor() as cursor:
        for table in connection.introspection.table_names(cursor):
            told = connection.introspection.get_relations(cursor, table)
            there |= {(table, own) for own, (_, other, *_) in told.items() if other == kind._meta.db_table}
    assert there and said == there


@pytest.mark.django_db(transaction=True)
def test_of_two_windows_that_merge_a_ring_one_is_told():
    """Two at once, each into the other: one is done, the other refused, and nothing is half done."""
    one, other = factories.town("Marrowby"), factories.town("MARROWBY")
    finds = [piece(one), piece(other)]
    told: list[str] = []
    together = threading.Barrier(2)

    def run(kept: Town, gone: Town) -> None:
        try:
            together.wait()
            merge_records(kept, gone)
            told.append("done")
        except MergeError as why:
            told.append(str(why))
        finally:
            connection.close()

    threads = [threading.Thread(target=run, args=pair) for pair in ((one, other), (other, one))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(told)[1] == "done" and "merged meanwhile" in sorted(told)[0]
    (left,) = Town.objects.all()
    assert Merge.objects.count() == 1
    assert {find.town for find in Specimen.objects.filter(pk__in=[find.pk for find in finds])} == {left}
