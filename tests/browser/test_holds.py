"""A hold cleared and set again, and a piece that an authority has, in a real browser."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser.test_browse import add_find


@pytest.mark.parametrize("scripted", [True, False])
def test_a_hold_is_cleared_with_a_reason_and_set_again(owner_browser, scripted: bool) -> None:
    page = owner_browser(java_script_enabled=scripted)
    page.goto("/dives/sites/new/")
    page.fill("[name=name]", "Lantern Cove")
    page.select_option("select[name=wreck]", "yes")
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.get_by_text("On hold.")).to_be_visible()

    page.get_by_text("Clear the hold", exact=True).click()
    page.get_by_label("Who said so").fill("ok")
    page.get_by_label("Cleared by").fill("Ruth Pell")
    page.get_by_role("button", name="Clear it").click()
    # nothing is lost of what was typed, and the form stands open with its complaint
    expect(page.locator("#id_reason_error")).to_contain_text("a few words")
    expect(page.get_by_label("Cleared by")).to_have_value("Ruth Pell")
    page.get_by_label("Who said so").fill("The receiver looked at the list")
    page.get_by_role("button", name="Clear it").click()
    expect(page.get_by_text("by Ruth Pell: The receiver looked at the list")).to_be_visible()
    expect(page.get_by_text("On hold.")).to_have_count(0)

    page.get_by_role("button", name="Hold it again").click()
    expect(page.get_by_text("On hold.")).to_be_visible()
    expect(page.get_by_text("Cleared before")).to_contain_text("Ruth Pell: The receiver looked at the list")
    expect(page.get_by_role("button", name="Hold it again")).to_have_count(0)


def test_a_returned_piece_is_not_free_by_one_tap(page) -> None:
    add_find(page, "Squat soda")
    now = page.locator("#now")
    now.get_by_text("Kept, only you see it").click()
    now.get_by_role("button", name="returned to an authority").click()
    # When and why is asked first, with what was pressed chosen.
    expect(page.get_by_role("radio", name="returned to an authority")).to_be_checked()
    page.get_by_label("Why, or how").fill("The receiver of wreck took it")
    page.get_by_role("button", name="Save").click()
    expect(now.get_by_text("Returned to an authority, only you see it")).to_be_visible()
    now.get_by_text("Returned to an authority, only you see it").click()
    expect(now.get_by_text("An authority has it.")).to_be_visible()
    expect(now.get_by_role("button", name="free to take")).to_be_disabled()

    now.get_by_role("button", name="kept", exact=True).click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Before you keep it again")
    page.get_by_label("Why it is done all the same").fill("The receiver of wreck released it")
    page.get_by_role("button", name="Go on with this reason").click()
    page.wait_for_url(re.compile(r"/finds/"))
    now.get_by_text("Kept, only you see it").click()
    expect(now.get_by_role("button", name="free to take")).to_be_enabled()
    page.get_by_text(re.compile("^All . in full$")).click()
    expect(page.get_by_text("The receiver of wreck released it")).to_be_visible()
