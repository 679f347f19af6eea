"""The one search in a real browser: its key, its sheet while one types, keys, a phone, judged by axe."""

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.judge import open_page, violations_in_light_and_dark

pytestmark = pytest.mark.begins_with("little")
SHEET, BOX = "#search-sheet", "#top-search"
APART = "Each of these words is on record"


def ask(page: Page, words: str, says: str = "") -> None:
    """Type it, letter by letter, and wait for what answers it: that it names the words, or says this."""
    page.locator(BOX).click()
    page.locator(BOX).fill("")
    page.locator(BOX).press_sequentially(words)
    expect(page.locator(f"{SHEET} .sheet-foot a, {SHEET} .sheet-said").first).to_contain_text(says or words)


def chosen(page: Page) -> str:
    """The choice that the box points at."""
    key = page.locator(BOX).get_attribute("aria-activedescendant")
    return page.locator(f"#{key}").inner_text() if key else ""


def test_the_key_leads_to_the_box_outside_of_fields_and_can_be_turned_off(page: Page) -> None:
    open_page(page, "/finds/new/")
    what = page.locator("[name=what]")
    what.fill("a")
    what.press("/")
    expect(what).to_be_focused()
    expect(what).to_have_value("a/")
    what.blur()
    page.keyboard.press("/")
    box = page.locator(BOX)
    expect(box).to_be_focused()
    # inside the box it is a sign like others
    page.keyboard.press("/")
    expect(box).to_have_value("/")
    open_page(page, "/settings/")
    page.get_by_label("The key / leads to the search box").uncheck()
    page.get_by_label("The key / leads to the search box").locator("xpath=ancestor::form").get_by_role(
        "button"
    ).click()
    open_page(page, "/finds/")
    page.keyboard.press("/")
    expect(box).not_to_be_focused()


def test_groups_answer_while_one_types_and_keys_move_open_and_shut(page: Page) -> None:
    open_page(page, "/finds/")
    link = page.get_by_role("link", name="Towns").first
    link.focus()
    page.keyboard.press("/")
    ask(page, "marrow")
    sheet, box = page.locator(SHEET), page.locator(BOX)
    expect(sheet.get_by_role("group", name="Finds")).to_contain_text("Ginger beer bottle")
    expect(sheet.get_by_role("group", name="Towns")).to_contain_text("Marrowby")
    expect(box).to_have_attribute("aria-expanded", "true")
    assert chosen(page) == ""
    page.keyboard.press("ArrowDown")
    assert "Ginger beer bottle" in chosen(page)
    page.keyboard.press("ArrowUp")
    assert chosen(page) == "", "past the first stands the box itself"
    page.keyboard.press("ArrowUp")
    last = chosen(page)
    assert last and "Ginger" not in last
    # Escape shuts and leaves what was typed; the next one gives the focus back
    page.keyboard.press("Escape")
    expect(sheet).to_be_hidden()
    expect(box).to_be_focused()
    expect(box).to_have_value("marrow")
    expect(box).to_have_attribute("aria-expanded", "false")
    page.keyboard.press("Escape")
    expect(link).to_be_focused()
    box.focus()
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    page.wait_for_url(re.compile(r"/finds/\d{4}\.\d+\.\d+/$"))


def test_enter_in_the_box_leads_to_the_page_and_a_number_to_its_piece(page: Page) -> None:
    open_page(page, "/towns/")
    ask(page, "bottle")
    page.keyboard.press("Enter")
    page.wait_for_url("**/search/?q=bottle")
    expect(page.get_by_role("heading", name=re.compile("^Finds"))).to_be_visible()
    ask(page, "2024.1.1")
    expect(page.locator("#found-number")).to_contain_text("2024.1.1")
    page.keyboard.press("Enter")
    page.wait_for_url("**/finds/2024.1.1/")


def test_a_wrong_letter_is_forgiven_and_said_and_other_words_are_a_link(page: Page) -> None:
    open_page(page, "/finds/")
    ask(page, "marroby")
    sheet = page.locator(SHEET)
    expect(sheet).to_contain_text("Nothing holds “marroby”, so “marrowby” was looked for.")
    expect(sheet.get_by_role("group", name="Finds")).to_contain_text("Ginger beer bottle")
    # words that nothing has together are offered one by one
    ask(page, "flask ginger", APART)
    meant = sheet.get_by_role("link", name="flask", exact=True)
    expect(sheet).to_contain_text("Did you mean")
    page.keyboard.press("Tab")
    page.keyboard.press("Tab") if not meant.evaluate("e => e === document.activeElement") else None
    expect(meant).to_be_focused()
    page.keyboard.press("Escape")
    expect(sheet).to_be_hidden()
    expect(page.locator(BOX)).to_be_focused()
    page.locator(BOX).press("ArrowDown")
    meant.click()
    page.wait_for_url("**/search/?q=flask")
    expect(page.get_by_role("link", name="Figured flask")).to_be_visible()


def test_on_a_phone_the_sheet_fits_shuts_beside_it_and_the_judge_finds_nothing(phone: Page) -> None:
    open_page(phone, "/finds/")
    for words, says in (("marrow", ""), ("marroby", ""), ("flask ginger", APART), ("zzzzzz", "")):
        ask(phone, words, says)
        sheet = phone.locator(SHEET)
        expect(sheet).to_be_visible()
        edges = sheet.bounding_box()
        assert edges and edges["x"] >= 0 and edges["x"] + edges["width"] <= 390.5
        for row in sheet.locator(".found").all():
            height = row.bounding_box()
            assert height and height["height"] >= 43.5, "a finger's height"
        assert violations_in_light_and_dark(phone) == [], words
    phone.locator("h1").first.click(position={"x": 2, "y": 2}, force=True)
    ask(phone, "marrow")
    phone.mouse.click(195, 830)
    expect(phone.locator(SHEET)).to_be_hidden()


def test_a_visitor_finds_what_is_shown(visitor_page: Page) -> None:
    open_page(visitor_page, "/giving/")
    ask(visitor_page, "ginger")
    expect(visitor_page.locator(SHEET)).to_contain_text("Ginger beer bottle")
    ask(visitor_page, "flask")
    expect(visitor_page.locator(SHEET)).to_contain_text("Nothing holds “flask”")
    assert violations_in_light_and_dark(visitor_page) == []
