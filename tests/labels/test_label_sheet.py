"""Labels on the printed page: where they lie, what they say, whether a reader can read them."""

import pytest
from PIL import Image

from catalogue.labels.label_text import LABEL_KINDS, LabelKind, LabelText
from catalogue.labels.sheet_pdf import LabelError, code_trouble, label_sheet
from catalogue.labels.sheets import SHEETS, sheet
from tests.labels.rendering import codes, dark_columns, pages, words

ADDRESS = "http://192.168.1.20:8000/f/2026.14.{}"
SHELF = LABEL_KINDS["shelf"]
NUMBER_ONLY, TAG = SHELF.with_parts({"number"}), SHELF.with_parts({"number", "code"})
PLAIN = SHELF.with_parts(SHELF.parts - {"code"})


def label(piece: int, **changes) -> LabelText:
    fields = {
        "number": f"2026.14.{piece}",
        "title": "Aqua ginger-beer bottle",
        "place_line": "Quill & Sons, Marrowby",
        "made_words": "one of 1926, 1936, 1946",
        "code": ADDRESS.format(piece),
    }
    return LabelText(**{**fields, **changes})


@pytest.mark.parametrize("key", ["a4-21", "letter-30", "a4-65"])
def test_every_code_is_read_back_inside_its_own_label(key):
    each = sheet(key)
    count = each.per_page + 3
    printed = pages(label_sheet([label(piece) for piece in range(1, count + 1)], each))
    assert len(printed) == 2
    read = [(text, page, x, y) for page, picture in enumerate(printed) for text, x, y in codes(picture)]
    assert sorted(text for text, *_ in read) == sorted(ADDRESS.format(n) for n in range(1, count + 1))
    for text, page, x, y in read:
        left, top = each.place(int(text.rsplit(".", 1)[1]) - 1 - page * each.per_page)
        assert left < x < left + each.label_width_mm
        assert top + each.label_height_mm / 2 == pytest.approx(y, abs=0.5)


@pytest.mark.parametrize("key", ["a4-21", "letter-30", "a4-24", "letter-sq9", "a4-80"])
def test_outlines_lie_within_a_fifth_of_a_millimetre(key):
    each = sheet(key)
    labels = [LabelText(str(n)) for n in range(each.per_page)]
    picture = pages(label_sheet(labels, each, outlines=True, kind=NUMBER_ONLY))[0]
    turned = picture.transpose(
        Image.Transpose.TRANSPOSE
    )  # rows and columns exchanged, to measure downwards as well
    for index in range(each.per_page):
        left, top = each.place(index)
        for image, start, size, across in (
            (picture, left, each.label_width_mm, top + 1.3),
            (turned, top, each.label_height_mm, left + 1.3),
        ):
            for edge in (start, start + size):
                if edge < 0.3:
                    continue  # half the line is off the paper
                dark = dark_columns(image, across, edge - 0.6, edge + 0.6)
                assert dark, f"no edge near {edge} mm of label {index + 1}"
                assert sum(dark) / len(dark) == pytest.approx(edge, abs=0.2)


def test_the_words_are_there():
    text = words(label_sheet([label(3, note="Hall case, third")], sheet("a4-21")))
    for part in ("2026.14.3", "ginger-beer", "Quill & Sons, Marrowby", "1926, 1936, 1946", "Hall case"):
        assert part in text


def test_a_begun_sheet_starts_at_its_first_unused_label():
    each = sheet("a4-21")
    ((_, x, y),) = codes(pages(label_sheet([label(1)], each, start_at=5))[0])
    left, top = each.place(4)
    assert left < x < left + each.label_width_mm and top < y < top + each.label_height_mm


def test_a_begun_sheet_goes_on_to_a_fresh_page():
    each = sheet("a4-21")
    printed = pages(label_sheet([label(1), label(2)], each, start_at=21), dpi=150)
    assert len(printed) == 2


def test_an_offset_moves_everything():
    each = sheet("letter-30")
    ((_, x, y),) = codes(pages(label_sheet([label(1)], each))[0])
    ((_, moved_x, moved_y),) = codes(pages(label_sheet([label(1)], each, offset_mm=(1.5, -2)))[0])
    assert moved_x - x == pytest.approx(1.5, abs=0.13)
    assert moved_y - y == pytest.approx(-2, abs=0.13)


def test_a_small_label_carries_its_number_and_says_why_no_code():
    each = sheet("a4-270")
    labels = [label(1), label(2, code="")]
    pdf = label_sheet(labels, each)
    assert codes(pages(pdf)[0]) == []
    assert "2026.14.1" in words(pdf)
    assert code_trouble(labels, each).startswith("1 of 2 labels will carry no code")


def test_no_trouble_is_reported_where_codes_fit_or_none_is_wanted():
    assert code_trouble([label(1)], sheet("a4-21")) == ""
    assert code_trouble([label(1)], sheet("a4-270"), NUMBER_ONLY) == ""


def test_the_parts_decide_what_is_printed():
    pdf = label_sheet([label(1)], sheet("a4-21"), kind=TAG)
    assert "ginger" not in words(pdf) and "2026.14.1" in words(pdf)
    assert [text for text, *_ in codes(pages(pdf)[0])] == [ADDRESS.format(1)]
    assert codes(pages(label_sheet([label(1)], sheet("a4-21"), kind=PLAIN))[0]) == []


@pytest.mark.parametrize("key", SHEETS)
@pytest.mark.parametrize(
    "title",
    [
        "",
        "x" * 10_000,
        "word " * 2_000,
        "زجاجة قديمة 🍾👩🏽‍🔬",
        "\u0000\u0007 tab\tline\nend\u200f\u202e",
        "Łódź ő Ελλάδα 瓶子",
        "<b>&amp;</b> (paren\\theses)",
        "e\u0301 \u0301",
        "\ud800",
    ],
)
def test_odd_text_never_breaks_a_sheet(key, title):
    pdf = label_sheet([label(1, title=title, place_line=title, made_words=title, note=title)], sheet(key))
    assert "2026.14.1" in words(pdf)


def test_letters_that_can_be_shown_are_shown_and_the_rest_is_a_box():
    text = words(label_sheet([label(1, title="Źerań ő Ελλάδα Привет 🍾 Café")], sheet("letter-10")))
    for part in ("Café", "Źerań", "ő", "Ελλάδα", "Привет"):
        assert part in text
    boxed = pages(label_sheet([label(1, title="🍾🍾🍾🍾", code="")], sheet("letter-10")))[0]
    empty = pages(label_sheet([label(1, title="", code="")], sheet("letter-10")))[0]
    assert boxed.tobytes() != empty.tobytes()


def test_nothing_leaves_its_label():
    each = sheet("a4-65")
    long = "Mmmm " * 80
    picture = pages(label_sheet([LabelText("9" * 60, long, long, long, ADDRESS, long)], each, start_at=7))[0]
    left, top = each.place(6)
    box = [left, top, left + each.label_width_mm, top + each.label_height_mm]
    inked = picture.point(lambda grey: 255 if grey < 200 else 0).getbbox()
    assert inked is not None
    x0, y0, x1, y1 = (dot * 25.4 / 300 for dot in inked)
    assert box[0] <= x0 and box[1] <= y0 and x1 <= box[2] and y1 <= box[3]


@pytest.mark.parametrize("start", [0, -1, 22])
def test_a_first_label_that_is_not_there_is_refused(start):
    with pytest.raises(LabelError, match="labels 1 to 21") as caught:
        label_sheet([label(1)], sheet("a4-21"), start_at=start)
    assert caught.value.field == "start_at"


@pytest.mark.parametrize("offset", [(16, 0), (0, -15.1), (float("nan"), 0)])
def test_an_offset_off_the_paper_is_refused(offset):
    with pytest.raises(LabelError, match="at most 15 mm"):
        label_sheet([label(1)], sheet("a4-21"), offset_mm=offset)


def test_nothing_to_print_is_said():
    with pytest.raises(LabelError, match="no find is chosen"):
        label_sheet([], sheet("a4-21"))


def test_the_same_labels_give_the_same_file():
    assert label_sheet([label(1)], sheet("a4-21")) == label_sheet([label(1)], sheet("a4-21"))


def test_a_reader_is_told_not_to_scale():
    assert b"/PrintScaling /None" in label_sheet([label(1)], sheet("a4-21"))


@pytest.mark.parametrize("kind", [SHELF, PLAIN], ids=["shelf", "plain"])
@pytest.mark.parametrize("key", ["a4-21", "a4-65", "a4-80", "letter-60"])
def test_what_to_be_careful_of_is_the_last_that_a_small_label_leaves_out(key: str, kind: LabelKind) -> None:
    long = {"title": "Aqua ginger-beer bottle with an internal screw stopper, Marrowby brewery"}
    printed = label_sheet([label(1, note="Careful: sealed", **long)], sheet(key), kind=kind)
    assert "Careful: sealed" in " ".join(words(printed).split())
