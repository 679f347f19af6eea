"""Single letters and alignments: what a worn letter is taken for, lost, added, unread."""

import pytest

from dating.edit_distance import ALIKE, any_order, at_random, chance, pattern, plain, turned


def test_points_ampersands_and_accents_fall_away() -> None:
    assert plain("T. & H. Co.") == "THCO"
    assert plain("Glashütte Groß") == "GLASHUTTEGROSS"


def test_ways_to_write_what_is_not_clear() -> None:
    assert pattern("B?") == (frozenset("B"), frozenset("?"))
    assert pattern("[HN]G") == (frozenset("HN"), frozenset("G"))
    assert pattern("[H?]") == (frozenset("H?"),)
    assert pattern("LG..") == pattern("LG…") == pattern("LG*") == pattern("LG[..]")
    assert pattern("L.G.") == pattern("LG")


@pytest.mark.parametrize(
    ("read", "mark", "expected"),
    [
        ("LG", "LG", 0.95**2),
        ("L?", "LG", 0.95),
        ("??", "LG", 1),
        ("LC", "LG", 0.95 * 0.03),
        ("LX", "LG", 0.95 * 0.0006),
        ("L", "LG", 0.95 * 0.02),
        ("LGX", "LG", 0.95**2 * 0.02),
        ("[LT]G", "LG", 0.95 * (0.95 + 0.03) / 2),
        ("[L?]G", "LG", 0.95 * (0.95 + 1) / 2),
        ("*", "LG", 1),
        ("L*", "LGCO", 0.95),
        ("*CO", "LGCO", 0.95**2),
        ("MG*", "GLASS", 0.02 * 0.95),
    ],
)
def test_chances(read: str, mark: str, expected: float) -> None:
    assert chance(pattern(read), mark) == pytest.approx(expected)


def test_look_alikes_go_both_ways() -> None:
    for letter, others in ALIKE.items():
        assert all(letter in ALIKE[other] for other in others)
    assert {"0", "Q", "D", "C", "G"} <= ALIKE["O"]
    assert ALIKE["Z"] == {"2", "N"}


def test_a_whole_end_worn_off_is_one_event() -> None:
    assert chance(pattern("RYLANDS CODD"), "RYLANDSCODDBARNSLEY") == pytest.approx(0.95**11 * 0.02**2)
    assert chance(pattern("BARNSLEY"), "RYLANDSCODDBARNSLEY") == pytest.approx(0.95**8 * 0.02**2)
    assert chance(pattern("LG"), "LGABCDE") == pytest.approx(0.95**2 * 0.02**5)  # too short to tell


def test_more_than_one_added_letter_is_another_text() -> None:
    assert chance(pattern("LGXY"), "LG") == pytest.approx(0.95**2 * 0.02**2 / 26)


def test_a_mark_at_random() -> None:
    assert at_random(pattern("LG")) == pytest.approx(26**-2)
    assert at_random(pattern("L?")) == pytest.approx(1 / 26)
    assert at_random(pattern("L*")) == pytest.approx(1 / 26)
    assert at_random(pattern("[LT]")) == pytest.approx(1 / 26)


def test_turned_over_and_from_behind() -> None:
    assert pattern("MOH") in turned(pattern("HOW"))
    assert pattern("ABG") in turned(pattern("GBA"))
    assert turned(pattern("O")) == ()


def test_letters_in_one_figure_have_no_order() -> None:
    assert any_order(pattern("TMC"), "MTC") == pytest.approx(0.95**3)
    assert any_order(pattern("TM"), "MTC") == pytest.approx(0.95**2 * 0.02)
    assert any_order(pattern("TMCX"), "MTC") == pytest.approx(0.95**3 * 0.02)
    assert any_order(pattern("T?C"), "MTC") == pytest.approx(0.95**2)
