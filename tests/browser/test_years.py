"""Year rulers as they are seen: words of one size that never touch; in forced colours and on paper."""

from itertools import pairwise

import pytest
from playwright.sync_api import Page

from tests.browser.judge import open_page

pytestmark = pytest.mark.begins_with("little")
FIND = "/finds/2024.1.1/"
LISTS = ("/", "/finds/", "/finds/?view=table", "/towns/", "/towns/marrowby/", "/dives/sites/heron-ledge/")
ADDRESSES = (FIND, *LISTS)
LEAST_PX = 11

# Of every ruler that is seen: its words with their places, by the row that they stand in.
WORDS = """() => [...document.querySelectorAll(".ruler-labels, .ruler-above")].map((row) =>
  [...row.querySelectorAll("text")].filter((text) => text.getClientRects().length).map((text) => {
    const box = text.getBoundingClientRect();
    const size = parseFloat(getComputedStyle(text).fontSize), around = row.getBoundingClientRect();
    const off = box.left < around.left - 1 || box.right > around.right + 1;
    return { word: text.textContent, left: box.left, right: box.right, size, off };
  })).filter((row) => row.length)"""


def faults(page: Page, text: str) -> tuple[int, list[str]]:
    """How many rows of years are seen with letters of that size, and what is wrong with them."""
    page.evaluate("(size) => { document.documentElement.style.fontSize = size; }", text)
    rows = page.evaluate(WORDS)
    said = []
    for row in rows:
        row.sort(key=lambda each: each["left"])
        said += [f"{each['word']} is small" for each in row if each["size"] < LEAST_PX]
        said += [f"{a['word']} touches {b['word']}" for a, b in pairwise(row) if a["right"] > b["left"]]
        said += [f"{each['word']} leaves its ruler" for each in row if each["off"]]
    page.evaluate("() => { document.documentElement.style.fontSize = ''; }")
    return len(rows), said


@pytest.mark.parametrize("width", (320, 390, 1280))
def test_years_in_words_are_large_enough_apart_and_within_their_ruler(owner_browser, width: int) -> None:
    page = owner_browser(viewport={"width": width, "height": 844})
    seen, said = 0, {}
    for address in ADDRESSES:
        open_page(page, address)
        for text in ("16px", "32px"):
            count, wrong = faults(page, text)
            seen += count
            if wrong:
                said[address, text] = wrong
    assert said == {} and seen > len(ADDRESSES)


def test_words_keep_their_size_whatever_the_width(owner_browser) -> None:
    sizes = set()
    for width in (320, 390, 1280):
        page = owner_browser(viewport={"width": width, "height": 844})
        open_page(page, FIND)
        sizes |= {round(each["size"], 1) for row in page.evaluate(WORDS) for each in row}
    assert sizes == {13.0}


FILLS = """() => [...document.querySelectorAll(".ruler :is(.rule-band, .rule-tick, text)")].map((each) => {
  const style = getComputedStyle(each);
  return each.matches(".rule-tick") ? style.stroke : style.fill;
})"""


@pytest.mark.parametrize("scheme", ("light", "dark"))
def test_in_forced_colours_rulers_are_drawn_in_the_systems_ink(owner_browser, scheme: str) -> None:
    page = owner_browser(forced_colors="active", color_scheme=scheme)
    open_page(page, FIND)
    ink = page.evaluate("getComputedStyle(document.body).color")
    found = page.evaluate(FILLS)
    assert found and set(found) == {ink}


def test_on_paper_a_ruler_stands_below_its_phrase(page: Page) -> None:
    open_page(page, FIND)
    page.emulate_media(media="print")
    band, phrase = page.locator(".ruler-large .ruler-band").first, page.locator(".phrase").first
    assert band.is_visible() and phrase.is_visible()
    assert page.locator(".years-how").first.is_hidden()
