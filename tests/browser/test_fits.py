"""Reflow (WCAG 2.2, 1.4.10 and 1.4.4): no page scrolls sideways; heads are slim, pages end."""

import pytest
from playwright.sync_api import Page

from tests.browser.judge import open_page
from tests.browser.measure import HEIGHT, sideways
from tests.browser.test_accessible import PAGES

pytestmark = pytest.mark.begins_with("little")
SLIM_PX = 64
MOST_SCREENS = 8
SHOWN_THOUGH_HIDDEN = """() => [...document.querySelectorAll("[hidden]")]
    .filter((each) => getComputedStyle(each).display !== "none").map((each) => each.outerHTML.slice(0, 90))"""
# A field that no rule of ours reaches has the browser's own look: too low for a finger.
BARE_FIELDS = """() => {
    document.querySelectorAll("details").forEach((each) => { each.open = true; });
    const typed = "input:not([type=checkbox], [type=radio], [type=hidden], [type=range]), select, textarea";
    return [...document.querySelectorAll(typed)]
        .filter((each) => each.checkVisibility() && each.getBoundingClientRect().height < 44)
        .map((each) => each.outerHTML.slice(0, 90));
}"""
HEAD = "document.querySelector('header').getBoundingClientRect().height"


def test_no_page_scrolls_sideways_small_zoomed_or_in_large_text(phone: Page) -> None:
    found = {}
    for address in PAGES:
        open_page(phone, address)
        if any(over := sideways(phone)):
            found[address] = dict(zip(("320 px", "200 % zoom", "200 % text"), over, strict=True))
    assert found == {}


def test_the_head_is_slim_and_pages_end(phone: Page) -> None:
    found = {}
    for address in PAGES:
        open_page(phone, address)
        head = phone.evaluate(HEAD)
        screens = phone.evaluate("document.scrollingElement.scrollHeight") / HEIGHT
        if head > SLIM_PX or screens > MOST_SCREENS:
            found[address] = (head, round(screens, 1))
    assert found == {}


def test_the_name_of_the_program_is_never_broken_for_a_visitor(new_browser) -> None:
    """In text of twice the size on a phone, where the one room of visitors stands beside it."""
    page = new_browser(viewport={"width": 390, "height": HEIGHT})
    page.goto("/giving/")
    page.evaluate("() => { document.documentElement.style.fontSize = '200%'; }")
    lines = page.locator(".brand").evaluate(
        """(brand) => {
            const words = document.createRange();
            words.selectNodeContents(brand);
            return words.getClientRects().length;
        }"""
    )
    assert lines == 1 and not any(sideways(page))


def test_what_is_hidden_is_not_shown(phone: Page) -> None:
    """A rule that gives a part its shape is stronger than the browser's own for what is hidden."""
    found = {}
    for address in PAGES:
        open_page(phone, address)
        if shown := phone.evaluate(SHOWN_THOUGH_HIDDEN):
            found[address] = shown
    assert found == {}


def test_every_field_is_as_high_as_a_finger(phone: Page) -> None:
    """In what is folded up too (ENGINEERING: 44 px, WCAG 2.2, 2.5.5)."""
    found = {}
    # a list of a choice offers to be kept under a name
    for address in (*PAGES, "/finds/?stage=wet"):
        open_page(phone, address)
        if bare := phone.evaluate(BARE_FIELDS):
            found[address] = bare
    assert found == {}


def test_the_rooms_that_no_bar_has_room_for_are_two_touches_away(phone: Page) -> None:
    """More opens above the bar, and shuts by Escape with the focus where it was."""
    open_page(phone, "/finds/")
    bar = phone.get_by_role("navigation", name="Main")
    bar.get_by_text("More").click()
    bar.get_by_role("link", name="Safekeeping").click()
    assert phone.url.endswith("/safekeeping/")
    bar.get_by_text("More").click()
    phone.keyboard.press("Escape")
    assert not bar.get_by_role("link", name="Bin").is_visible()
    assert phone.evaluate("document.activeElement.tagName") == "SUMMARY"
