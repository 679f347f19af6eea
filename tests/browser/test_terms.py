"""Words of the trade explain themselves: at a touch, by keyboard, without script; on paper they are plain."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import PHONE
from tests.browser.judge import open_page, violations_in_light_and_dark
from tests.browser.measure import sideways

pytestmark = pytest.mark.begins_with("little")
FLASK = "/finds/2024.1.2/"
WORDS = "A blowpipe held the base"
WHY = "#why .conflict details, #why .clues"
OPEN = "(which) => document.querySelectorAll(which).forEach((each) => { each.open = true; })"


def opened(page: Page) -> None:
    open_page(page, FLASK)
    page.evaluate(OPEN, WHY)


@pytest.mark.parametrize("script", [True, False], ids=["with script", "without script"])
def test_a_touch_tells_and_a_touch_beside_it_shuts(owner_browser: Callable[..., Page], script: bool) -> None:
    phone = owner_browser(viewport=PHONE, has_touch=True, java_script_enabled=script)
    phone.goto(FLASK)
    if not script:
        phone.locator("#why summary").first.tap()
    else:
        opened(phone)
    term, told = phone.get_by_role("button", name="Blowpipe (open, ring) pontil"), phone.get_by_text(WORDS)
    expect(told).to_be_hidden()
    term.tap()
    expect(told).to_be_visible()
    box, bar = told.bounding_box(), phone.locator(".bar").bounding_box()
    assert (
        box["x"] >= 0 and box["x"] + box["width"] <= PHONE["width"] and box["y"] + box["height"] <= bar["y"]
    )
    phone.locator("h1").tap()
    expect(told).to_be_hidden()


def test_by_keyboard_it_opens_and_escape_gives_the_focus_back(page: Page) -> None:
    opened(page)
    term = page.get_by_role("button", name="Blowpipe (open, ring) pontil")
    term.focus()
    page.keyboard.press("Enter")
    told = page.get_by_text(WORDS)
    expect(told).to_be_visible()
    # where there is room it stands at its word
    word, says = term.bounding_box(), told.bounding_box()
    assert abs(says["x"] - word["x"]) < 5 and 0 <= says["y"] - word["y"] - word["height"] < 20
    page.keyboard.press("Escape")
    expect(told).to_be_hidden()
    expect(term).to_be_focused()


def test_open_it_passes_the_judge_and_fits_a_small_phone(phone: Page) -> None:
    opened(phone)
    phone.get_by_role("button", name="Blowpipe (open, ring) pontil").click()
    expect(phone.get_by_text(WORDS)).to_be_visible()
    assert violations_in_light_and_dark(phone) == []
    for address in ("/reference/?part=words", "/reference/?part=features&q=pontil", "/finds/new/", FLASK):
        open_page(phone, address)
        phone.evaluate(OPEN, f".rows details, .meant, {WHY}")
        assert not any(sideways(phone)), address


def test_paper_shows_the_word_and_no_mark_of_it(page: Page) -> None:
    open_page(page, "/reference/?part=features&q=blowpipe-pontil")
    page.evaluate(OPEN, ".rows details")
    page.emulate_media(media="print")
    term = page.locator(".term").first
    expect(term).to_be_visible()
    expect(term).to_have_css("text-decoration-line", "none")
    assert page.locator(".term-says:visible").count() == 0
