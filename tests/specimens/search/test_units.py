"""What is typed, taken apart."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.specimens.search.units import MOST_UNITS, read_typed


def texts(typed: str) -> list[tuple[str, ...]]:
    return [unit.texts for unit in read_typed(typed).units]


@pytest.mark.parametrize(
    ("typed", "found"),
    [
        ("bottles", [("bottle",)]),
        ("dairies", [("dairies", "dairy")]),
        ("Dairy", [("dairy", "dairies")]),
        ("glasses boxes", [("glass",), ("box",)]),
        ("glass iris gas", [("glass",), ("iris",), ("gas",)]),
        ("t & h", [(" t and h", " th ")]),
        ("T&H", [(" t and h", " th ")]),
        ("tern & hollis", [("tern",), ("hollis",)]),
        ("salt and pepper", [("salt",), ("pepper",)]),
        ("tern &", [("tern",)]),
        ("and", [("and",)]),
        ("Wave-Cola", [(" wave cola", "wavecola")]),
        ("x", [(" x",)]),
        ("2026-14", [(" 2026 14",)]),
    ],
)
def test_words_and_phrases(typed, found):
    assert texts(typed) == found


@pytest.mark.parametrize(
    ("typed", "years"),
    [
        ("1934", (1934, 1934)),
        ("1930s", (1930, 1939)),
        ("1930's", (1930, 1939)),
        ("1884–1910", (1884, 1910)),
        ("1884-1910", (1884, 1910)),
        ("1910-1884", None),
        ("2026-14", None),
        ("9999", None),
        ("0042", None),
    ],
)
def test_years(typed, years):
    assert [unit.years for unit in read_typed(typed).units] == [years]


@pytest.mark.parametrize(
    "typed",
    [
        "2026.14.3", "2026-14-3", "2026 14 3", "2026–14–3", " 2026/14/3 ", "http://192.168.1.20:8737/f/2026.14.3",
        "https://bottles.example/finds/2026.14.3/",
    ],
)  # fmt: skip
def test_a_number(typed):
    assert read_typed(typed).number == "2026.14.3"


def test_a_number_beside_words_or_of_another_shape_is_none():
    for typed in ("2026.14", "2026.14.3 whelk", "1.2.3", "2026.14.3.4", "2026.14.3ab"):
        assert read_typed(typed).number == "", typed
    assert read_typed("2026.14.3A").number == "2026.14.3a"


@pytest.mark.parametrize("typed", ["%_\"'*", "???", "-- ..", "🍾🍾", "\ufffd", "‮‏"])
def test_only_signs(typed):
    assert read_typed(typed).units == ()


def test_too_much_is_cut_and_said():
    assert read_typed("x" * 300).cut and not read_typed("x" * 200).cut
    many = read_typed(" ".join(f"word{n}" for n in range(30)))
    assert many.cut and len(many.units) == MOST_UNITS


@given(st.text(max_size=300))
def test_nothing_that_can_be_typed_is_an_error(typed):
    found = read_typed(typed)
    for unit in found.units:
        assert unit.texts and all(text.strip() for text in unit.texts)
        assert not any(sign in text for text in unit.texts for sign in "\"'*%_()\x00:^-+")
