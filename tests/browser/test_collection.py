"""The collection on the first page as a finger, a mouse and the keyboard meet it."""

import re

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.conftest import PHONE

pytestmark = pytest.mark.begins_with("little")


def pieces(page: Page) -> Locator:
    return page.locator("#collection li:has(template) > a")


def named(page: Page) -> Locator:
    return page.locator("#named .named-name")


def other_than_named(page: Page) -> tuple[Locator, str]:
    """A piece that is not named yet, and its name."""
    link = pieces(page).and_(page.locator(":not([aria-current])")).first
    what = link.evaluate(
        "(link) => link.parentElement.querySelector('template').content.querySelector('a').text"
    )
    return pieces(page).filter(has_text=what), what


def test_one_touch_names_a_piece_and_the_next_opens_it(owner_browser):
    phone = owner_browser(viewport=PHONE, has_touch=True, is_mobile=True)
    phone.goto("/")
    first_picture = phone.locator("#collection .upright > *").first.bounding_box()
    assert first_picture["y"] + first_picture["height"] < PHONE["height"] - 64
    link, what = other_than_named(phone)
    link.tap()
    expect(named(phone)).to_have_text(what)
    expect(phone.locator("#named .named-years, #named .soft").first).to_be_visible()
    assert phone.url.endswith("/") and phone.locator("#collection [aria-current]").count() == 1
    link.tap()
    phone.wait_for_url(re.compile(r"/finds/[\d.]+/$"))
    expect(phone.get_by_role("heading", level=1)).to_have_text(what)


def test_a_mouse_names_by_pointing_and_opens_by_a_click(page):
    page.goto("/")
    link, what = other_than_named(page)
    link.hover()
    expect(named(page)).to_have_text(what)
    link.click()
    page.wait_for_url(re.compile(r"/finds/[\d.]+/$"))


def test_the_keyboard_names_on_its_way_and_opens(page):
    page.goto("/")
    page.locator(".brand").focus()
    said = set()
    for _ in range(40):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.closest('#collection') !== null"):
            said.add(named(page).inner_text())
        elif said:
            break
    assert len(said) == pieces(page).count() == 3
    pieces(page).last.focus()
    page.keyboard.press("Enter")
    page.wait_for_url(re.compile(r"/finds/[\d.]+/$"))


def test_without_script_a_touch_opens(owner_browser):
    plain = owner_browser(java_script_enabled=False, viewport=PHONE)
    plain.goto("/")
    pieces_there = plain.locator("#collection a[href^='/finds/2']")
    expect(pieces_there).to_have_count(3)
    pieces_there.last.click()
    plain.wait_for_url(re.compile(r"/finds/[\d.]+/$"))


def test_paper_gets_the_plate_and_no_button(page):
    page.goto("/")
    page.emulate_media(media="print")
    expect(page.locator("#collection .upright").first).to_be_visible()
    expect(page.get_by_role("button")).to_have_count(0)
    for gone in ("#named", ".work", ".top", ".bar"):
        expect(page.locator(gone)).to_be_hidden()
