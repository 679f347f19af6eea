"""Merging bottlers and products: years follow, names lead on, what was blank is taken over."""

import pytest

from catalogue.common.merged import merged_into
from catalogue.common.models import Merge
from catalogue.specimens.models import Bottler, OwnCode, Product, Specimen
from catalogue.specimens.services.merging import MergeError, merge_records, part_records, takes_over
from catalogue.specimens.services.towns import bottler_named, product_named
from tests import factories
from tests.specimens.derived_parts import agree, found

pytestmark = pytest.mark.django_db


@pytest.fixture
def two() -> tuple[Bottler, Bottler]:
    """One of known years, and another spelling of its name."""
    town = factories.town()
    kept = factories.bottler("Quill & Sons", town=town, from_year=1884, to_year=1890, notes="In Hook Lane.")
    return kept, factories.bottler("QUILL AND SONS", town=town, notes="Burnt down.")


def test_years_and_words_of_its_pieces_follow_and_go_back(two):
    kept, gone = two
    find = factories.find(what="Ginger beer", bottler=gone)
    before = find.made_words
    made = merge_records(kept, gone)
    find.refresh_from_db()
    assert (find.bottler, find.made_from, find.made_to) == (kept, 1884, 1890) and agree()
    # One to search, however it is written; that the words follow is what `agree` compares.
    assert found("quill & sons") == found("quill and sons") == ["Ginger beer"]
    assert Bottler.objects.get(pk=kept.pk).notes == "In Hook Lane.\n\nBurnt down."
    part_records(made)
    find.refresh_from_db()
    assert (find.bottler, find.made_words) == (gone, before) and agree()
    assert Bottler.objects.get(pk=kept.pk).notes == "In Hook Lane."


def test_years_that_the_one_kept_lacks_are_taken_over_with_their_source(two):
    dated, bare = two
    Bottler.objects.filter(pk=dated.pk).update(source="Town directory 1885", years_certainty="probable")
    dated.refresh_from_db()
    find = factories.find(bottler=bare)
    assert takes_over(bare, dated) == ["in business from", "in business to", "how sure", "source", "notes"]
    made = merge_records(bare, dated)
    bare.refresh_from_db()
    find.refresh_from_db()
    assert (bare.from_year, bare.to_year, bare.source) == (1884, 1890, "Town directory 1885")
    assert find.made_from == 1884 and bare.years_certainty == "probable" and agree()
    part_records(made)
    bare.refresh_from_db()
    find.refresh_from_db()
    assert (bare.from_year, bare.to_year, bare.source, find.made_from) == (None, None, "", None)
    assert bare.years_certainty == "certain"


def test_a_word_changed_since_stays_when_it_is_undone(two):
    dated, bare = two
    made = merge_records(bare, dated)
    Bottler.objects.filter(pk=bare.pk).update(from_year=1880, notes="Mine.")
    part_records(made)
    bare.refresh_from_db()
    assert (bare.from_year, bare.to_year, bare.notes) == (1880, None, "Mine.")


def test_the_old_name_files_under_the_one_kept(two):
    kept, gone = two
    merge_records(kept, gone)
    assert bottler_named("Quill and Sons", kept.town) == bottler_named("quill AND sons") == kept
    elder, other = product_named("Elder Fizz", kept), product_named("ELDERFIZZ", kept)
    merge_records(elder, other)
    assert product_named("Elderfizz", kept) == elder
    assert Bottler.objects.count() == Product.objects.count() == 1


def test_products_of_one_name_become_one_and_codes_follow(two):
    kept, gone = two
    maker = factories.brackwater()
    mine, its = (product_named("Elder Fizz", bottler) for bottler in two)
    other = product_named("Nettle", gone)
    code = OwnCode.objects.create(maker=maker, kind="last-digit", bottler=gone, product=its)
    find = factories.find(bottler=gone, product=its)
    made = merge_records(kept, gone)
    for row in (code, find, other):
        row.refresh_from_db()
    assert (code.bottler, code.product, find.product, other.bottler) == (kept, mine, mine, kept)
    assert merged_into(its) == mine and agree()
    with pytest.raises(MergeError, match="another merge"):
        part_records(Merge.objects.get(kind="product"))
    part_records(made)
    for row in (code, find, other):
        row.refresh_from_db()
    assert (code.bottler, code.product, find.product, other.bottler) == (gone, its, its, gone) and agree()


def test_a_third_of_that_name_stops_it_and_nothing_has_moved():
    """The one kept would take the town, where another of its name is."""
    town = factories.town()
    factories.bottler("Quill", town=town)
    kept, gone = factories.bottler("Quill"), factories.bottler("Quill & Sons", town=town)
    find = factories.find(bottler=gone)
    with pytest.raises(MergeError, match="Nothing was moved"):
        merge_records(kept, gone)
    find.refresh_from_db()
    assert find.bottler == gone and Bottler.objects.count() == 3 and not Merge.objects.exists()


def test_a_name_taken_meanwhile_keeps_it_merged(two):
    kept, gone = two
    made = merge_records(kept, gone)
    Bottler.objects.create(name=gone.name, slug="another", town=gone.town)
    with pytest.raises(MergeError, match="rename that one first"):
        part_records(made)
    assert merged_into(gone) == kept and Specimen.objects.count() == 0


def test_queries_do_not_grow_with_what_moves(two, django_assert_max_num_queries):
    kept, gone = two
    for n in range(40):
        Product.objects.create(name=f"Fizz {n}", slug=f"fizz-{n}", bottler=gone)
    with django_assert_max_num_queries(60):
        merge_records(kept, gone)
    assert kept.products.count() == 40
