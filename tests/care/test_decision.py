"""What may be done to a piece: the table as it stands, and how its rows work together."""

import pytest

from catalogue.care.care_tables import CARE_FACTS, care_tables, why_of
from catalogue.care.decision import Decision, PieceFacts, Verdict, blocks_of, decide
from dating import ReferenceError
from dating.facts import BASIS_WORDS, Cells, rows_of


def keys(verdicts) -> list[str]:
    return [verdict.method.key for verdict in verdicts]


def verdict_of(decision: Decision, method: str) -> tuple[str, Verdict] | None:
    """Which list a method stands in, and its verdict; None where no row speaks of it."""
    for name in ("forbidden", "recommended", "allowed"):
        for verdict in getattr(decision, name):
            if verdict.method.key == method:
                return name, verdict
    return None


def of(*flags: str, look: str = "near-new", growth: str = "heavy", looked: bool = True) -> Decision:
    return decide(PieceFacts(frozenset(flags), looked, growth, look))


def test_a_sound_crusted_piece_near_new_ends_in_the_acid_bath_after_lesser_things() -> None:
    assert keys(of().recommended) == [
        "fw_soak",
        "soap_brush",
        "mech_scrape",
        "desal",
        "hcl_bath",
        "rinse_neutral",
    ]


def test_a_film_needs_no_acid_bath() -> None:
    assert "hcl_bath" in keys(of(growth="light").forbidden)
    assert keys(of(growth="light").recommended)[0] == "fw_soak"


def test_kept_growth_forbids_acid() -> None:
    assert {"hcl_bath", "vinegar", "citric", "tumble"} <= set(keys(of(look="growth").forbidden))


def test_without_a_look_aimed_at_nothing_irreversible_is_offered() -> None:
    undecided = of(look="")
    assert "hcl_bath" in keys(undecided.forbidden)
    assert "decide first" in undecided.forbids("acid-bath").reasons[0].words


GATES_BEFORE_ACID = [
    "sealed",
    "crack",
    "fired_label",
    "painted",
    "paper_label",
    "lead",
    "iridescent",
    "unstable",
    "metal",
    "sulphide",
    "repair",
    "early",
    "living",
    "hold",
]


@pytest.mark.parametrize("gate", GATES_BEFORE_ACID)
@pytest.mark.parametrize("look", ["near-new", "growth", ""])
def test_every_gate_keeps_acid_away(gate: str, look: str) -> None:
    decision = of(gate, look=look)
    forbidden = decision.forbids("acid-bath")
    assert forbidden is not None
    assert all(why.words and why.source_words for why in forbidden.reasons)
    assert gate in [g.key for g in blocks_of(PieceFacts(frozenset([gate])))]
    assert "hcl_bath" not in keys(decision.recommended) + keys(decision.allowed)


@pytest.mark.parametrize("gate", GATES_BEFORE_ACID)
def test_only_sealed_contents_and_an_uncleared_site_cannot_be_overridden(gate: str) -> None:
    assert of(gate).forbids("acid-bath").override is (gate not in ("sealed", "hold"))


def test_sealed_wins_over_a_second_gate_that_could_be_overridden() -> None:
    assert of("sealed", "crack").forbids("acid-bath").override is False


def test_what_one_flag_forbids_another_does_not_recommend() -> None:
    both = of("sulphide", "painted")
    assert "peroxide_3" in keys(both.forbidden)
    assert "peroxide_3" not in keys(both.recommended)
    assert len(both.forbids("acid-bath").reasons) == 2


def test_residue_is_noted_first_and_the_plain_way_follows() -> None:
    decision = of("unknown_contents")
    assert keys(decision.recommended)[0] == "record_residue"
    assert "hcl_bath" in keys(decision.recommended)
    assert "unknown_contents" in [gate.key for gate in decision.gates]


def test_wet_storage_stays_open_on_hold() -> None:
    assert {"fw_soak", "keep_wet"} <= set(keys(of("hold").recommended))


def test_acid_waits_until_somebody_has_looked() -> None:
    assert verdict_of(of(looked=False), "hcl_bath")[1].needs_look
    assert not verdict_of(of(looked=True), "hcl_bath")[1].needs_look
    assert not verdict_of(of(looked=False), "soap_brush")[1].needs_look


@pytest.mark.parametrize("key", ["hot_water", "bleach", "peroxide_with_acid", "metal_vessel"])
def test_what_is_never_planned_is_named_with_why(key: str) -> None:
    name, verdict = verdict_of(of(), key)
    assert name == "forbidden"
    assert not verdict.override
    assert verdict.reasons[0].words


def test_nothing_is_both_offered_and_forbidden_whatever_holds() -> None:
    flags = list(care_tables().gates)
    for a in flags:
        for b in flags:
            decision = of(a, b)
            offered = {*keys(decision.recommended), *keys(decision.allowed)}
            assert not offered & set(keys(decision.forbidden))
            efforts = [verdict.method.effort for verdict in decision.recommended]
            assert efforts == sorted(efforts)


def test_memory_and_suggestion_are_worded_as_such() -> None:
    words = [why.source_words for v in of("lead", "haze").forbidden for why in v.reasons]
    assert any(word.startswith("from memory, check") for word in words)
    assert "our own suggestion" in [why.source_words for v in of(look="").forbidden for why in v.reasons]
    assert any("Brill" in word for word in words)


def test_every_source_used_is_listed_and_every_row_has_a_basis() -> None:
    for path in sorted(CARE_FACTS.folder.glob("*.csv")):
        if path.stem == "sources":
            continue
        rows = list(rows_of(path.stem, CARE_FACTS.text(path.stem)))
        assert rows
        for row in rows:
            assert row.text("basis") in BASIS_WORDS
            assert all(key in CARE_FACTS.sources for key in row.several("source"))


@pytest.mark.parametrize(
    "row",
    [
        {"source": "nobody", "basis": "published"},
        {"source": "", "basis": "published"},
        {"source": "ours", "basis": "hearsay"},
    ],
)
def test_a_row_without_a_known_source_does_not_load(row: dict[str, str]) -> None:
    with pytest.raises(ReferenceError, match=r"gates\.csv, row 7, (source|basis)"):
        why_of(Cells("gates.csv", "7", row), "words")
