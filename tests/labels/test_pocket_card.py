"""The card for the pocket: nothing stands on a fold, nothing is lost, as a PDF reader sees it."""

import io

import pypdfium2
import pytest

from catalogue.labels.pocket_card import FOLD_COLUMNS, FOLD_ROWS, CardLine, CardPart, pocket_card


def made(parts: list[CardPart], paper: str = "A4") -> pypdfium2.PdfDocument:
    content = pocket_card(parts, title="Still looking for", day="1 May", empty="Nothing.", paper=paper)
    return pypdfium2.PdfDocument(io.BytesIO(content))


def many(count: int) -> list[CardPart]:
    lines = [
        CardLine(f"piece number {n} of a long and rambling description", "a note " * 9) for n in range(count)
    ]
    return [CardPart(f"Bottler {n}", lines[n : n + 10]) for n in range(0, count, 10)]


def words_with_places(page: pypdfium2.PdfPage) -> list[tuple[str, float, float, float, float]]:
    text = page.get_textpage()
    return [(text.get_text_bounded(*box), *box) for box in map(text.get_rect, range(text.count_rects()))]


@pytest.mark.parametrize(("paper", "size"), [("A4", (595.3, 841.9)), ("letter", (612, 792))])
def test_nothing_stands_on_a_fold_or_at_the_edge(paper, size):
    sheet = made(many(60), paper)
    assert len(sheet) > 1
    for page in sheet:
        width, height = page.get_size()
        assert (width, height) == pytest.approx(size, abs=0.5)
        for words, left, foot, right, top in words_with_places(page):
            column, row = int(left // (width / FOLD_COLUMNS)), int(foot // (height / FOLD_ROWS))
            assert right < (column + 1) * width / FOLD_COLUMNS - 8, words
            assert top < (row + 1) * height / FOLD_ROWS - 8 and foot > row * height / FOLD_ROWS + 8, words


def test_every_line_is_there_once_in_order():
    read = " ".join(" ".join(page.get_textpage().get_text_bounded() for page in made(many(60))).split())
    places = [read.index(f"piece number {n} of") for n in range(60)]
    assert places == sorted(places) and read.count("a note") == 60 * 9


def test_a_heading_is_not_left_alone_at_the_foot_of_a_panel():
    for page in made(many(200)):
        width, height = page.get_size()
        boxes = [(w, left, foot) for w, left, foot, *_ in words_with_places(page)]
        for n, (words, left, foot) in enumerate(boxes[:-1]):
            if words.startswith("Bottler"):
                _, left_after, foot_after = boxes[n + 1]
                assert (left // (width / FOLD_COLUMNS), foot // (height / FOLD_ROWS)) == (
                    left_after // (width / FOLD_COLUMNS),
                    foot_after // (height / FOLD_ROWS),
                )


def test_nothing_to_say_is_said_and_odd_letters_do_no_harm():
    (page,) = made([])
    assert "Nothing." in page.get_textpage().get_text_bounded()
    made([CardPart("\u05e9\u05dc\u05d5\u05dd \U0001f37e", [CardLine("x" * 5000, "\n\n")])])


def test_the_same_list_gives_the_same_file():
    kwargs = {"title": "a", "day": "b", "empty": "c"}
    assert pocket_card(many(3), **kwargs) == pocket_card(many(3), **kwargs)
