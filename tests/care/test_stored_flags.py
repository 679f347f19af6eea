"""The stored gates of a find follow every write that changes them; where they don't, it is found out."""

import datetime

import pytest
from django.core.management import call_command

from catalogue.care.models import Check, ConditionReport
from catalogue.care.piece_facts import knowledge_of
from catalogue.care.services import note_look
from catalogue.care.stored_flags import NOT_STORED, read, work_out_missing, written
from catalogue.specimens.derived.above import refresh_above
from catalogue.specimens.models import Inscription, Specimen
from catalogue.specimens.services import Parts, set_standing
from tests import factories as make
from tests.care.makers import crusted

pytestmark = pytest.mark.django_db


def stored(find: Specimen) -> str | None:
    return Specimen.everything.values_list("care_flags", flat=True).get(pk=find.pk)


def agrees() -> bool:
    """Whether all that is stored is what care knows of the pieces themselves."""
    known = knowledge_of(Specimen.objects.all())
    told = {pk: read(stored(each.find)) for pk, each in known.items()}
    assert told == {pk: each.facts.flags - NOT_STORED for pk, each in known.items()}
    return True


def test_a_look_and_a_later_one() -> None:
    find = crusted(found=("sealed", "crack"))
    assert stored(find) == "|crack|sealed|" and agrees()
    find.checks.get().delete()
    assert stored(find) == "" and agrees()


def test_a_report_its_damage_and_the_bin() -> None:
    find = crusted()
    report = ConditionReport.objects.create(find=find, on=datetime.date(2024, 6, 2), grade="fragile")
    damage = report.damages.create(kind="munition")
    assert stored(find) == "|munition|" and agrees()
    damage.kind = "flaking"
    damage.save()
    assert stored(find) == "|unstable|" and agrees()
    report.put_in_bin()
    assert stored(find) == "" and agrees()


def test_what_an_authority_has_is_told_by_its_standing_alone() -> None:
    find = crusted(found=("crack",))
    set_standing(find, "returned")
    assert "returned" in knowledge_of([find])[find.pk].facts.flags
    assert stored(find) == "|crack|" and agrees()
    refresh_above([find.pk])
    assert stored(find) == "|crack|"


def test_looks_changed_at_once() -> None:
    find = crusted()
    Check.objects.update(found=["remains"])
    assert stored(find) == "|remains|" and agrees()


def test_lettering_on_paper() -> None:
    find = make.find("bottle", Parts(inscriptions=[Inscription(text="TONIC", how="paper")]))
    assert stored(find) == "|paper_label|" and agrees()
    find.inscriptions.get().put_in_bin()
    assert stored(find) == "" and agrees()


def test_a_site_on_hold_and_cleared() -> None:
    site = make.site(wreck="yes")
    find, loose = make.find("bottle", dive=make.dive(site)), make.find("jar", site=site)
    assert (stored(find), stored(loose)) == ("|hold|", "|hold|") and agrees()
    other = make.find("jug", dive=make.dive(make.site("Tallow Cove")))
    other.dive.site = site
    other.dive.save()
    assert stored(other) == "|hold|"
    type(site).objects.update(wreck="no")
    assert (stored(find), stored(loose), stored(other)) == ("", "", "") and agrees()


def test_a_find_saved_from_an_old_copy_keeps_what_is_stored() -> None:
    find = crusted()
    old = Specimen.objects.get(pk=find.pk)
    note_look(find, ["sealed"])
    old.notes = "chipped"
    old.save()
    assert stored(find) == "|sealed|" and old.care_flags == "|sealed|"


def test_before_an_update_nothing_was_worked_out_and_the_next_start_does_it() -> None:
    find = crusted(found=("sealed",))
    Specimen.everything.update(care_flags=None)
    assert work_out_missing() == []
    assert stored(find) == "|sealed|"


def test_a_start_asks_once(django_assert_num_queries) -> None:
    crusted()
    with django_assert_num_queries(1):
        work_out_missing()


def test_what_was_broken_behind_its_back_is_named_and_mended(capsys) -> None:
    find = crusted(found=("sealed",))
    Specimen.everything.update(care_flags="|crack|")
    with pytest.raises(SystemExit):
        call_command("check_derived", all=True)
    assert f"{find.number} care_flags: stored '|crack|', expected '|sealed|'" in capsys.readouterr().out
    call_command("check_derived", all=True, mend=True)
    assert stored(find) == "|sealed|"


def test_many_take_five_queries(django_assert_num_queries) -> None:
    finds = [crusted(found=("crack",)) for _ in range(4)]
    make_report(finds[0])
    with django_assert_num_queries(5):
        assert refresh_above([find.pk for find in finds]) == 0


def make_report(find: Specimen) -> None:
    ConditionReport.objects.create(find=find, on=datetime.date(2024, 6, 2), grade="worn").damages.create(
        kind="haze"
    )


def test_a_key_that_would_break_the_list_is_written_whole() -> None:
    assert read(written(["glows|dark", "sealed", "early"])) == {"glows/dark", "sealed"}
    assert read(None) == read("") == frozenset()
