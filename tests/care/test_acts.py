"""A hazard governs every act: act × hazard, beside a second wording of each fact.

The second wording is the collected facts of the project: law.md, 9 ("Munitions: recognise, retreat, report"
after the 3Rs of DENIX; "Human remains: leave, call police"), safety.json (sealed: not opened, shaken, warmed,
soaked; munition: don't touch, report), conservation.json (unstable glass: the surface is lost). What gives a
reason instead of a refusal is our own rule.
"""

import pytest

from catalogue.care.acts import Act, act_table, answer_for, hazards_of
from catalogue.care.models import HazardReason, SoakMember, ToolUse
from catalogue.care.piece_facts import know
from catalogue.care.services import (
    Hazard,
    HazardAsksByPiece,
    HazardAsksReason,
    NotThisTool,
    begin_step,
    move_on,
    note_look,
    permit,
    put_in_soak,
    start_soak,
    use_tool,
)
from catalogue.giving import services as giving
from catalogue.specimens.models import Specimen
from catalogue.specimens.services import set_stage
from tests import factories as make
from tests.care.makers import crusted, soak, tool

pytestmark = pytest.mark.django_db

REASON = "Emptied and rinsed by the fire service"
# Keeping a piece again is recording where it is: what it has never refuses that.
ALL_ACTS = tuple(act for act in Act if act is not Act.BACK)
GIVING = (Act.FREE, Act.PROMISE, Act.HAND_OVER)


def test_the_table_of_acts() -> None:
    """Written out once more by hand: r refused, w a written reason, - done with a warning, . open."""
    table = """
                       soak tools free promise hand-over share back
        sealed         r    r     r    r       r         w    .
        munition       r    r     r    r       r         r    .
        remains        r    r     r    r       r         r    .
        unstable       w    w     w    w       w         .    .
        unknown_contents .  .     w    w       w         .    .
        living         w    w     .    .       .         .    .
        paper_label    w    .     .    .       .         .    .
        repair         w    .     .    .       .         .    .
        hold           .    .     r    r       r         .    .
        lead           .    .     -    -       -         .    .
        crack          .    .     .    .       .         .    .
        returned       .    .     r    r       r         .    w
    """
    head, *lines = [line.split() for line in table.strip().splitlines()]
    assert head == [str(act) for act in Act]
    letters = {"refused": "r", "reason": "w", "warned": "-"}
    told = {gate: cells for gate, *cells in lines}
    for gate, cells in told.items():
        answers = [answer_for({gate}, act).objections for act in Act]
        assert [letters[a[0].answer] if a else "." for a in answers] == cells, gate
    assert {gate for _, gate in act_table()} <= set(told)


@pytest.mark.parametrize("act", ALL_ACTS)
@pytest.mark.parametrize(
    ("gate", "says"),
    [("munition", ("report",)), ("remains", ("police", "heritage authority"))],
)
def test_munition_and_remains_are_reported_whatever_is_wanted(act: Act, gate: str, says) -> None:
    (objection,) = answer_for({gate}, act).refused
    assert all(word in objection.words for word in says)


@pytest.mark.parametrize("act", (Act.SOAK, Act.TOOLS))
def test_a_sealed_piece_is_kept_wet_apart_and_reported(act: Act) -> None:
    (objection,) = answer_for({"sealed"}, act).refused
    for word in ("wet", "apart", "unshaken", "report"):
        assert word in objection.words
    assert "pressure" in answer_for({"sealed"}, Act.FREE).refused[0].words


def test_what_no_table_knows_refuses_and_is_named() -> None:
    for act in Act:
        assert "“glows”" in answer_for({"glows"}, act).refused[0].words
    assert [gate.name for gate in hazards_of({"glows", "crack", "sealed"})] == ["“glows”", "sealed"]
    find = crusted()
    find.checks.update(found=["glows"])
    known = know(find)
    assert known.leave_alone and "glows" in known.blocks[0].name
    with pytest.raises(Hazard, match="glows"):
        permit([find], Act.TOOLS)


def test_a_cleared_piece_is_open_to_everything() -> None:
    permit([crusted()], Act.SOAK)
    assert not HazardReason.objects.exists()


@pytest.mark.parametrize("lazy", ["", "x", "because", "ok ok ok"])
def test_a_reason_of_less_than_a_few_words_is_none(lazy: str) -> None:
    find = crusted(found=("unknown_contents",))
    with pytest.raises(HazardAsksReason, match="something inside"):
        giving.mark(find, "free", reason=lazy)
    find.refresh_from_db()
    assert find.standing == "kept" and not HazardReason.objects.exists()


def test_a_reason_is_kept_and_holds_for_the_same_act_and_hazards_alone() -> None:
    find = crusted(found=("unknown_contents",))
    giving.mark(find, "free", reason=REASON)
    kept = HazardReason.objects.get()
    assert (kept.act, kept.gates, kept.reason) == ("free", ["unknown_contents"], REASON)
    giving.mark(find, "kept")
    giving.mark(find, "free")
    with pytest.raises(HazardAsksReason):
        giving.promise(find, make.person("Ola"))
    note_look(find, ["unknown_contents", "unstable"])
    giving.mark(find, "kept")
    with pytest.raises(HazardAsksReason, match="flaking"):
        giving.mark(find, "free")


def test_every_act_of_giving_is_refused_for_a_sealed_piece() -> None:
    find = crusted(found=("sealed",))
    person = make.person("Ola")
    for act in (
        lambda: giving.mark(find, "free", reason=REASON),
        lambda: giving.promise(find, person, reason=REASON),
        lambda: giving.hand_over(find, person, reason=REASON),
    ):
        with pytest.raises(giving.NotGiven, match="explodes when dry"):
            act()
    # telling an authority is never refused
    assert giving.mark(find, "returned").standing == "returned"
    assert giving.mark(find, "lost").standing == "lost"


def test_a_hazard_that_came_up_later_stands_before_undo_and_withdrawing() -> None:
    find, person = crusted(), make.person("Ola")
    giving.mark(find, "free")
    giving.mark(find, "kept")
    entry = find.history.first().history_id
    note_look(find, ["sealed"])
    with pytest.raises(giving.NotGiven, match="sealed"):
        giving.undo_mark(Specimen.objects.get(), entry)
    other = crusted("Another")
    giving.promise(other, person)
    note_look(other, ["sealed"])
    with pytest.raises(giving.NotGiven, match="sealed"):
        giving.withdraw(other, free=True)
    assert giving.withdraw(other).find.standing == "kept"


def test_soaking_asks_first_for_all_pieces_together() -> None:
    good, sealed, flaking = crusted(), crusted("B", found=("sealed",)), crusted("C", found=("unstable",))
    with pytest.raises(HazardAsksByPiece, match="water of its own"):
        start_soak(soak(), [good, sealed])
    with pytest.raises(HazardAsksByPiece, match="conservator"):
        start_soak(soak(), [good, flaking])
    with pytest.raises(HazardAsksReason, match="conservator"):
        start_soak(soak(), [flaking])
    assert not SoakMember.objects.exists()
    crate = start_soak(soak(), [good, flaking], reasons={flaking.number: "The conservator said to soak it"})
    assert crate.members.count() == 2
    with pytest.raises(Hazard):
        put_in_soak(crate, sealed)


def test_tools_and_checklist_ask_too() -> None:
    sealed, flaking = crusted(found=("sealed",)), crusted("C", found=("unstable",))
    cloth = tool("Cloth")
    for act in (lambda: use_tool(sealed, cloth, "yes"), lambda: begin_step(sealed, "scrape")):
        with pytest.raises(Hazard, match="unshaken"):
            act()
    with pytest.raises(HazardAsksReason):
        use_tool(flaking, cloth, "yes")
    use_tool(flaking, cloth, "yes", reason="Only the loose sand, dry")
    assert ToolUse.objects.get().find == flaking


def test_no_rough_tool_inside_a_cracked_piece() -> None:
    find = crusted(found=("crack",))
    rough_inside = tool("Bent wire", rough=True, where="inside")
    with pytest.raises(NotThisTool, match="cracked"):
        use_tool(find, rough_inside, "yes")
    use_tool(find, tool("Steel wool", rough=True, where="outside"), "yes")
    use_tool(find, tool("Bottle brush", rough=False, where="inside"), "yes")
    assert ToolUse.objects.count() == 2


@pytest.mark.parametrize("gate", ["munition", "remains"])
def test_sharing_is_refused(gate: str) -> None:
    find = crusted(found=(gate,))
    with pytest.raises(giving.NotGiven):
        giving.share(find, shared=True, reason=REASON)
    assert not Specimen.objects.get().shared
    giving.share(find, shared=False)


def test_an_undo_gives_nothing_that_would_be_refused_today() -> None:
    """What was seen since counts: to be promised or free again is an act like the first time."""
    find, person = crusted(), make.person("Ola")
    giving.mark(find, "free")
    made = giving.promise(find, person)
    note_look(find, ["sealed"])
    with pytest.raises(giving.NotGiven, match="sealed"):
        giving.undo_promise(find, made.pk)
    assert giving.withdraw(find).find.standing == "kept"
    other = crusted("Another")
    giving.promise(other, person)
    given = giving.hand_over(other, person)
    note_look(other, ["munition"])
    with pytest.raises(giving.NotGiven, match="munition"):
        giving.undo_hand_over(other, given.pk)
    assert giving.came_back(other).find.standing == "kept"


def test_the_next_tap_on_the_bench_asks_and_writing_it_down_does_not() -> None:
    sealed, flaking = crusted(found=("sealed",)), crusted("C", found=("unstable",))
    for stage in ("soaking", "cleaning", "drying"):
        with pytest.raises(Hazard, match="sealed"):
            move_on(sealed, stage)
    assert move_on(sealed, "wet").stage == "wet"
    assert move_on(flaking, "drying").stage == "drying"
    with pytest.raises(HazardAsksReason):
        move_on(flaking, "soaking")
    assert move_on(flaking, "soaking", REASON).stage == "soaking"
    # what was done before anybody looked is still written down
    assert set_stage(sealed, "drying").stage == "drying"
