"""Recording and revising a find from a plain value: whole, or not at all."""

import datetime
from decimal import Decimal

import pytest

from catalogue.common.forms.optimistic_lock import ChangedMeanwhile, version_of
from catalogue.common.records import PutInBinMeanwhile
from catalogue.people.models import Person
from catalogue.shelves.models import Place
from catalogue.sites.models import Dive, Site
from catalogue.specimens.models import Inscription, Specimen, Town
from catalogue.specimens.services import FindEntry, Parts, PlaceSaid, WhereFound, record_find, revise_find
from tests import factories

pytestmark = pytest.mark.django_db
DAY = datetime.date(2024, 6, 1)


def entry() -> FindEntry:
    """A find on a new dive at a new site, with everything named."""
    return FindEntry(
        columns={"what": "Aqua soda bottle", "contents": "soda"},
        found=WhereFound(new_site=" Heron  Ledge", day=DAY, depth_m=Decimal("9.5"), buddies=("Ansel Quick",)),
        town="Marrowby",
        bottler="Quill & Sons",
        product="Fern ginger beer",
        place=PlaceSaid(name="Hall case"),
        parts=Parts(inscriptions=[Inscription(text="QUILL", where="body")]),
    )


def test_a_find_brings_its_dive_site_people_and_place_along() -> None:
    seen: list[str] = []
    find = record_find(entry(), lambda kept: seen.append(kept.number))
    find.refresh_from_db()
    assert find.dive is not None and find.dive.site.name == "Heron Ledge"
    assert [buddy.name for buddy in find.dive.buddies.all()] == ["Ansel Quick"]
    assert (str(find.place), find.town.name, find.bottler.town) == ("Hall case", "Marrowby", find.town)
    assert (find.product.bottler, find.product.contents) == (find.bottler, "soda")
    assert [row.text for row in find.inscriptions.all()] == ["QUILL"]
    assert seen == [find.number]


def test_names_on_record_are_taken_before_new_ones_are_made() -> None:
    factories.site("Heron Ledge")
    factories.place("Hall case")
    record_find(entry())
    assert (Site.objects.count(), Place.objects.count()) == (1, 1)


def test_nothing_is_kept_where_what_comes_along_fails() -> None:
    def fails(find: Specimen) -> None:
        raise OSError("no room")

    with pytest.raises(OSError):
        record_find(entry(), fails)
    kept = (Specimen, Dive, Site, Person, Place, Town)
    assert [model._default_manager.count() for model in kept] == [0] * len(kept)


def test_what_is_left_out_stays_as_it_is() -> None:
    find = record_find(entry())
    revise_find(find.pk, FindEntry(columns={"notes": "with a chip"}))
    after = Specimen.objects.get(pk=find.pk)
    for name in ("what", "dive", "site", "town", "bottler", "product", "place"):
        assert getattr(after, name) == getattr(find, name)
    assert after.notes == "with a chip"
    assert after.inscriptions.count() == 1


def test_an_empty_name_takes_it_away_and_no_place_moves_it_out() -> None:
    find = record_find(entry())
    revise_find(find.pk, FindEntry(town="", place=PlaceSaid(), found=WhereFound(recovered="199X")))
    after = Specimen.objects.get(pk=find.pk)
    assert (after.town, after.place, after.dive, after.recovered_edtf) == (None, None, None, "199X")
    assert after.bottler == find.bottler
    assert [move.to_place for move in after.moves.order_by("pk")] == [find.place, None]


def test_a_find_changed_meanwhile_is_not_revised() -> None:
    find = record_find(entry())
    seen = version_of(find)
    revise_find(find.pk, FindEntry(columns={"notes": "first"}), seen=seen)
    with pytest.raises(ChangedMeanwhile):
        revise_find(find.pk, FindEntry(columns={"notes": "second"}, town="Otherby"), seen=seen)
    assert Specimen.objects.get(pk=find.pk).notes == "first"
    assert not Town.objects.filter(name="Otherby").exists()


def test_a_find_never_rests_on_what_was_put_in_the_bin_since_its_form_was_checked() -> None:
    dive, site, place = factories.dive(), factories.site("Otter Hole"), factories.place("Shed")
    for record in (dive, site, place):
        record.put_in_bin()
    on_them = {
        "dive": FindEntry(found=WhereFound(dive=dive.pk)),
        "site": FindEntry(found=WhereFound(site=site.pk)),
        "place": FindEntry(place=PlaceSaid(place=place)),
    }
    find = factories.find()
    for column, said in on_them.items():
        with pytest.raises(PutInBinMeanwhile, match=column):
            record_find(said)
        with pytest.raises(PutInBinMeanwhile, match=column):
            revise_find(find.pk, said)
    with pytest.raises(PutInBinMeanwhile, match="site"):
        record_find(FindEntry(found=WhereFound(site=site.pk, day=DAY)))
    assert list(Specimen.everything.all()) == [find]


def test_a_find_keeps_a_dive_that_it_rests_on_already() -> None:
    find = factories.find(dive=factories.dive())
    Dive.objects.filter(pk=find.dive_id).update(binned_at=find.created)
    revise_find(find.pk, FindEntry(columns={"notes": "with a chip"}, found=WhereFound(dive=find.dive_id)))
    find.refresh_from_db()
    assert find.notes == "with a chip"
