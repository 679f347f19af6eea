"""Merging people: every app's rows follow, names lead on; who is erased is erased with who was merged."""

import pytest

from catalogue.common.merged import merged_into
from catalogue.common.models import Merge
from catalogue.common.records import delete_for_good
from catalogue.giving.services import promise
from catalogue.people.models import Person
from catalogue.people.services import erase, person_named
from catalogue.specimens.services.merging import MergeError, merge_records, part_records, what_moves
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture
def two() -> tuple[Person, Person]:
    kept = Person.objects.create(name="Ansel Quick")
    return kept, Person.objects.create(name="A. Quick", reach="by the boat shed", notes="Owes me a rope.")


def test_dives_and_promises_follow_and_go_back(two):
    kept, gone = two
    alone, together = factories.dive(), factories.dive()
    alone.buddies.add(gone)
    together.buddies.add(kept, gone)
    given = promise(factories.find(), gone)
    assert dict(what_moves(kept, gone)) == {"dives": 2, "promise": 1}
    made = merge_records(kept, gone)
    given.refresh_from_db()
    assert given.person == kept
    assert list(alone.buddies.all()) == list(together.buddies.all()) == [kept]
    part_records(made)
    given.refresh_from_db()
    assert given.person == gone
    assert list(alone.buddies.all()) == [gone] and set(together.buddies.all()) == {kept, gone}


def test_the_old_name_means_the_one_kept(two):
    kept, gone = two
    merge_records(kept, gone)
    assert person_named("a. quick") == kept and Person.objects.count() == 1
    kept.refresh_from_db()
    assert (kept.reach, kept.notes) == ("by the boat shed", "Owes me a rope.")


def test_a_merge_holds_no_words_of_a_person(two):
    kept, gone = two
    merge_records(kept, gone)
    told = str(Merge.objects.values().get())
    assert not any(word in told for word in ("Ansel", "Quick", "boat shed", "rope"))


def test_who_is_erased_is_erased_with_all_that_was_merged(two):
    kept, gone = two
    first = Person.objects.create(name="Old Ansel", reach="the inn")
    merge_records(gone, first)
    made = merge_records(kept, gone)
    erase(Person.objects.get(pk=kept.pk))
    for person in Person.everything.all():
        assert (person.name, person.reach, person.notes) == ("somebody (erased)", "", "")
    with pytest.raises(MergeError, match="erased since"):
        part_records(made)
    with pytest.raises(MergeError, match="erased"):
        merge_records(Person.objects.get(pk=kept.pk), factories.person("Wyn"))
    assert person_named("A. Quick").pk not in {kept.pk, gone.pk}


def test_who_is_deleted_for_good_takes_along_whoever_was_merged(two):
    kept, gone = two
    merge_records(kept, gone)
    kept.refresh_from_db()
    kept.put_in_bin()
    delete_for_good(kept)
    assert not Person.everything.exists() and not Merge.objects.exists()


def test_in_a_ring_or_with_oneself_it_is_refused(two):
    kept, gone = two
    with pytest.raises(MergeError, match="itself"):
        merge_records(kept, kept)
    merge_records(kept, gone)
    with pytest.raises(MergeError, match="meanwhile"):
        merge_records(gone, kept)
    assert merged_into(gone) == kept and merged_into(kept) is None
