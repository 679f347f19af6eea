"""Two towns that are one are merged: everything follows, names lead on, and it is undone as one step."""

import pytest

from catalogue.specimens.models import Bottler, Merge, Product, Specimen, Town
from catalogue.specimens.services.merging import (
    MergeError,
    merge_towns,
    merged_into,
    merges_into,
    undo_merge,
    what_moves,
)
from catalogue.specimens.services.towns import town_named
from tests import factories

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
    merge_towns(maine, bare)
    moved.refresh_from_db()
    assert moved.town == maine and moved.bottler.town == maine
    assert set(Specimen.objects.from_town(maine)) == {there, moved}
    assert not Town.objects.filter(pk=bare.pk).exists()
    assert "maine" not in moved.search_text and " me" in f" {moved.search_text}"


def test_what_lies_in_the_bin_follows_too(maine, bare):
    find = piece(bare)
    find.put_in_bin()
    merge_towns(maine, bare)
    assert Specimen.everything.get(pk=find.pk).town == maine


def test_bottlers_of_one_name_become_one_with_their_products(maine, bare):
    kept = Bottler.objects.create(name="Quill", slug="quill", town=maine)
    gone = Bottler.objects.create(name="Quill", slug="quill-2", town=bare)
    for bottler in (kept, gone):
        Product.objects.create(name="Elder", slug=f"elder-{bottler.pk}", bottler=bottler)
    find = piece(bare, bottler=gone, product=gone.products.get())
    made = merge_towns(maine, bare)
    find.refresh_from_db()
    assert (find.bottler, find.product) == (kept, kept.products.get())
    assert list(Bottler.objects.all()) == [kept] and Product.objects.count() == 1
    undo_merge(made)
    find.refresh_from_db()
    assert (find.town, find.bottler, find.product.bottler) == (bare, gone, gone)
    assert Bottler.objects.count() == Product.objects.count() == 2


def test_undone_it_is_as_before_but_for_what_was_moved_since(maine, bare):
    elsewhere = town_named("Marrowby")
    stays, goes_on = piece(bare), piece(bare)
    made = merge_towns(maine, bare)
    Specimen.objects.filter(pk=goes_on.pk).update(town=elsewhere)
    assert undo_merge(made) == bare
    assert Specimen.objects.get(pk=stays.pk).town == bare
    assert Specimen.objects.get(pk=goes_on.pk).town == elsewhere
    assert merges_into(maine) == [] and merged_into(bare.pk) is None
    with pytest.raises(MergeError, match="undone already"):
        undo_merge(made)


def test_a_merged_name_means_the_town_that_is_kept(maine, bare):
    merge_towns(maine, bare)
    assert town_named("Portland") == town_named("PORTLAND, ME") == maine
    assert Town.objects.count() == 1


def test_merged_on_it_leads_all_the_way_and_is_undone_from_the_end(maine, bare):
    last = town_named("Portland Harbour, Me.")
    first = merge_towns(maine, bare)
    second = merge_towns(last, maine)
    assert merged_into(bare.pk) == last
    with pytest.raises(MergeError, match="Portland Harbour"):
        undo_merge(first)
    undo_merge(second)
    undo_merge(first)
    assert Town.objects.count() == 3


def test_a_town_is_not_merged_with_itself_or_in_a_ring(maine, bare):
    with pytest.raises(MergeError, match="itself"):
        merge_towns(maine, maine)
    merge_towns(maine, bare)
    with pytest.raises(MergeError, match="merged meanwhile"):
        merge_towns(bare, maine)
    assert Merge.objects.count() == 1


def test_a_twin_in_the_bin_stops_it_and_nothing_has_moved(maine, bare):
    Bottler.objects.create(name="Quill", slug="quill", town=maine).put_in_bin()
    Bottler.objects.create(name="Quill", slug="quill-2", town=bare)
    find = piece(bare)
    with pytest.raises(MergeError, match="in the bin"):
        merge_towns(maine, bare)
    find.refresh_from_db()
    assert find.town == bare and Town.objects.count() == 2 and not Merge.objects.exists()
