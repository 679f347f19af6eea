"""Soaking the salt out."""

from datetime import timedelta
from decimal import Decimal
from unittest import mock

import pytest
from django.utils import timezone

from catalogue.care.models import Treatment
from catalogue.care.services import (
    SoakRefused,
    end_soak,
    put_in_soak,
    read_soak,
    start_load,
    start_soak,
    take_out_of_soak,
)
from catalogue.specimens.models import Specimen
from tests import factories as make
from tests.care.makers import bath, crusted, soak

pytestmark = pytest.mark.django_db


def test_a_batch_from_first_water_to_one_treatment_each() -> None:
    finds = [make.find(f"Beer {n}") for n in range(3)]
    water = start_soak(soak(tap=Decimal(200)), finds)
    assert {f.stage for f in Specimen.objects.all()} == {"soaking"}
    read_soak(water, Decimal("4100"), changed=True)
    read_soak(water, Decimal("230"))
    end_soak(water, stage="cleaning")
    end_soak(water, stage="wet")
    treatments = Treatment.objects.filter(method="soak")
    assert treatments.count() == 3
    assert treatments[0].note == "1 change of water, last reading 230 µS/cm."
    assert {f.stage for f in Specimen.objects.all()} == {"cleaning"}


def test_taken_out_twice_is_once() -> None:
    water = start_soak(soak(), [make.find("Beer")])
    member = water.members.get()
    assert take_out_of_soak(member)[1] is True
    assert take_out_of_soak(member)[1] is False
    assert Treatment.objects.count() == 1


def test_a_piece_moves_from_one_water_to_another() -> None:
    find = make.find("Beer")
    first, second = start_soak(soak("One"), [find]), start_soak(soak("Two"), [find])
    assert first.members.get().out_at
    assert put_in_soak(second, find) == second.members.get()
    assert second.members.count() == 1


def test_what_is_refused() -> None:
    find = crusted()
    water = start_soak(soak(), [find])
    with pytest.raises(SoakRefused, match="Type a reading"):
        read_soak(water, None)
    with pytest.raises(SoakRefused, match="before it went in"):
        take_out_of_soak(water.members.get(), at=timezone.now() - timedelta(days=2))
    start_load(bath(find))
    with pytest.raises(SoakRefused, match="acid bath"):
        put_in_soak(water, find)
    end_soak(water)
    with pytest.raises(SoakRefused, match="ended"):
        put_in_soak(water, make.find("Late"))


def test_a_clock_set_back_does_not_keep_a_piece_in_the_water() -> None:
    member = start_soak(soak(), [make.find("Beer")]).members.get()
    with mock.patch("django.utils.timezone.now", return_value=member.in_at - timedelta(hours=3)):
        done, new = take_out_of_soak(member)
    assert new and done.ended == done.begun
