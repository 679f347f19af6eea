"""Ticks of finds and the bar of acts: counted, kept, a range by Shift, two windows, a phone, no script."""

import re

from playwright.sync_api import Page, expect

from tests.browser.test_browse import add_find

BOXES = 'input[name="find"][form="many"]'


def open_acts(page: Page) -> None:
    page.locator(".many-open > summary").click()


def three(page: Page) -> None:
    for what in ("Ink cone", "Case gin", "Milk pint"):
        add_find(page, what)


def test_ticks_are_counted_ranged_kept_and_acted_on(page):
    three(page)
    page.goto("/finds/")
    boxes = page.locator(BOXES)
    boxes.nth(0).click()
    boxes.nth(2).click(modifiers=["Shift"])
    page.get_by_text("3 chosen", exact=True).wait_for()
    boxes.nth(1).uncheck()
    # kept through a filter that shows neither, and a page of another room
    page.goto("/finds/?q=gin")
    page.get_by_text("2 chosen, 2 on other pages").wait_for()
    page.goto("/finds/")
    expect(page.locator(f"{BOXES}:checked")).to_have_count(2)
    page.get_by_role("button", name="Choose all on this page").click()
    page.get_by_text("3 chosen", exact=True).wait_for()
    page.get_by_role("button", name="Choose none").click()
    expect(page.locator(f"{BOXES}:checked")).to_have_count(0)
    boxes.nth(0).check()
    open_acts(page)
    page.get_by_role("button", name="Print labels").click()
    page.wait_for_url(re.compile(r"/labels/\?of=\d+"))
    expect(page.locator('.ticks input[name="find"]')).to_have_count(1)


def test_an_act_is_shown_done_and_undone_from_its_notice(page):
    three(page)
    page.goto("/finds/")
    page.get_by_role("button", name="Choose all on this page").click()
    open_acts(page)
    page.get_by_role("button", name="Add words").click()
    page.get_by_label("Words to add").fill("crate by the door")
    page.get_by_role("button", name="Show what changes").click()
    page.get_by_role("button", name="Add to all 3").click()
    page.get_by_text("is in the notes of 3 pieces now.").wait_for()
    expect(page).to_have_url(re.compile("/finds/$"))
    # what was acted on is no longer chosen
    expect(page.locator(f"{BOXES}:checked")).to_have_count(0)
    page.goto("/finds/?q=crate")
    page.get_by_text("3 finds by your choice").wait_for()
    page.goto("/finds/many/")
    page.get_by_role("button", name=re.compile("^Undo")).click()
    page.get_by_text("Undone: 3 pieces are as before.").wait_for()


def test_two_windows_and_a_second_tap(page):
    three(page)
    page.goto("/finds/")
    page.get_by_role("button", name="Choose all on this page").click()
    open_acts(page)
    page.get_by_role("button", name="Choose the kind").click()
    page.select_option("select[name=kind]", "ink")
    page.get_by_role("button", name="Show what changes").click()
    page.get_by_role("button", name="Save for all 3").wait_for()
    other = page.context.new_page()
    other.goto(page.url)
    other.get_by_role("button", name="Save for all 3").click()
    other.get_by_text("on record as: ink bottle.").wait_for()
    page.get_by_role("button", name="Save for all 3").click()
    page.get_by_text("nothing was done twice").wait_for()


def test_on_a_phone_the_acts_are_a_sheet_of_large_targets(phone):
    add_find(phone, "Ink cone")
    phone.goto("/finds/")
    phone.locator(BOXES).first.check()
    open_acts(phone)
    sheet = phone.locator(".many-sheet")
    for button in sheet.get_by_role("button").all():
        box = button.bounding_box()
        assert box and box["height"] >= 44
        button.click(trial=True)  # nothing lies over it
    assert phone.evaluate("document.documentElement.scrollWidth <= innerWidth")
    phone.keyboard.press("Escape")
    expect(sheet).to_be_hidden()


def test_without_script_ticks_are_sent_and_more_are_added(page, owner_browser):
    three(page)
    plain = owner_browser(java_script_enabled=False)
    plain.goto("/finds/?q=gin")
    plain.locator(BOXES).check()
    open_acts(plain)
    plain.get_by_role("button", name="Choose the kind").click()
    plain.get_by_role("heading", name="Choose the kind: 1 find").wait_for()
    plain.locator("summary", has_text="Which").click()
    plain.get_by_role("link", name="Choose more in the list").click()
    plain.get_by_role("link", name="Choose all on this page").click()
    expect(plain.locator(f"{BOXES}:checked")).to_have_count(1)
    plain.goto(plain.url.replace("q=gin", "q=cone"))
    plain.locator(BOXES).check()
    open_acts(plain)
    plain.get_by_role("button", name="Choose the kind").click()
    plain.get_by_role("heading", name="Choose the kind: 2 finds").wait_for()
    plain.select_option("select[name=kind]", "case")
    plain.get_by_role("button", name="Show what changes").click()
    plain.get_by_role("button", name="Save for all 2").click()
    plain.get_by_text("2 pieces are on record as: case or spirit bottle.").wait_for()
