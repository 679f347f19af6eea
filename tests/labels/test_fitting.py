"""Text that is made to fit: smaller, then wrapped, then cut."""

from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue.labels.typesetting import (
    ELLIPSIS,
    TEXT_FONT,
    TypeRoom,
    as_runs,
    ellipsize,
    fit,
    width_of,
    wrap,
)


def test_a_short_text_keeps_the_largest_size():
    block = fit("Soda", TEXT_FONT, TypeRoom(width=100, height=40, largest=10, smallest=6))
    assert block.lines == ("Soda",) and block.size == 10 and not block.cut


def test_a_little_too_long_is_set_smaller_on_one_line():
    words = "Bottled at Inchgate"
    block = fit(
        words,
        TEXT_FONT,
        TypeRoom(width=width_of(words, TEXT_FONT, 10) * 0.92, height=40, largest=10, smallest=6),
    )
    assert block.lines == (words,) and 8 <= block.size < 10


def test_longer_is_wrapped_and_longest_is_cut():
    words = "Aqua ginger-beer bottle with the town's name on the heel"
    two = fit(
        words,
        TEXT_FONT,
        TypeRoom(width=width_of(words, TEXT_FONT, 10) * 0.6, height=40, largest=10, smallest=6),
    )
    assert len(two.lines) == 2 and not two.cut
    assert " ".join(two.lines) == words
    short = fit(words * 4, TEXT_FONT, TypeRoom(width=60, height=40, largest=10, smallest=6))
    assert short.cut and short.lines[-1].endswith(ELLIPSIS)


def test_no_room_and_no_text_give_nothing():
    assert fit("Soda", TEXT_FONT, TypeRoom(width=100, height=5, largest=10, smallest=6)) is None
    assert fit(" \n ", TEXT_FONT, TypeRoom(width=100, height=50, largest=10, smallest=6)) is None


def test_cut_leaves_what_fits():
    assert ellipsize("Soda", TEXT_FONT, 10, 100) == "Soda"
    assert ellipsize("Soda water, Marrowby", TEXT_FONT, 10, 62) == "Soda water" + ELLIPSIS


def test_a_box_stands_for_what_no_font_shows():
    assert [run.font for run in as_runs("a🍾b", TEXT_FONT)] == [TEXT_FONT, None, TEXT_FONT]
    assert as_runs("\u202e\u200d", TEXT_FONT) == []


@settings(max_examples=60)
@given(st.text(max_size=120), st.floats(20, 200), st.floats(4, 60))
def test_whatever_is_set_stays_in_its_box(text, width, height):
    block = fit(text, TEXT_FONT, TypeRoom(width=width, height=height, largest=11, smallest=5))
    if block:
        assert block.height <= height + 1e-6
        widest = max(width_of("M", TEXT_FONT, block.size), width)
        assert all(width_of(line, TEXT_FONT, block.size) <= widest + 1e-6 for line in block.lines)


@given(st.text(alphabet="ab c", max_size=60))
def test_wrapping_loses_no_letter(text):
    assert "".join("".join(wrap(text, TEXT_FONT, 8, 30)).split()) == "".join(text.split())
