"""Sheets and rolls by their measures; where a sheet's last print ended."""

import pytest

from catalogue.labels.label_text import LABEL_KINDS, LabelText
from catalogue.labels.models import OwnSheet, SheetUse
from catalogue.labels.sheet_memory import (
    note_print,
    print_digest,
    set_back,
    sheet_groups,
    sheet_of,
    use_of,
    usual_print,
)
from catalogue.labels.sheet_pdf import label_sheet
from catalogue.labels.sheets import SheetError
from tests.labels.rendering import DOTS_PER_MM, codes, pages

pytestmark = pytest.mark.django_db
MEASURES = {
    "name": "Parcel labels",
    "page": "A4",
    "columns": 2,
    "rows": 4,
    "label_width_mm": 95.0,
    "label_height_mm": 60.0,
    "left_mm": 8.0,
    "top_mm": 12.0,
    "pitch_x_mm": 99.0,
    "pitch_y_mm": 66.0,
}
SHELF = LABEL_KINDS["shelf"]


def own(**changes) -> OwnSheet:
    return OwnSheet.objects.create(**{**MEASURES, **changes})


def test_it_is_found_by_its_key_and_stands_first_among_the_choices():
    sheet = own()
    found = sheet_of(sheet.key)
    assert found.name == "Parcel labels: A4, 2 × 4, 95 × 60 mm" and found.per_page == 8
    assert sheet_groups()[0] == ("Your own", [(sheet.key, found.name)])
    sheet.delete()
    with pytest.raises(SheetError, match="no such sheet any more"):
        sheet_of(sheet.key)
    for wrong in ("own-", "own-x", "own-" + "9" * 30, "papyrus", ""):
        with pytest.raises(SheetError):
            sheet_of(wrong)


def test_labels_lie_where_it_was_measured():
    each = own(page="own", page_width_mm=200, page_height_mm=280, pitch_x_mm=None).as_sheet()
    texts = [LabelText(f"2026.1.{n}", code=f"2026.1.{n}") for n in range(1, 9)]
    (page,) = pages(label_sheet(texts, each, kind=SHELF))
    assert page.width / DOTS_PER_MM == pytest.approx(200, abs=0.1)
    for text, x, y in codes(page):
        left, top = each.place(int(text.rsplit(".", 1)[1]) - 1)
        assert left < x < left + 95 and y == pytest.approx(top + 30, abs=0.3)
    assert each.place(1)[0] == 8 + 95  # edge to edge where no pitch is given


@pytest.mark.parametrize(
    ("changes", "field", "why"),
    [
        ({"columns": 3}, "columns", "beyond the page of 210 × 297 mm"),
        ({"rows": 9}, "rows", "beyond the page"),
        ({"label_height_mm": 3.0}, "label_height_mm", "a label of 3 mm has no room for a number"),
        ({"label_width_mm": 3.0}, "label_width_mm", "a label of 3 mm"),
        ({"pitch_x_mm": 80.0}, "pitch_x_mm", "overlap"),
        ({"pitch_y_mm": 59.0}, "pitch_y_mm", "overlap"),
        ({"columns": 0}, "columns", "at least one"),
        ({"rows": 0}, "rows", "at least one"),
        ({"left_mm": -1.0}, "left_mm", "zero is the least"),
        ({"top_mm": -1.0}, "top_mm", "zero is the least"),
        ({"label_height_mm": -4.0}, "label_height_mm", "must be above zero"),
        ({"label_height_mm": float("inf")}, "label_height_mm", "no number"),
        ({"label_width_mm": 300.0, "columns": 1}, "label_width_mm", "beyond the page of 210 × 297 mm"),
        ({"label_width_mm": 300.0, "pitch_x_mm": 300.0}, "label_width_mm", "beyond the page"),
        ({"label_height_mm": 400.0, "rows": 1}, "label_height_mm", "beyond the page"),
        ({"label_width_mm": float("nan")}, "label_width_mm", "no number"),
        ({"pitch_x_mm": float("nan")}, "pitch_x_mm", "overlap"),
        ({"roll": True, "label_height_mm": 2.0}, "label_height_mm", "a label of 2 mm"),
    ],
)
def test_a_sheet_that_cannot_be_says_which_measure_is_wrong(changes, field, why):
    with pytest.raises(SheetError, match=why) as caught:
        OwnSheet(**{**MEASURES, **changes}).as_sheet()
    assert caught.value.field == field


def printed(key: str, start_at: int, finds: list[int], kind=SHELF) -> SheetUse:
    sheet = sheet_of(key)
    note_print(
        sheet,
        kind,
        start_at=start_at,
        count=len(finds),
        digest=print_digest({"start_at": start_at}, finds),
        shift=(0.5, -0.5),
        outlines=False,
    )
    return use_of(key)


def test_a_sheet_goes_on_where_the_last_print_on_it_ended():
    assert use_of("a4-21").next_label == 1
    use = printed("a4-21", 1, [1, 2, 3, 4])
    assert (use.next_label, use.last_from, use.last_count, use.right_mm) == (5, 1, 4, 0.5)
    assert printed("a4-21", 5, list(range(5, 30))).next_label == 9  # over to the next sheet
    assert printed("a4-21", 9, list(range(13))).next_label == 1  # used up to the last label
    assert use_of("letter-30").next_label == 1


def test_a_reprint_takes_no_further_labels_not_even_of_an_earlier_print():
    printed("a4-21", 1, [1, 2, 3])
    assert printed("a4-21", 1, [1, 2, 3]).next_label == 4
    printed("a4-21", 4, [7, 8])
    assert printed("a4-21", 1, [1, 2, 3]).next_label == 6
    assert printed("a4-21", 4, [7, 8, 9]).next_label == 7  # other pieces are another print


def test_a_print_taken_back_gives_its_labels_again_once():
    printed("a4-21", 1, [1, 2, 3])
    printed("a4-21", 4, [4, 5])
    assert set_back("a4-21").next_label == 4
    assert set_back("a4-21").next_label == 4
    assert printed("a4-21", 4, [4, 5]).next_label == 6  # printed anew, it counts anew
    assert set_back("letter-30").next_label == 1


def test_each_kind_remembers_its_sheet_and_its_parts():
    assert usual_print().kind == SHELF and usual_print("card").sheet == "cards-a4"
    printed("a4-65", 1, [1], SHELF.with_parts({"number", "code"}))
    card = LABEL_KINDS["card"].with_parts({"title"})
    printed("cards-letter", 1, [1], card)
    assert usual_print().kind == card and usual_print("card").sheet == "cards-letter"
    assert usual_print("shelf").kind.parts == {"number", "code"}
