"""The hand-over slip and the plain-paper test page."""

import io
from dataclasses import replace

import numpy
import pytest
from PIL import Image

from catalogue.labels.sheet_pdf import LabelError
from catalogue.labels.sheet_pdf import test_page as plain_page
from catalogue.labels.sheets import PAGES_MM, SHEETS, sheet
from catalogue.labels.slip import SLIP_PAGES, slip
from catalogue.labels.slip_drawings import SlipPicture
from catalogue.labels.slip_plan import SlipText
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


@pytest.mark.parametrize("size", SLIP_PAGES)
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


@pytest.mark.parametrize("size", SLIP_PAGES)
@pytest.mark.parametrize("pictured", [0, 1, 2])
def test_it_is_one_page_whatever_is_typed_and_ends_at_a_word(size, pictured):
    words_of_it = [f"word{n}" for n in range(3000)]
    long = replace(
        TEXT,
        story="\n".join(" ".join(words_of_it[n : n + 60]) for n in range(0, 3000, 60)),
        title="A name of three hundred letters " * 12,
        condition="worn " * 200,
        hazards=["It is sharp all along its lip " * 20] * 9,
        reasons=["A reason that goes on " * 20] * 5,
        giver="Somebody of a very long name " * 6,
    )
    pdf = slip(long, size=size, pictures=drawn(pictured))
    assert len(pages(pdf, dpi=40)) == 1
    text = words(pdf)
    assert "fit to drink" in text and "Received by" in text and "Given by" in text
    told = [word for word in " ".join(text.split()).split(" ") if word.startswith("word")]
    assert told[-1].endswith("…") and told[-1].rstrip("…") in words_of_it
    assert [code for code, *_ in codes(pages(pdf)[0])] == [TEXT.url]


def drawn(count: int, size: tuple[int, int] = (90, 120)) -> list[SlipPicture]:
    made = []
    for name in ("before", "after")[:count]:
        into = io.BytesIO()
        Image.new("RGB", size, (90, 120, 140)).save(into, "JPEG")
        made.append(SlipPicture(name, into.getvalue()))
    return made


@pytest.mark.parametrize("size", SLIP_PAGES)
@pytest.mark.parametrize("shape", [(90, 120), (160, 90), (40, 400), (400, 40)])
def test_both_pictures_stand_on_it_and_nothing_lies_over_another(size, shape):
    """Rows of the page: pictures, then words, each mark within the margins."""
    pdf = slip(TEXT, size=size, pictures=drawn(2, shape))
    picture = numpy.asarray(pages(pdf, dpi=100)[0])
    marked = numpy.argwhere(picture < 250)
    margin = 12 * PAGES_MM[size][0] / 148 - 3
    (top, left), (foot, right) = marked.min(axis=0), marked.max(axis=0)
    per_mm = 100 / 25.4
    assert top > margin * per_mm and left > margin * per_mm
    assert foot < picture.shape[0] - margin * per_mm and right < picture.shape[1] - margin * per_mm
    assert "before" in words(pdf) and "after" in words(pdf) and "the crab stayed" in words(pdf)


@pytest.mark.parametrize("years", [[], [1926, 1936, 1946], list(range(1900, 1912))])
def test_the_ruler_names_its_years(years):
    ruler = {"curve": [[1920, 0.0], [1935, 1.0], [1950, 0.0]], "years": years, "window": [1925, 1944]}
    text = words(slip(replace(TEXT, ruler=ruler)))
    assert "1930" in text
    assert ("1926" in text.replace("1926, 1936, 1946", "")) == (years == [1926, 1936, 1946])
    assert "1930" not in words(slip(replace(TEXT, ruler={"curve": [], "window": [None, None]})))


def test_a_story_from_the_right_ends_at_the_right():
    pdf = slip(replace(TEXT, story="זה בקבוק קטן", title="Soda"))
    plain = slip(replace(TEXT, story="zeh bakbuk", title="Soda"))
    seen, beside = (numpy.asarray(pages(each, dpi=60)[0]) for each in (pdf, plain))
    differs = numpy.argwhere(seen != beside)
    assert differs[:, 1].max() > 128 / 25.4 * 60


def test_words_of_another_year_know_fewer_parts_or_more():
    old = {"number": "2025.6.1", "title": "Soda", "story": "Told on that day.", "pictures": {}, "new": 1}
    assert "Told on that day." in words(slip(SlipText.of(old)))


def test_only_what_is_given_is_printed():
    bare = words(slip(SlipText("2025.6.1", "Soda")))
    assert "Found" not in bare and "Cleaned" not in bare and "Soda" in bare


def test_odd_text_and_an_address_too_long_for_a_code_still_print():
    pdf = slip(replace(TEXT, title="瓶🍾\u0000", story="ق" * 3000, url="http://x/" + "y" * 500), size="A6")
    assert "2026.14.3" in words(pdf)


def test_another_paper_is_refused():
    with pytest.raises(ValueError, match="A5, A4, A6"):
        slip(TEXT, size="Letter")


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


def test_the_small_page_tells_why_where_that_leaves_the_story_whole():
    why = ["The lip was finished with a tool.", "A code on the base allows those three years."]
    short = words(slip(replace(TEXT, reasons=why), size="A6"))
    assert all(reason in " ".join(short.split()) for reason in why)
    lines = [f"Line {n} of a story that goes on a while." for n in range(60)]
    for count in range(1, 60):
        told = replace(TEXT, story="\n".join(lines[:count]))
        bare = words(slip(told, size="A6"))
        if "…" in bare:
            break
        reasoned = words(slip(replace(told, reasons=why), size="A6"))
        assert "…" not in reasoned, "no reason takes room that the story needs"
    assert count > 3
