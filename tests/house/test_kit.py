"""The kit of the look: contrast of its colours (WCAG 2.2), its face, its buttons, what a phone is told."""

import json
import re
from collections.abc import Iterator

import pytest
from fontTools.ttLib import TTFont

from catalogue.common.face import FACE, LARGEST_BYTES, LICENCE, make_face
from tests.house.sheets import ROOT, SHEETS, STATIC, TOKENS, rules

COMMON = STATIC / "common"
BARE = (ROOT / "templates" / "bare.html").read_text(encoding="utf-8")


def tokens(theme: str) -> dict[str, str]:
    """Tokens as the light or the dark theme has them."""
    said: dict[str, str] = {}
    for rule in rules(TOKENS):
        if rule.selectors == (":root",) and (not rule.within or theme == "dark"):
            said |= dict(rule.declarations)
    return said


def luminance(colour: str) -> float:
    """Relative luminance of a hex colour (WCAG 2.2, definition of relative luminance)."""
    digits = colour.lstrip("#")
    if len(digits) == 3:
        digits = "".join(each * 2 for each in digits)

    def linear(channel: int) -> float:
        part = channel / 255
        return part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4

    red, green, blue = (linear(int(digits[n : n + 2], 16)) for n in (0, 2, 4))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two hex colours (WCAG 2.2), 1 to 21."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_the_contrast_is_worked_out_as_the_standard_does() -> None:
    assert contrast("#000", "#ffffff") == pytest.approx(21)
    # Published by WebAIM as 4.54:1, the lightest grey on white that passes for text.
    assert contrast("#767676", "#fff") == pytest.approx(4.54, abs=0.005)


TEXT = [
    ("--ink", "--ground"),
    ("--ink", "--raised"),
    ("--ink", "--tint"),
    ("--ink", "--warn-tint"),
    ("--ink", "--danger-tint"),
    ("--soft", "--ground"),
    ("--soft", "--raised"),
    ("--act", "--ground"),
    ("--act", "--raised"),
    ("--act", "--tint"),
    ("--on-act", "--act"),
    ("--warn", "--ground"),
    ("--warn", "--warn-tint"),
    ("--danger", "--ground"),
    ("--danger", "--danger-tint"),
]
SHAPES = [("--field", "--ground"), ("--field", "--raised"), ("--band", "--ground"), ("--band", "--raised")]


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize(("on", "ground"), TEXT)
def test_words_can_be_read(theme: str, on: str, ground: str) -> None:
    """4.5:1, WCAG 2.2 criterion 1.4.3."""
    said = tokens(theme)
    assert contrast(said[on], said[ground]) >= 4.5


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize(("on", "ground"), SHAPES)
def test_outlines_of_fields_and_bands_of_years_can_be_seen(theme: str, on: str, ground: str) -> None:
    """3:1, WCAG 2.2 criterion 1.4.11."""
    said = tokens(theme)
    assert contrast(said[on], said[ground]) >= 3


def buttons() -> Iterator[tuple[str, str]]:
    for sheet in SHEETS:
        for rule in rules(sheet):
            for selector in rule.selectors:
                for kind in re.findall(r"\.btn((?:\.[\w-]+)*)", selector):
                    yield sheet.name, kind


def test_there_are_two_buttons() -> None:
    """The act of a page and everything else; what can't be undone is outlined in red."""
    kinds = {kind for _, kind in buttons()} - {".htmx-request"}
    assert kinds <= {"", ".q", ".amber"}


def test_no_picture_is_cropped_to_fit_its_place() -> None:
    """The code of a base stands at its edge, and a neck alone is no bottle."""
    fitted = [
        f"{sheet.name}: {rule.selectors}"
        for sheet in SHEETS
        for rule in rules(sheet)
        if dict(rule.declarations).get("object-fit", "contain") != "contain"
    ]
    assert fitted == []


def test_the_frame_of_a_phone_has_the_colour_of_the_page() -> None:
    said = dict(
        re.findall(r'name="theme-color" content="([^"]+)" media="\(prefers-color-scheme: (\w+)\)"', BARE)
    )
    assert {theme: colour for colour, theme in said.items()} == {
        theme: tokens(theme)["--ground"] for theme in ("light", "dark")
    }
    manifest = json.loads((COMMON / "siltmark.webmanifest").read_text(encoding="utf-8"))
    assert manifest["theme_color"] == manifest["background_color"] == tokens("light")["--ground"]


def test_the_face_is_a_small_subset_without_the_reserved_name(tmp_path) -> None:
    """SIL OFL 1.1, condition 3: a changed version doesn't carry the reserved name."""
    face = make_face(tmp_path)
    assert face.stat().st_size <= LARGEST_BYTES
    assert face.read_bytes() == (COMMON / FACE).read_bytes(), "made from other packages: build it anew"
    assert "Reserved Font Name" in (tmp_path / LICENCE).read_text(encoding="utf-8")
    font = TTFont(face)
    called = {str(record) for record in font["name"].names if record.nameID in (1, 3, 4, 6, 16)}
    assert called == {"Siltmark"}
    letters = set(font.getBestCmap())
    assert set(map(ord, "AZaz09Åéßœ–—…½′″°×−")) <= letters


def test_text_does_not_wait_for_the_face() -> None:
    assert "font-display: optional" in TOKENS.read_text(encoding="utf-8")
    assert 'rel="preload" href="{% static \'common/face.woff2\' %}"' in BARE
