"""Mark drawings: what was read is drawn, what was not looked at is not, doubt is a dotted box."""

import itertools
from types import SimpleNamespace

import pytest
from hypothesis import given
from hypothesis import strategies as st

import dating
from catalogue.common.drawings.mark_shapes import FRAMES, SYMBOLS, frame_drawing, symbol_drawing
from catalogue.specimens.reading import drawing
from catalogue.specimens.reading.drawing import lines_of
from catalogue.specimens.reading.value import Reading
from dating.spoken import FRAME_KEYS, with_ampersand
from tests.common.svg import numbers, of_class, parsed, said

ARRANGEMENTS = ("plain", "stacked", "with-ampersand", "monogram", "interlaced", "script", "separate", "other")


def mark_drawing(letters: str = "", *, town: str = "", words: str | None = None, **read: str | None) -> str:
    """The drawing of a reading with these attributes."""
    return drawing.mark_drawing(Reading(letters, **read), town=town, words=words)


def mark_words(letters: str = "", **read: str | None) -> str:
    """The spoken description of a reading with these attributes."""
    return Reading(letters, **read).in_words()


def written(root, kind="mark-letter") -> list[str]:
    return [each.text for each in of_class(root, kind)]


def test_the_mark_of_the_sketch():
    root = parsed(mark_drawing("BW", symbol="wave", right="6", town="Marrowby"))
    assert said(root) == "Mark drawing: BW over a wave, 6 at the right, Marrowby round the edge"
    assert written(root) == ["BW"] and written(root, "mark-side") == ["6"]
    (side,) = of_class(root, "mark-side")
    assert float(side.get("x")) > 120
    (town,) = root.iter("textPath")
    assert town.text == "MARROWBY"
    assert town.get("href") == "#" + next(each.get("id") for each in root.iter("path") if each.get("id"))
    assert of_class(root, "mark-stroke")


@pytest.mark.parametrize("frame", FRAMES)
def test_every_frame_has_its_own_outline(frame):
    frames = of_class(parsed(mark_drawing("T", frame=frame)), "mark-frame")
    assert len(frames) == (0 if frame == "none" else 1)
    parsed(frame_drawing(frame))


def test_every_frame_that_a_mark_may_have_is_drawn():
    assert set(FRAMES) == set(FRAME_KEYS)


def test_frames_and_symbols_differ_from_each_other():
    assert len({mark_drawing("T", frame=frame) for frame in FRAMES}) == len(FRAMES)
    assert len({mark_drawing(symbol=symbol, words="x") for symbol in SYMBOLS}) == len(SYMBOLS)


@pytest.mark.parametrize("symbol", dating.reference().symbols)
def test_every_symbol_of_the_tables_is_drawn_within_its_square(symbol):
    root = parsed(symbol_drawing(symbol, symbol))
    assert symbol in SYMBOLS
    paths = [each.get("d") for each in root.iter("path")]
    assert paths and all(abs(value) <= 18.1 for d in paths for value in numbers(d))


def test_an_unknown_symbol_is_an_ornament_that_is_named():
    root = parsed(mark_drawing("A", symbol="windmill"))
    assert "A with a windmill" in said(root)
    assert of_class(root, "mark-stroke")


def test_unread_letters_are_dotted_boxes():
    root = parsed(mark_drawing("B?", frame="circle"))
    assert written(root) == ["B"] and len(of_class(root, "mark-doubt")) == 1
    assert "B (unread) in a circle" in said(root)
    assert len(of_class(parsed(mark_drawing("N??L")), "mark-doubt")) == 2
    assert len(of_class(parsed(mark_drawing("A?", arrangement="monogram")), "mark-doubt")) == 1


def test_not_looked_nothing_there_and_unread_are_three_things():
    not_looked = parsed(mark_drawing("A"))
    nothing = parsed(mark_drawing("A", right=""))
    unread = parsed(mark_drawing("A", right="?"))
    assert not of_class(not_looked, "mark-nothing") and not of_class(not_looked, "mark-doubt")
    assert len(of_class(nothing, "mark-nothing")) == 1 and "nothing at the right" in said(nothing)
    assert len(of_class(unread, "mark-doubt")) == 1 and "something unread at the right" in said(unread)


def test_characters_stand_on_their_sides():
    root = parsed(mark_drawing("A", left="1", right="2", above="3", below="4"))
    places = {each.text: (float(each.get("x")), float(each.get("y"))) for each in of_class(root, "mark-side")}
    assert places["1"][0] < 40 and places["2"][0] > 120 and places["3"][1] < 50 and places["4"][1] > 115


@pytest.mark.parametrize(
    ("letters", "arrangement", "lines"),
    [
        ("WT", "stacked", ["W", "T"]),
        ("GLOBSO", "stacked", ["GLO", "BSO"]),
        ("TC/W", "plain", ["TC", "W"]),
        ("ADAMSCO", "with-ampersand", ["ADAMS & CO"]),
        ("TH", "with-ampersand", ["T&H"]),
        ("T&H", "with-ampersand", ["T&H"]),
        ("OFG", "plain", ["OFG"]),
        ("", "plain", []),
    ],
)
def test_letters_stand_in_their_lines(letters, arrangement, lines):
    assert lines_of(letters, arrangement) == lines


@pytest.mark.parametrize(
    ("letters", "text", "arrangement", "lines"),
    [
        ("QUILLHERONJAR", "Quill Heron Jar", "script", ["QUILL", "HERON JAR"]),
        ("QUILLSPATENTJAR", "QUILL'S PATENT JAR with a heron", "stacked", ["QUILLS", "PATENT", "JAR"]),
        ("HARKLOWEMARROWBY", "HARK & LOWE / MARROWBY", "with-ampersand", ["HARK &", "LOWE", "MARROWBY"]),
        ("OLDQUAY", "OLDQUAY between two stars", "stacked", ["OLDQUAY"]),
        ("QMBCOHALL", "Q. M. B. CO. / HÄLL", "stacked", ["QMB", "CO", "HALL"]),
        # not spelled out by the text: as it is
        ("QMBCO", "a shield", "plain", ["QMBCO"]),
        ("HL", "HARK, LOWE", "monogram", ["HL"]),
    ],
)
def test_lines_of_a_mark_in_the_tables_end_between_words(letters, text, arrangement, lines):
    mark = SimpleNamespace(letters=letters, symbol="", frame="none", arrangement=arrangement, text=text)
    drawn = Reading.drawn_of_mark(mark)
    assert lines_of(drawn.letters, drawn.arrangement) == lines


def test_a_long_name_is_broken_and_loses_no_letter():
    for name in ("BRACKWATERBOTTLECOMPANY", "BRACKWATER BOTTLE COMPANY"):
        lines = lines_of(name, "plain")
        assert 2 <= len(lines) <= 3
        assert "".join(lines).replace(" ", "") == name.replace(" ", "")
    assert with_ampersand("W") == "W"


@pytest.mark.parametrize(("frame", "arrangement"), list(itertools.product(FRAMES, ARRANGEMENTS)))
def test_every_frame_goes_with_every_arrangement(frame, arrangement):
    root = parsed(mark_drawing("TH", frame=frame, arrangement=arrangement, symbol="crown", left="1"))
    assert "".join(written(root)).replace("&", "") == "TH"


def test_words_say_the_arrangement():
    assert mark_words("AGM", arrangement="monogram") == "AGM as a monogram"
    assert mark_words(symbol="eagle", frame="oval") == "an eagle in an oval"
    assert mark_words("W", frame="inverted-triangle") == "W in a triangle standing on its point"
    assert mark_words() == "no letters"


def test_a_hidden_drawing_says_nothing():
    assert parsed(mark_drawing("A", words="")).get("aria-hidden") == "true"


@given(st.text(max_size=40), st.text(max_size=12), st.text(max_size=20), st.sampled_from(ARRANGEMENTS))
def test_any_text_is_shown_as_text(letters, beside, town, arrangement):
    parsed(mark_drawing(letters, symbol=town, frame=beside, left=beside, town=town, arrangement=arrangement))


def test_markup_stays_text():
    root = parsed(mark_drawing("<b>", right='"><script>', town="</svg>&"))
    assert written(root) == ["<b>"] and written(root, "mark-side") == ['"><script>']
