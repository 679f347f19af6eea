"""The one owner."""

import pytest

from catalogue.access import services

pytestmark = pytest.mark.django_db


def test_the_owner_is_made_once_and_has_no_password():
    first = services.the_owner()
    assert services.the_owner() == first
    assert first.username == "owner"
    assert first.is_superuser and first.is_staff
    assert not first.has_usable_password()


def test_the_owner_that_is_there_is_left_as_it_is(owner):
    owner.set_password("kelp and lantern")
    owner.save()
    assert services.the_owner().check_password("kelp and lantern")
