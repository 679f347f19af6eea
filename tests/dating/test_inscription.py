"""A whole inscription divided into mark, numbers and the rest: a guess that a person corrects."""

import pytest

from dating import Reference, parse_inscription


@pytest.mark.parametrize(
    ("text", "letters", "digits", "rest"),
    [
        ("T. H. CO. 7 / MARROWBY", "THCO", "7", "MARROWBY"),
        ("LG 69", "LG", "69", ""),
        ("MARROWBY MINERAL WATERS / T & H 37", "TH", "37", "MARROWBY MINERAL WATERS"),
        ("ROOT 17", "ROOT", "17", ""),
        ("BRINEMOUTH / B W", "BW", "", "BRINEMOUTH"),
        ("12 / O.F.G. / 4", "OFG", "12 4", ""),
        ("7 BW 3", "BW", "7 3", ""),
        ("PORT ELLARN DAIRY", "PORT", "", "ELLARN DAIRY"),
        ("B[WV] 7", "B[WV]", "7", ""),
        ("T? H CO", "T?HCO", "", ""),
        ("559", "", "559", ""),
        ("", "", "", ""),
        ("MARROWBY MINERAL WATERS COMPANY", "", "", "MARROWBY MINERAL WATERS COMPANY"),
    ],
)
def test_guesses(ref: Reference, text: str, letters: str, digits: str, rest: str) -> None:
    guess = parse_inscription(text, ref)
    assert (guess.letters, guess.digits, guess.rest) == (letters, digits, rest)


def test_places_of_the_numbers() -> None:
    guess = parse_inscription("12\n7 B.W. 3\n4\n1901 / FAR AWAY 5")
    assert (guess.above, guess.left, guess.right, guess.below) == ("12", "7", "3", "4")
    assert guess.rest == "1901 / FAR AWAY 5"
    assert guess.as_read == "B.W."


def test_ampersand_and_marks_with_digits(ref: Reference) -> None:
    assert parse_inscription("T & H").ampersand
    assert parse_inscription("BB48 12", ref).letters == "BB48"
    assert parse_inscription("L52", ref).letters == "L52"


def test_very_long_text_is_cut() -> None:
    assert len(parse_inscription("MARROWBY " * 5000).rest) <= 2000
