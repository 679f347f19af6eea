"""The table of sheets: what fits its page, and what is refused."""

import pytest

from catalogue.labels.sheets import SHEETS, Sheet, SheetError, sheet


def test_there_are_sheets_for_both_kinds_of_paper():
    assert {"letter-30", "a4-21", "a4-65", "a4-24", "letter-10"} <= set(SHEETS)
    assert {each.page for each in SHEETS.values()} == {"A4", "Letter"}


@pytest.mark.parametrize("each", SHEETS.values(), ids=SHEETS)
def test_every_label_lies_on_its_page_apart_from_the_others(each):
    width, height = each.page_size_mm
    places = [each.place(index) for index in range(each.per_page)]
    assert len(set(places)) == each.columns * each.rows
    for left, top in places:
        assert left >= 0 and left + each.label_width_mm <= width + 0.1
        assert top >= 0 and top + each.label_height_mm <= height + 0.1
    for (left, top), (next_left, next_top) in zip(places, places[1:], strict=False):
        if top == next_top:
            assert next_left - left >= each.label_width_mm - 0.05
        else:
            assert next_top - top >= each.label_height_mm - 0.05


def test_a_sheet_has_a_name_that_can_be_read():
    assert sheet("a4-21").name == "A4, 3 × 7, 63.5 × 38.1 mm"
    assert sheet("letter-30").name == "Letter, 3 × 10, 66.7 × 25.4 mm"


def test_labels_are_counted_along_the_rows():
    each = sheet("a4-21")
    assert each.place(0) == (7.2, 15.15)
    assert each.place(1) == pytest.approx((73.2, 15.15))
    assert each.place(3) == pytest.approx((7.2, 53.25))


def test_the_edge_tells_how_near_the_paper_ends():
    assert sheet("a4-24").edge_mm == 0
    assert sheet("letter-30").edge_mm == pytest.approx(4.76, abs=0.02)


@pytest.mark.parametrize(
    ("values", "why"),
    [
        (("x", "A4", 4, 7, 63.5, 38.1, 7.2, 15.15, 66.0, 38.1), "beyond the page"),
        (("x", "A4", 3, 8, 63.5, 38.1, 7.2, 15.15, 66.0, 38.1), "beyond the page"),
        (("x", "A4", 3, 7, 63.5, 38.1, 7.2, 15.15, 60.0, 38.1), "overlap"),
        (("x", "A4", 3, 7, 63.5, 38.1, 7.2, 15.15, 66.0, 30.0), "overlap"),
        (("x", "A4", 0, 7, 63.5, 38.1, 7.2, 15.15, 66.0, 38.1), "at least one"),
        (("x", "A4", 3, 7, -1, 38.1, 7.2, 15.15, 66.0, 38.1), "above zero"),
        (("x", "Foolscap", 1, 1, 50, 30, 5, 5, 50, 30), "none of"),
    ],
)
def test_a_sheet_that_cannot_be_is_refused(values, why):
    with pytest.raises(SheetError, match=why):
        Sheet(*values)


def test_an_unknown_key_names_the_known_ones():
    with pytest.raises(SheetError, match="a4-21"):
        sheet("a4-22")


def test_there_is_no_label_beyond_the_last():
    with pytest.raises(SheetError, match="no label 22"):
        sheet("a4-21").place(21)
