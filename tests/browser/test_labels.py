"""The page of labels in a browser: the picture follows each choice, with script and without."""

import re

from playwright.sync_api import Page, expect

from tests.browser.test_browse import add_find

PICTURE = "#label-picture svg.printed >> nth=0"


def open_labels(page: Page) -> None:
    add_find(page, "Ink cone")
    page.get_by_role("link", name="Print label", exact=True).click()
    page.wait_for_url(re.compile("/labels/"))


def test_the_picture_follows_each_choice_without_loading_the_page_anew(page: Page) -> None:
    open_labels(page)
    picture = page.locator(PICTURE)
    expect(picture).to_contain_text("Ink cone")
    page.evaluate("window.stays = true")
    page.get_by_label("What it is").uncheck()
    expect(page.locator("#label-picture")).not_to_contain_text("Ink cone")
    assert page.evaluate("document.activeElement.value") == "title"  # the tick keeps the keyboard
    # another kind brings its own parts and its own sheet
    page.get_by_label("Kind of label").select_option("card")
    page.get_by_label("Year ruler").wait_for()
    expect(page.locator("[name=sheet]")).to_have_value("cards-a4")
    page.get_by_label("Begin at label").fill("3")
    expect(page.locator("#label-picture")).to_contain_text("labels 3 to 3 of 4 are printed")
    page.get_by_label("Begin at label").fill("9")
    expect(page.locator("#label-picture")).to_contain_text("This sheet has labels 1 to 4; 9 is none of them.")
    assert page.evaluate("window.stays")


def test_it_works_without_script_by_a_button(new_browser, catalogue) -> None:
    page = new_browser(java_script_enabled=False)
    page.goto(catalogue.link)
    open_labels(page)
    page.get_by_label("What it is").uncheck()
    page.get_by_role("button", name="Show it").last.click()
    expect(page.locator("#label-picture")).not_to_contain_text("Ink cone")
    page.get_by_label("Kind of label").select_option("place")
    page.get_by_role("button", name="Show it").last.click()
    expect(page.locator("#label-picture")).to_contain_text("Choose the place whose label is printed.")
