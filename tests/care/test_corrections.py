"""A piece tapped out wrongly is in again, and a soak can have begun before it was written down."""

from datetime import timedelta

import pytest
from django.utils import timezone

from catalogue.care.models import BathMember, Soak, SoakMember, Treatment
from catalogue.care.services import (
    NotNow,
    SoakRefused,
    end_bath,
    end_soak,
    put_back_in_bath,
    put_back_in_soak,
    read_soak,
    start_load,
    start_soak,
    take_out_of_bath,
    take_out_of_soak,
)
from catalogue.specimens.models import Specimen
from tests import factories as make
from tests.care.makers import bath, crusted, soak

pytestmark = pytest.mark.django_db


def hours_ago(count: float):
    return timezone.now() - timedelta(hours=count)


class TestBath:
    def test_a_piece_is_in_as_before_and_its_treatment_in_the_bin(self) -> None:
        load = start_load(bath(crusted()), at=hours_ago(1))
        member = load.members.get()
        take_out_of_bath(member, "none", note="wrong one")
        again = put_back_in_bath(member)
        assert (again.out_at, again.outcome, again.note, again.treatment) == (None, "", "", None)
        assert again.in_at == load.began_at and load.bath.loads.get().ended_at is None
        assert not Treatment.objects.exists() and Treatment.everything.in_bin().count() == 1

    def test_it_comes_out_again_with_one_treatment(self) -> None:
        member = start_load(bath(crusted()), at=hours_ago(1)).members.get()
        take_out_of_bath(member, "none")
        put_back_in_bath(member)
        assert take_out_of_bath(member, "much")[1] is True
        assert Treatment.objects.get().result == "same"

    def test_twice_is_once(self) -> None:
        member = start_load(bath(crusted())).members.get()
        take_out_of_bath(member, "none")
        put_back_in_bath(member)
        assert put_back_in_bath(member).out_at is None
        assert Treatment.everything.count() == 1

    def test_not_once_the_bath_has_ended(self) -> None:
        member = start_load(bath(crusted())).members.get()
        take_out_of_bath(member, "none")
        end_bath(member.bath, "neutralised")
        with pytest.raises(NotNow, match="has ended"):
            put_back_in_bath(member)
        assert Treatment.objects.count() == 1

    def test_not_beside_another_load(self) -> None:
        from catalogue.care.services import choose

        first = start_load(bath(crusted()), at=hours_ago(2)).members.get()
        take_out_of_bath(first, "none", at=hours_ago(1))
        choose(first.bath, crusted("Another"))
        start_load(first.bath)
        with pytest.raises(NotNow, match="Another load"):
            put_back_in_bath(first)

    def test_not_while_it_is_in_another_water(self) -> None:
        member = start_load(bath(crusted())).members.get()
        take_out_of_bath(member, "none")
        start_soak(soak(), [member.find])
        with pytest.raises(NotNow, match="in a soak"):
            put_back_in_bath(member)
        assert BathMember.objects.get().out_at is not None


class TestSoak:
    def test_a_piece_is_in_as_before_and_its_treatment_in_the_bin(self) -> None:
        water = start_soak(soak(began_at=hours_ago(30)), [make.find("Beer")])
        member = water.members.get()
        take_out_of_soak(member, stage="drying")
        again = put_back_in_soak(member)
        assert (again.out_at, again.treatment) == (None, None) and again.in_at == water.began_at
        assert Specimen.objects.get().stage == "soaking"
        assert not Treatment.objects.exists() and Treatment.everything.in_bin().count() == 1
        assert take_out_of_soak(member)[1] is True and Treatment.objects.count() == 1

    def test_a_soak_ended_by_a_wrong_tap_goes_on(self) -> None:
        water = start_soak(soak(), [make.find("Beer"), make.find("Ink")])
        end_soak(water, stage="cleaning")
        put_back_in_soak(water.members.first())
        assert Soak.objects.get().ended_at is None
        assert SoakMember.objects.filter(out_at=None).count() == 1

    def test_not_while_it_is_elsewhere(self) -> None:
        find = crusted()
        water = start_soak(soak(), [find])
        member = water.members.get()
        take_out_of_soak(member)
        other = start_soak(soak("Red crate"), [find])
        with pytest.raises(SoakRefused, match="another soak by now"):
            put_back_in_soak(member)
        take_out_of_soak(other.members.get())
        with pytest.raises(SoakRefused, match="since"):
            put_back_in_soak(member)
        start_load(bath(find))
        with pytest.raises(SoakRefused, match="acid bath"):
            put_back_in_soak(member)
        assert member.soak.members.get().out_at is not None


class TestBegunInThePast:
    def test_its_pieces_went_in_then(self) -> None:
        began = hours_ago(100)
        water = start_soak(soak(began_at=began), [make.find("Beer")])
        assert water.members.get().in_at == began
        read_soak(water, 400, at=hours_ago(50), changed=True)
        treatment, _ = take_out_of_soak(water.members.get())
        assert treatment.begun == began and "1 change of water" in treatment.note

    def test_a_piece_that_was_elsewhere_came_later(self) -> None:
        find = crusted()
        member = start_load(bath(find), at=hours_ago(5)).members.get()
        take_out_of_bath(member, "none", at=hours_ago(3))
        water = start_soak(soak(began_at=hours_ago(100)), [find])
        member.refresh_from_db()
        assert water.members.get().in_at == member.out_at
