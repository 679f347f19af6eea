"""The advice ticks what is done."""

from datetime import timedelta
from typing import Any

import pytest
from django.utils import timezone

from catalogue.care.care_tables import care_tables
from catalogue.care.decision import IS_THIS, Done, done_so_far
from catalogue.care.models import Treatment
from catalogue.care.piece_facts import know
from catalogue.specimens.models import Specimen
from tests.care.makers import crusted

pytestmark = pytest.mark.django_db


def treated(find: Specimen, method: str, *, days_ago: int = 1, open_still: bool = False, **said: Any) -> None:
    begun = timezone.now() - timedelta(days=days_ago)
    Treatment.objects.create(
        find=find, method=method, begun=begun, ended=None if open_still else begun, **said
    )


def done(find: Specimen) -> dict[str, Done]:
    return done_so_far(know(find).decision, find.treatments.all())


def test_nothing_is_ticked_at_first() -> None:
    assert done(crusted()) == {}


def test_what_was_done_is_ticked_with_its_day_and_result() -> None:
    find = crusted()
    treated(find, "acid-bath", days_ago=9, result="same")
    treated(find, "acid-bath", result="better")
    told = done(find)["hcl_bath"]
    assert told.ticked and told.words.startswith("Done ") and told.words.endswith(": better, not finished")


def test_what_goes_on_is_not_ticked() -> None:
    find = crusted()
    treated(find, "acid-bath", days_ago=3)
    treated(find, "acid-bath", open_still=True)
    told = done(find)["hcl_bath"]
    assert not told.ticked and "going on since" in told.words


def test_a_soak_does_not_say_that_the_salt_is_out() -> None:
    find = crusted()
    treated(find, "soak")
    told = done(find)
    assert told["fw_soak"].ticked
    assert not told["desal"].ticked and told["desal"].words.startswith("On record: fresh-water soak, ")


def test_other_and_what_lies_in_the_bin_are_passed_over() -> None:
    find = crusted()
    treated(find, "other")
    treated(find, "soak")
    find.treatments.get(method="soak").put_in_bin()
    assert done(find) == {}


def test_every_kind_that_is_told_apart_is_in_the_table() -> None:
    methods = care_tables().methods
    assert {(kind, key) for kind, keys in IS_THIS.items() for key in keys} <= {
        (method.logs_as, method.key) for method in methods.values()
    }
