"""Style sheets in cascade layers, design tokens, and no dead file."""

import json
import re
from collections import defaultdict
from pathlib import Path

import pytest

from tests.house.sheets import ROOT, SHEETS, STATIC, TOKENS, name, parse, rules

OTHERS = [path for path in SHEETS if path != TOKENS]
SCRIPTS = sorted(STATIC.rglob("*.js"))
TEMPLATES = sorted((ROOT / "templates").rglob("*.html"))
CODE = sorted((ROOT / "catalogue").rglob("*.py"))
BASES = ("base.html", "bare.html")
LAYERS = ("frame", "parts", "room")
COLOUR = re.compile(r"#[0-9a-f]{3,8}\b|\b(?:rgb|hsl|hwb|lab|lch|oklab|oklch|color)a?\(", re.IGNORECASE)
NAMED = re.compile(r"\b(?:white|black|red|green|blue|gr[ae]y|orange|yellow|silver)\b", re.IGNORECASE)
PAINT = re.compile(r"(?:color|background|fill|stroke|border|outline|shadow|image)")
SPACE = re.compile(r"(?:margin|padding)(?:-(?:block|inline|top|right|bottom|left).*)?|(?:row-|column-)?gap")
SIZES = [f"--t{n}" for n in range(1, 7)]
SPACES = [f"--s{n}" for n in range(1, 7)]
URL = re.compile(r"""url\("([^")]+)"\)""")
REM = re.compile(r"(?<![\w.])(\d*\.?\d+)rem\b")
USE = re.compile(r"var\((--[\w-]+)")
REFERENCE = re.compile(r"""\{% static ['"]([^'"]+)['"] %\}""")
IMPORT = re.compile(r"""(?:from|import)\s*\(?["'](\.[^"']+)["']""")


def references() -> dict[str, set[Path]]:
    """Which templates name which file."""
    found: dict[str, set[Path]] = defaultdict(set)
    for template in TEMPLATES:
        for asset in REFERENCE.findall(template.read_text(encoding="utf-8")):
            found[asset].add(template)
    return found


def test_there_is_something_to_look_at() -> None:
    assert len(OTHERS) > 20
    assert len(SCRIPTS) > 20
    assert len(TEMPLATES) > 100


@pytest.mark.parametrize("path", OTHERS, ids=name)
def test_a_sheet_stands_in_its_layer(path: Path) -> None:
    """The skeleton, what many pages show, one page: a later layer wins, whatever a selector weighs."""
    layer = "room" if name(path).startswith("pages/") else ("frame" if path.name == "frame.css" else "parts")
    assert {rule.within[0] for rule in rules(path)} == {f"@layer {layer}"}


def test_the_order_of_the_layers_is_said_first() -> None:
    assert f"@layer {', '.join(LAYERS)};" in TOKENS.read_text(encoding="utf-8")
    first = REFERENCE.findall((ROOT / "templates" / "bare.html").read_text(encoding="utf-8"))
    assert next(asset for asset in first if asset.endswith(".css")) == name(TOKENS)


@pytest.mark.parametrize("path", [*OTHERS, *SCRIPTS], ids=name)
def test_no_colour_stands_outside_the_tokens(path: Path) -> None:
    if path.suffix == ".js":
        assert not re.findall(
            r"""["'`](?:#[0-9a-fA-F]{3,8}|rgba?\([^"'`]*)["'`]""", path.read_text(encoding="utf-8")
        )
        return
    for rule in rules(path):
        for prop, value in rule.declarations:
            assert not COLOUR.search(value), (rule.selectors, prop, value)
            assert not (PAINT.search(prop) and NAMED.search(USE.sub("", value))), (
                rule.selectors,
                prop,
                value,
            )


def test_there_are_six_sizes_and_six_spaces() -> None:
    tokens = [prop for rule in rules(TOKENS) if not rule.within for prop, _ in rule.declarations]
    assert [prop for prop in tokens if re.fullmatch(r"--t\d.*", prop)] == SIZES
    assert [prop for prop in tokens if re.fullmatch(r"--s\d.*", prop)] == SPACES


@pytest.mark.parametrize("path", OTHERS, ids=name)
def test_type_and_space_come_from_the_tokens(path: Path) -> None:
    """On the screen no text has a size, and nothing a space around it, beside the six of each.

    Paper has points; a drawing's own grid has units. A length of a thing (a thumb's width, a depth in a tree)
    is no space: those stand in `calc()`, or are larger than the largest space.
    """
    largest = 3.25
    for rule in rules(path):
        if any("print" in at for at in rule.within):
            continue
        for prop, value in rule.declarations:
            if prop in ("font", "font-size"):
                size = value.split("/")[0]
                assert not REM.search(size), (rule.selectors, prop, value)
            elif SPACE.fullmatch(prop):
                small = [n for n in REM.findall(re.sub(r"calc\(.*\)", "", value)) if float(n) <= largest]
                assert not small, (rule.selectors, prop, value)


def test_no_selector_is_styled_in_two_sheets() -> None:
    where: dict[str, set[str]] = defaultdict(set)
    for path in OTHERS:
        for rule in rules(path):
            for selector in rule.selectors:
                where[selector].add(name(path))
    assert {selector: sheets for selector, sheets in where.items() if len(sheets) > 1} == {}


def test_each_token_is_used_and_each_used_one_exists() -> None:
    scripts = "".join(path.read_text(encoding="utf-8") for path in SCRIPTS)
    others = "".join(path.read_text(encoding="utf-8") for path in [*SHEETS, *TEMPLATES, *CODE])
    used = set(USE.findall(scripts + others)) | set(re.findall(r"""["'](--[\w-]+)["']""", scripts))
    tokens = {prop for rule in rules(TOKENS) for prop, _ in rule.declarations}
    local = {
        prop
        for path in OTHERS
        for rule in rules(path)
        for prop, _ in rule.declarations
        if prop.startswith("--")
    }
    local |= set(re.findall(r"""setProperty\(["'](--[\w-]+)""", scripts))
    assert used - tokens - local == set(), "used, but not defined"
    assert (tokens | local) - used == set(), "defined, but not used"


def test_a_theme_changes_tokens_that_exist() -> None:
    plain = {prop for rule in rules(TOKENS) if not rule.within for prop, _ in rule.declarations}
    dark = {prop for rule in rules(TOKENS) if rule.within for prop, _ in rule.declarations}
    assert dark
    assert dark <= plain


def test_each_file_is_used_and_each_used_one_exists() -> None:
    named = set(references())
    for path in SHEETS:
        named |= {name(path.parent / url) for url in URL.findall(path.read_text(encoding="utf-8"))}
    for manifest in STATIC.rglob("*.webmanifest"):
        icons = json.loads(manifest.read_text(encoding="utf-8"))["icons"]
        named |= {name(manifest.parent / icon["src"]) for icon in icons}
    for script in SCRIPTS:
        for imported in IMPORT.findall(script.read_text(encoding="utf-8")):
            named.add((script.parent / imported).resolve().relative_to(STATIC).as_posix())
    there = {name(path) for path in STATIC.rglob("*.*")}
    assert there - named == set(), "no template or script asks for these"
    assert named - there == set(), "asked for, but not there"


@pytest.mark.parametrize("asset", sorted(a for a in references() if a.startswith("pages/")))
def test_what_belongs_to_a_page_stands_in_the_tree_of_its_page(asset: str) -> None:
    """`static/pages/x/` is asked for by `templates/pages/x/` alone."""
    room = asset.rpartition("/")[0]
    for template in references()[asset]:
        assert template.relative_to(ROOT / "templates").as_posix().startswith(room), template


def test_the_parser_sees_what_stands_in_a_sheet() -> None:
    found = list(
        parse("@layer a, b; /* { */ @media print { .x:is(.y, .z), p { margin: 0 1rem; content: '}'; } }")
    )
    assert len(found) == 1
    assert found[0].within == ("@media print",)
    assert found[0].selectors == (".x:is(.y, .z)", "p")
    assert found[0].declarations == (("margin", "0 1rem"), ("content", "'}'"))
