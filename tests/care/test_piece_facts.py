"""What is known of a piece before it is treated."""

import datetime

import pytest

from catalogue.care.models import ConditionReport, Damage
from catalogue.care.piece_facts import know, knowledge_of
from catalogue.care.services import note_look, report_condition
from catalogue.specimens.models import Inscription, KnownYears
from catalogue.specimens.services import Parts
from tests import factories as make

pytestmark = pytest.mark.django_db


def report(find, *damages: tuple[str, str], on: datetime.date = datetime.date(2025, 5, 1)) -> None:
    rows = [Damage(kind=kind, extent=extent) for kind, extent in damages]
    report_condition(ConditionReport(find=find, on=on, grade="sound"), rows)


@pytest.mark.parametrize(
    ("kind", "gate"),
    [
        ("crack", "crack"),
        ("flash", "crack"),
        ("weeping", "unstable"),
        ("crizzling", "unstable"),
        ("iridescent", "iridescent"),
        ("sealed", "sealed"),
        ("rust", "metal"),
        ("sulphide", "sulphide"),
        ("repair", "repair"),
        ("haze", "haze"),
    ],
)
def test_damage_reported_is_a_gate(kind: str, gate: str) -> None:
    find = make.find("Beer")
    report(find, (kind, "trace"))
    assert know(find).facts.flags == {gate}
    assert "1 May 2025" in know(find).known_from[gate]


def test_a_crack_does_not_heal_but_a_stain_may_go() -> None:
    find = make.find("Beer")
    report(find, ("crack", "trace"), ("sulphide", "some"))
    report(find, ("growth", "trace"), on=datetime.date(2025, 6, 1))
    assert know(find).facts.flags == {"crack"}
    assert know(find).facts.growth == "light"


def test_a_later_look_overrules_a_report() -> None:
    find = make.find("Beer")
    report(find, ("crack", "trace"))
    note_look(find, [])
    assert know(find).facts.flags == set()
    assert know(find).facts.looked
    note_look(find, ["metal", "lead"])
    assert know(find).facts.flags == {"metal", "lead"}


def test_lettering_years_and_site_count() -> None:
    fired = make.find("Soda", Parts(inscriptions=[Inscription(text="BRINE UP", how="ghost")]))
    assert know(fired).decorated
    old = make.find("Onion", Parts(known=[KnownYears(what="dated seal", from_year=1660, to_year=1690)]))
    assert "early" in know(old).facts.flags
    held = make.find("Beer", dive=make.dive(make.site("Tallow Cove", military="yes")))
    assert "hold" in know(held).facts.flags


@pytest.mark.parametrize("key", ["hold", "early", "nonsense", ""])
def test_only_what_can_be_seen_is_noted(key: str) -> None:
    with pytest.raises(ValueError):
        note_look(make.find("Beer"), [key])


def test_many_pieces_take_five_queries(django_assert_num_queries) -> None:
    """Finds with sites, looks, reports, damages, lettering."""
    finds = [make.find(f"Beer {n}") for n in range(5)]
    for find in finds:
        report(find, ("crack", "trace"))
        note_look(find, [])
    with django_assert_num_queries(5):
        assert len(knowledge_of(finds)) == 5
    with django_assert_num_queries(0):
        assert knowledge_of([]) == {}


def test_sealed_sticks_until_a_report_no_longer_says_so() -> None:
    find = make.find("Stoppered soda")
    report(find, ("sealed", "all"))
    note_look(find, [])
    assert know(find).facts.flags == {"sealed"} and know(find).leave_alone
    other = make.find("Stoppered beer")
    note_look(other, ["sealed"])
    note_look(other, [])
    assert know(other).leave_alone
    report(other, on=datetime.date(2025, 6, 1))
    assert not know(other).leave_alone


def test_what_needs_a_reason_when_it_is_written_down() -> None:
    cracked = make.find("Beer", look="near-new")
    note_look(cracked, ["crack"])
    assert know(cracked).advised_against("acid-bath")
    # a soft brush is written down the same and stays open
    assert know(cracked).advised_against("soap-brush") is None
    kept = make.find("Wine", look="growth")
    assert know(kept).advised_against("acid-bath")
    assert know(make.find("Soda")).advised_against("acid-bath") is None


@pytest.mark.parametrize(
    ("kind", "says"), [("weeping", "42 %"), ("crizzling", "42 %"), ("flaking", "42 %"), ("iridescent", "")]
)
def test_unstable_glass_raises_advice_for_its_shelf_where_it_is_looked_at(
    owner_client, kind: str, says: str
) -> None:
    find = make.find("Beer")
    assert know(find).storage == []
    report(find, (kind, "trace"))
    advice = know(find).storage
    assert len(advice) == 1 and says in advice[0].words
    for address in (f"/workbench/{find.number}/", find.get_absolute_url()):
        assert "On the shelf." in owner_client.get(address).content.decode()
