"""Wrong passwords are counted by address, for a quarter of an hour."""

from datetime import timedelta

import pytest
from django.utils import timezone

from catalogue.access.models import WrongPassword
from catalogue.access.passwords import MOST_FROM_ONE_ADDRESS, check_password
from catalogue.access.tries import SPAN, TooManyTries

pytestmark = pytest.mark.django_db
RIGHT = "kelp and lantern"


@pytest.fixture(autouse=True)
def quick_hashing(settings):
    """The real hash is slow on purpose; what is tried here is the counting."""
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture(autouse=True)
def password(owner, quick_hashing):
    owner.set_password(RIGHT)
    owner.save()


def wrong(times: int, address: str = "192.168.7.2") -> None:
    for _ in range(times):
        assert check_password("guess", address) is None


def test_the_right_password_is_the_owner(owner):
    assert check_password(RIGHT, "192.168.7.2") == owner


def test_after_five_wrong_ones_the_right_one_is_not_looked_at():
    wrong(MOST_FROM_ONE_ADDRESS)
    with pytest.raises(TooManyTries) as raised:
        check_password(RIGHT, "192.168.7.2")
    assert raised.value.minutes == 15


def test_another_address_is_not_held_up_by_one(owner):
    wrong(MOST_FROM_ONE_ADDRESS)
    assert check_password(RIGHT, "192.168.7.3") == owner


def test_many_strangers_who_mistype_do_not_keep_the_owner_out(owner):
    for n in range(40):
        wrong(1, f"192.168.7.{n + 1}")
    assert check_password(RIGHT, "192.168.8.1") == owner


def test_a_refused_try_does_not_lengthen_the_wait():
    wrong(MOST_FROM_ONE_ADDRESS)
    for _ in range(3):
        with pytest.raises(TooManyTries):
            check_password("guess", "192.168.7.2")
    assert WrongPassword.objects.count() == MOST_FROM_ONE_ADDRESS


def test_the_wait_is_until_the_oldest_try_is_a_quarter_of_an_hour_old(owner):
    wrong(MOST_FROM_ONE_ADDRESS)
    oldest = WrongPassword.objects.earliest("at")
    WrongPassword.objects.filter(pk=oldest.pk).update(at=timezone.now() - SPAN + timedelta(seconds=90))
    with pytest.raises(TooManyTries) as raised:
        check_password(RIGHT, "192.168.7.2")
    assert raised.value.minutes == 2
    WrongPassword.objects.filter(pk=oldest.pk).update(at=timezone.now() - SPAN)
    assert check_password(RIGHT, "192.168.7.2") == owner


def test_the_right_password_clears_the_count_of_its_address():
    wrong(MOST_FROM_ONE_ADDRESS - 1)
    wrong(1, "192.168.7.3")
    check_password(RIGHT, "192.168.7.2")
    assert list(WrongPassword.objects.values_list("address", flat=True)) == ["192.168.7.3"]


def test_no_password_set_means_none_is_right(owner):
    owner.set_unusable_password()
    owner.save()
    assert check_password("", "192.168.7.2") is None


def test_tries_of_a_clock_that_stood_wrong_lock_nobody_out(owner, monkeypatch):
    now = timezone.now()
    monkeypatch.setattr(timezone, "now", lambda: now + timedelta(days=400))
    wrong(MOST_FROM_ONE_ADDRESS)
    monkeypatch.setattr(timezone, "now", lambda: now)
    assert check_password(RIGHT, "192.168.7.2") == owner
