"""The picture on the screen is the print: the same words at the same places, and nothing that does harm."""

from xml.etree import ElementTree

import pypdfium2
import pytest

from catalogue.labels.cut_sheets import CUT_SHEETS, ROLLS
from catalogue.labels.label_text import LABEL_KINDS, LabelText, ListRow
from catalogue.labels.print_picture import print_picture
from catalogue.labels.qr import POINTS_PER_MM
from catalogue.labels.sheet_pdf import LabelError, label_sheet
from catalogue.labels.sheets import SHEETS
from tests.labels.test_kinds import KINDS, OF_KIND, all_of, known, label

SVG = "{http://www.w3.org/2000/svg}"


def parsed(drawn: str) -> ElementTree.Element:
    return ElementTree.fromstring(drawn.replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1))


def words_in_pdf(pdf: bytes) -> list[tuple[str, float]]:
    """Each stretch of text of the first page, and its left end in mm."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        page = document[0]
        text = page.get_textpage()
        found = []
        for index in range(text.count_rects()):
            left, bottom, right, top = text.get_rect(index)
            found.append((text.get_text_bounded(left, bottom, right, top).strip(), left / POINTS_PER_MM))
        return found
    finally:
        document.close()


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.key)
def test_the_same_words_stand_at_the_same_places(kind):
    each = known(OF_KIND[kind.key][0])
    rows = (ListRow("2026.14.1", "Ink cone", "Marrowby", "about 1901 to 1912", "Careful: sealed"),) * 3
    text = label(1, note="Careful: sealed", code="", rows=rows)
    drawn = print_picture([text], each, all_of(kind), start_at=1)
    left = each.place(0)[0]
    told = {
        (e.text or "").strip(): float(e.get("x", 0)) + left for e in parsed(drawn.label).iter(f"{SVG}text")
    }
    paper = words_in_pdf(label_sheet([text], each, kind=all_of(kind)))
    assert len(told) >= 2
    for words, x in paper:
        near = [at for line, at in told.items() if words in line or line in words]
        assert near, (words, sorted(told))
        assert min(abs(at - x) for at in near) < 1.0, words


def test_a_picture_of_the_sheet_shows_what_is_used_and_what_is_printed():
    each = SHEETS["a4-21"]
    drawn = print_picture([label(n) for n in (1, 2)], each, LABEL_KINDS["shelf"], start_at=4)
    assert "labels 4 to 5 of 21 are printed" in drawn.sheet
    shaded = [e for e in parsed(drawn.sheet).iter(f"{SVG}rect") if e.get("fill") == "#b8b8b8"]
    assert len(shaded) == 3
    assert print_picture([label(1)], ROLLS["roll-62"], LABEL_KINDS["shelf"], start_at=1).sheet == ""
    assert print_picture([], each, LABEL_KINDS["shelf"], start_at=1) is None


def test_what_the_print_refuses_the_picture_refuses():
    with pytest.raises(LabelError, match="31 is none of them"):
        print_picture([label(1)], SHEETS["letter-30"], LABEL_KINDS["shelf"], start_at=31)
    with pytest.raises(LabelError, match="needs labels of at least"):
        print_picture([label(1)], SHEETS["a4-65"], LABEL_KINDS["list"], start_at=1)


@pytest.mark.parametrize(
    "title", ["<script>x</script>\"'&", "\x00\x07\ufffe", "\ud800", "שלום زجاجة Ελλάδα 🍾", "x" * 10_000]
)
def test_any_text_makes_a_drawing_that_is_well_formed_and_inert(title):
    for key in ("shelf", "card", "heading"):
        text = LabelText("1", title, title, title, "2026.1.1", title, title, title)
        drawn = print_picture([text], CUT_SHEETS["cards-a4"], all_of(LABEL_KINDS[key]), start_at=1)
        names = {element.tag.removeprefix(SVG) for element in parsed(drawn.label).iter()}
        assert names <= {"svg", "title", "text", "rect", "path", "image"}
        attributes = {name for element in parsed(drawn.label).iter() for name in element.attrib}
        assert "style" not in attributes and not any(name.startswith("on") for name in attributes)
