"""Which tool to try first."""

from catalogue.care.tool_ranking import KitTool, PieceTraits, ToolCase, likeness, rank, start_with

SPONGE = KitTool(1, softness=1, inside=True, bore_from_mm=12)
BRUSH = KitTool(2, softness=2, inside=True, bore_from_mm=10, bore_to_mm=18)
TOOTH = KitTool(3, softness=2)
PAD = KitTool(4, softness=4, rough=True)
KIT = [PAD, TOOTH, BRUSH, SPONGE]
SODA = PieceTraits(bore_mm=17, capacity_ml=340, kind="soda", held="soda")
VIAL = PieceTraits(bore_mm=8, capacity_ml=20, kind="scent", held="other")


def order(ranked) -> list[int]:
    return [each.tool.key for each in ranked]


def test_softest_first_and_the_bore_rule_without_cases() -> None:
    assert order(rank(KIT, [], SODA)) == [1, 2, 3, 4]
    ranked = rank(KIT, [], VIAL)
    assert order(ranked) == [3, 4, 1, 2]
    assert "does not suit a bore of 8 mm" in ranked[-1].words
    assert start_with(ranked).tool == TOOTH


def test_within_a_softness_what_worked_on_pieces_like_it_goes_first() -> None:
    cases = [
        ToolCase(3, SODA, 1),
        ToolCase(3, SODA, 1),
        ToolCase(3, SODA, 0),
        ToolCase(2, SODA, 0),
        ToolCase(2, VIAL, 1),
    ]
    ranked = rank(KIT, cases, SODA)
    assert order(ranked) == [1, 3, 2, 4]
    assert ranked[1].words == "worked on 2 of 3 pieces like it"
    assert ranked[2].words == "worked on 0 of 1 piece like it"


def test_it_starts_with_the_softest_that_worked() -> None:
    cases = [ToolCase(1, SODA, 0), ToolCase(4, SODA, 1), ToolCase(2, SODA, 0.5)]
    assert start_with(rank(KIT, cases, SODA)).tool == BRUSH
    assert start_with([]) is None


def test_after_no_use_on_this_piece_the_list_moves_on() -> None:
    """What did nothing here goes to the end of what fits, and the next is where to begin."""
    ranked = rank(KIT, [], SODA, here={1: 0.0})
    assert order(ranked) == [2, 3, 4, 1]
    assert ranked[-1].no_use and ranked[-1].words == "no use on this piece"
    assert start_with(ranked).tool == BRUSH
    # Proven on pieces like it, it is passed over all the same.
    proven = [ToolCase(1, SODA, 1)] * 3
    assert start_with(rank(KIT, proven, SODA, here={1: 0.0})).tool == BRUSH
    assert start_with(rank(KIT, [], SODA, here={1: 0.0, 2: 0.0, 3: 0.0, 4: 0.0})) is None


def test_what_worked_on_this_piece_is_gone_on_with() -> None:
    cases = [ToolCase(2, SODA, 1)]
    ranked = rank(KIT, cases, SODA, here={3: 0.5, 1: 0.0})
    assert start_with(ranked).tool == TOOTH
    assert "helped on this piece" in next(r for r in ranked if r.tool == TOOTH).words


def test_rough_ones_never_touch_decoration() -> None:
    decorated = PieceTraits(bore_mm=17, kind="soda", decorated=True)
    cases = [ToolCase(4, SODA, 1)] * 20
    assert 4 not in order(rank(KIT, cases, decorated))
    assert 4 in order(rank(KIT, cases, SODA))


def test_an_unmeasured_bore_is_said() -> None:
    ranked = rank([BRUSH], [], PieceTraits(kind="soda"))
    assert ranked[0].fits and "measure the bore" in ranked[0].words


def test_likeness_counts_only_what_is_known_of_both() -> None:
    assert likeness(SODA, PieceTraits(kind="soda")) == 1
    assert likeness(SODA, VIAL) == 0
    assert likeness(PieceTraits(), SODA) == 0
    assert likeness(SODA, PieceTraits(bore_mm=15, capacity_ml=900, kind="beer", held="soda")) == 0.5
