"""The hand-over slip and the plain-paper test page."""

from dataclasses import replace

import pytest

from catalogue.labels.sheet_pdf import LabelError
from catalogue.labels.sheet_pdf import test_page as plain_page
from catalogue.labels.sheets import SHEETS, sheet
from catalogue.labels.slip import SlipText, slip
from tests.labels.rendering import codes, dark_columns, pages, words

TEXT = SlipText(
    "2026.14.3",
    "Aqua ginger-beer bottle",
    "Quill & Sons, Marrowby",
    "one of 1926, 1936, 1946",
    "Velmoor Sound, 2026",
    "It lay upright in the silt.\nA small crab had moved in; the crab stayed.",
    "soaked eleven days, brushed",
    "3 October 2026",
    "http://192.168.1.20:8000/f/2026.14.3",
)


@pytest.mark.parametrize("size", ["A5", "A6"])
def test_a_slip_tells_the_story_and_its_cautions(size):
    pdf = slip(TEXT, size=size)
    text = " ".join(words(pdf).split())
    for part in (
        "2026.14.3",
        "Marrowby",
        "1926, 1936, 1946",
        "Velmoor Sound, 2026",
        "the crab stayed",
        "Clean does not mean fit to drink from",
        "sharp",
    ):
        assert part in text
    assert [code for code, *_ in codes(pages(pdf)[0])] == [TEXT.url]


def test_a_long_story_goes_on_and_the_cautions_stay_on_the_first_page():
    pdf = slip(replace(TEXT, story="A sentence that goes on. " * 200))
    assert len(pages(pdf, dpi=40)) > 1
    assert "fit to drink" in words(pdf, 0)
    assert "2026.14.3, continued" in words(pdf, 1)


def test_only_what_is_given_is_printed():
    bare = words(slip(SlipText("2025.6.1", "Soda")))
    assert "Found" not in bare and "Cleaned" not in bare and "Soda" in bare


def test_odd_text_and_an_address_too_long_for_a_code_still_print():
    pdf = slip(replace(TEXT, title="瓶🍾\u0000", story="ق" * 3000, url="http://x/" + "y" * 500), size="A6")
    assert "2026.14.3" in words(pdf)


def test_another_paper_is_refused():
    with pytest.raises(ValueError, match="A5 or A6"):
        slip(TEXT, size="A4")


@pytest.mark.parametrize("key", SHEETS)
def test_the_test_page_shows_its_sheet_and_a_line_to_measure(key):
    assert sheet(key).name in words(plain_page(sheet(key)))


def test_the_line_to_measure_is_a_hundred_millimetres():
    picture = pages(plain_page(sheet("a4-24")))[0]
    rows = [dark_columns(picture, 297 / 2 + 18 + step / 20, 50, 160) for step in range(-10, 11)]
    dark = max(rows, key=len)
    assert dark[-1] - dark[0] == pytest.approx(100.18, abs=0.12)  # from outer edge to outer edge


def test_the_test_page_moves_with_the_offset():
    with pytest.raises(LabelError):
        plain_page(sheet("a4-24"), offset_mm=(99, 0))
    each = sheet("a4-21")
    picture = pages(plain_page(each, offset_mm=(2, 0)))[0]
    assert dark_columns(picture, 45, 8.6, 9.8) and not dark_columns(picture, 45, 6.6, 7.8)
