"""Letters that count as one, and the places that they come from."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.specimens.search.folding import fold, fold_with_places, pieces_of


@pytest.mark.parametrize(
    ("text", "folded"),
    [
        ("Wave-Cola & Co.", " wave cola and co \n wavecola "),
        ("T&H in a hexagon", " t and h in a hexagon \n th "),
        ("Packers' Pilings", " packers pilings "),
        ("Größe Åsund", " grosse asund "),
        ("Smørrebrød, Łódź", " smorrebrod lodz "),
        ("2026.14.3a", " 2026 14 3a \n 2026143a "),
        ("2026.14.3", " 2026 14 3 "),
        ("QUILL & / SONS [..]", " quill and sons "),
        ("ＢＷ １９３４", " bw 1934 "),
        ("🍾 --- ???", ""),
        ("قارورة", " قارورة "),
        ("proof_read", " proof read \n proofread "),
    ],
)
def test_folded(text, folded):
    assert fold(text) == folded


def test_a_dash_of_any_kind_parts_words():
    """Unicode's own class of dashes (Pd) judges."""
    dashes = [chr(n) for n in range(0x10000) if unicodedata.category(chr(n)) == "Pd"]
    assert len(dashes) > 15
    for dash in dashes:
        assert pieces_of(f"2026{dash}14{dash}3") == ["2026", "14", "3"], hex(ord(dash))


@given(st.text(max_size=60))
def test_both_ways_of_folding_agree_and_places_are_within_the_text(text):
    placed = fold_with_places(text)
    assert "".join(letter for letter, _ in placed) == fold(text)
    assert all(0 <= at < len(text) for _, at in placed)


@given(st.text(max_size=40))
def test_folded_text_holds_letters_figures_and_spaces_alone(text):
    assert all(letter.isalnum() or letter in " \n" for letter in fold(text))
