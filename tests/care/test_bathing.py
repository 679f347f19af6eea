"""A bath from plan to end, and what can go wrong on the way."""

import threading
from datetime import timedelta

import pytest
from django.db import IntegrityError, connection, transaction
from django.utils import timezone

from catalogue.care.bath_sums import acid_left
from catalogue.care.models import Bath, BathMember, Treatment
from catalogue.care.services import (
    Blocked,
    NotNow,
    choose,
    end_bath,
    leave_out,
    look_in,
    start_load,
    start_soak,
    take_out_of_bath,
)
from catalogue.specimens.models import Specimen
from tests.care.makers import bath, crusted, soak, tub

pytestmark = pytest.mark.django_db


def test_six_crusted_bottles_from_plan_to_end() -> None:
    finds = [crusted(f"Crusted {n}") for n in range(6)]
    planned = bath(*finds)
    load = start_load(planned)
    planned.refresh_from_db()
    assert planned.acid_ml == pytest.approx((planned.vessel.volume_ml * 0.8 - 6 * 540 / 2.5) * 0.15)
    assert planned.acid.mol_per_l == pytest.approx(1.5, rel=0.01)
    assert {f.stage for f in Specimen.objects.all()} == {"cleaning"}
    later = timezone.now()
    for n, member in enumerate(load.members.all()):
        treatment, new = take_out_of_bath(
            member, ["none", "some", "much"][n % 3], at=later + timedelta(minutes=n % 2)
        )
        assert new and treatment.method == "acid-bath" and treatment.ended >= treatment.begun
    load.refresh_from_db()
    assert load.ended_at
    assert Treatment.objects.filter(method="acid-bath").count() == 6
    assert sorted(Treatment.objects.values_list("result", flat=True)) == sorted(
        ["clean", "better", "same"] * 2
    )
    ended = end_bath(planned, "neutralised", at=later + timedelta(minutes=2), neutralised_with="baking soda")
    assert ended.ended_at and ended.neutralised_with == "baking soda"


def test_a_treatment_says_how_strong_the_bath_was() -> None:
    load = start_load(bath(crusted()))
    treatment, _ = take_out_of_bath(load.members.get(), "none")
    assert "1.50 mol/l" in treatment.strength
    assert "15 : 85" in treatment.agents


def test_lifting_twice_writes_one_treatment_and_keeps_the_first_outcome() -> None:
    load = start_load(bath(crusted()))
    member = load.members.get()
    first, new = take_out_of_bath(member, "some")
    second, again = take_out_of_bath(BathMember.objects.get(pk=member.pk), "none")
    assert (new, again) == (True, False)
    assert first == second
    assert BathMember.objects.get(pk=member.pk).outcome == "some"
    assert Treatment.objects.count() == 1


def test_ending_and_starting_twice_happens_once() -> None:
    planned = bath(crusted())
    assert start_load(planned) == start_load(Bath.objects.get(pk=planned.pk))
    take_out_of_bath(planned.members.get(), "none")
    first = end_bath(planned, "neutralised", note="white")
    second = end_bath(planned, "collected", note="other")
    assert (second.ended_how, second.note) == (first.ended_how, "white")


@pytest.mark.parametrize(
    "gate",
    [
        "unknown_contents",
        "crack",
        "fired_label",
        "painted",
        "lead",
        "iridescent",
        "unstable",
        "metal",
        "sulphide",
        "repair",
    ],
)
def test_a_gate_keeps_a_piece_out_until_a_reason_is_written(gate: str) -> None:
    find = crusted(found=(gate,))
    planned = bath(find)
    with pytest.raises(Blocked) as blocked:
        start_load(planned)
    assert list(blocked.value.why) == [find.number]
    assert not planned.members.get().in_at
    planned.refresh_from_db()
    assert not planned.mixed_at
    planned.members.update(override_reason="A sherd for a trial")
    treatment, _ = take_out_of_bath(start_load(planned).members.get(), "none")
    assert treatment.override_reason == "A sherd for a trial"


def test_sealed_contents_stay_out_whatever_is_written() -> None:
    planned = bath(crusted(found=("sealed",)))
    planned.members.update(override_reason="I am sure")
    with pytest.raises(Blocked, match="sealed"):
        start_load(planned)


def test_a_site_on_hold_keeps_its_pieces_out_until_it_is_cleared() -> None:
    from tests import factories as make

    site = make.site("Tallow Cove", wreck="yes")
    planned = bath(crusted(dive=make.dive(site)))
    planned.members.update(override_reason="never mind")
    with pytest.raises(Blocked, match="hold"):
        start_load(planned)
    site.hold_cleared_reason = "The receiver answered"
    site.save()
    assert start_load(planned)


def test_nobody_has_looked_yet() -> None:
    with pytest.raises(Blocked, match="looked"):
        start_load(bath(crusted(looked=False)))


def test_a_piece_that_keeps_its_growth_needs_a_reason() -> None:
    with pytest.raises(Blocked, match="growth is the look"):
        start_load(bath(crusted(look="growth")))


def test_a_piece_is_in_one_bath_at_a_time() -> None:
    find = crusted()
    start_load(bath(find))
    second = bath(find, vessel=tub("Second tub"))
    with pytest.raises(Blocked, match="another bath"):
        start_load(second)
    member = second.members.get()
    member.in_at = timezone.now()
    with pytest.raises(IntegrityError), transaction.atomic():
        member.save()


def test_one_bad_piece_lets_none_in() -> None:
    planned = bath(crusted("Good"), crusted("Cracked", found=("crack",)))
    with pytest.raises(Blocked):
        start_load(planned)
    assert not BathMember.objects.filter(in_at__isnull=False).exists()
    assert planned.loads.count() == 0


def test_a_second_load_knows_what_is_left() -> None:
    planned = bath(crusted("First"))
    planned.members.update(growth_g=120)
    take_out_of_bath(start_load(planned).members.get(), "none")
    planned.refresh_from_db()
    used = 2 * 120 / 100.087
    assert acid_left(planned).mol == pytest.approx(planned.acid_mol - used)
    choose(planned, crusted("Second"))
    load = start_load(planned)
    assert load.ordinal == 2
    # some growth left: half of what was on it
    planned.members.filter(load=load).update(growth_g=100)
    take_out_of_bath(load.members.get(), "some")
    assert acid_left(planned).mol == pytest.approx(planned.acid_mol - used - 100 / 100.087)


def test_a_spent_bath_takes_no_second_load() -> None:
    planned = bath(crusted("First"))
    planned.members.update(growth_g=4999)
    take_out_of_bath(start_load(planned).members.get(), "none")
    planned.refresh_from_db()
    assert acid_left(planned).mol == 0
    choose(planned, crusted("Second"))
    with pytest.raises(NotNow, match="spent"):
        start_load(planned)


def test_a_clock_set_back_is_noticed_and_nothing_is_written() -> None:
    load = start_load(bath(crusted()))
    member = load.members.get()
    with pytest.raises(NotNow, match="clock was changed"):
        take_out_of_bath(member, "none", at=member.in_at - timedelta(hours=1))
    assert Treatment.objects.count() == 0
    take_out_of_bath(member, "none")
    with pytest.raises(NotNow, match="clock was changed"):
        end_bath(load.bath, "neutralised", at=member.in_at - timedelta(hours=1))
    with pytest.raises(NotNow, match="still to come"):
        end_bath(load.bath, "neutralised", at=timezone.now() + timedelta(days=1))


def test_pieces_still_in_keep_a_bath_open() -> None:
    load = start_load(bath(crusted()))
    with pytest.raises(NotNow, match="still in it"):
        end_bath(load.bath, "neutralised")
    with pytest.raises(NotNow, match="take it out instead"):
        leave_out(load.members.get())


def test_a_plan_given_up_frees_its_pieces() -> None:
    find = crusted()
    planned = bath(find)
    assert end_bath(planned, "neutralised").ended_how == "not-mixed"
    assert not planned.members.exists()
    with pytest.raises(NotNow, match="ended"):
        start_load(planned)
    with pytest.raises(NotNow, match="ended"):
        choose(planned, find)


def test_looking_in_moves_the_next_look() -> None:
    load = start_load(bath(crusted()))
    assert load.next_look - load.began_at == timedelta(minutes=15)
    look_in(load, again_in=timedelta(minutes=30), note="fizzing")
    load.refresh_from_db()
    assert timedelta(minutes=29) < load.next_look - timezone.now() < timedelta(minutes=31)
    take_out_of_bath(load.members.get(), "none")
    with pytest.raises(NotNow):
        look_in(load, again_in=timedelta(minutes=30))


@pytest.mark.parametrize(("first", "last"), [(0, 4), (3, 2), (2, 20)])
def test_odd_times_to_look_in_are_refused(first: int, last: int) -> None:
    with pytest.raises(NotNow):
        start_load(bath(crusted()), look_from=timedelta(hours=first), look_to=timedelta(hours=last))


def test_metal_is_never_planned() -> None:
    with pytest.raises(NotNow, match="metal"):
        bath(crusted(), vessel=tub("Pail", material="metal"))
    assert Bath.objects.count() == 0


def test_a_piece_leaves_its_soak_for_the_bath() -> None:
    find = crusted()
    water = start_soak(soak(), [find])
    start_load(bath(find))
    assert water.members.get().out_at
    assert Treatment.objects.filter(method="soak", find=find).count() == 1


def test_an_empty_bath_does_not_start() -> None:
    with pytest.raises(NotNow, match="No piece"):
        start_load(bath())


@pytest.mark.django_db(transaction=True)
def test_two_tabs_taking_out_the_same_piece_write_one_treatment() -> None:
    load = start_load(bath(crusted()))
    member = load.members.get()
    gate, results = threading.Barrier(2), []

    def tab(outcome: str) -> None:
        try:
            gate.wait()
            results.append(take_out_of_bath(BathMember.objects.get(pk=member.pk), outcome)[1])
        finally:
            connection.close()

    tabs = [threading.Thread(target=tab, args=(outcome,)) for outcome in ("none", "much")]
    for each in tabs:
        each.start()
    for each in tabs:
        each.join()
    assert sorted(results) == [False, True]
    assert Treatment.objects.count() == 1
