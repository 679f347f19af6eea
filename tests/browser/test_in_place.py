"""A find's page answers where it stands: questions, small forms, their mistakes; one keeps one's place."""

import pytest
from playwright.sync_api import Page, expect

from tests.browser.judge import violations_in_light_and_dark

pytestmark = pytest.mark.begins_with("little")
BOTTLE, JAR = "/finds/2024.1.1/", "/finds/2026.0.1/"


def stays(page: Page) -> None:
    """From here on the page must not be loaded anew."""
    page.evaluate("window.stays = true")


def stayed(page: Page) -> bool:
    return page.evaluate("window.stays === true")


def test_a_look_is_answered_in_place_and_the_next_is_asked_there(phone: Page) -> None:
    phone.goto(JAR)
    stays(phone)
    first = phone.locator("#look-next h3")
    asked = first.inner_text()
    answer = phone.locator("#look-next .replies button").first
    term = answer.locator("b").inner_text()
    answer.scroll_into_view_if_needed()
    answer.click()
    said = phone.locator("#messages")
    expect(said).to_contain_text(f"Recorded: {term}.")
    expect(said).to_be_in_viewport()
    expect(first).not_to_have_text(asked)
    expect(first).to_be_in_viewport()
    expect(phone.locator("#look-next")).to_be_focused()
    expect(phone.locator(".phrase")).not_to_have_text("not yet dated")
    expect(phone.locator("#find-top .ruler")).to_have_count(1)
    assert violations_in_light_and_dark(phone) == []
    said.get_by_role("button", name="Undo").click()
    expect(said).to_contain_text("Undone")
    expect(phone.locator(".phrase")).to_have_text("not yet dated")
    assert stayed(phone)


def test_what_one_can_not_tell_is_passed_on_in_place(phone: Page) -> None:
    phone.goto(BOTTLE)
    stays(phone)
    phone.get_by_role("link", name="Look next").click()
    first = phone.locator("#look-next h3")
    expect(first).to_be_in_viewport()
    asked = first.inner_text()
    phone.locator("#look-next").get_by_role("link", name="can’t tell").first.click()
    expect(first).not_to_have_text(asked)
    expect(phone.locator("#look-next")).to_be_focused()
    assert stayed(phone)
    assert violations_in_light_and_dark(phone) == []


def test_without_script_a_look_leads_back_to_its_place(owner_browser) -> None:
    page = owner_browser(java_script_enabled=False)
    page.goto(JAR)
    answer = page.locator("#look-next .replies button").first
    term = answer.locator("b").inner_text()
    answer.click()
    page.wait_for_url(f"**{JAR}?look=#why")
    expect(page.locator("#messages")).to_contain_text(f"Recorded: {term}.")
    expect(page.locator("#look-next h3")).to_have_count(1)


def test_a_small_form_is_saved_where_it_stands_and_undone_from_there(phone: Page) -> None:
    refused = []
    phone.on("response", lambda answer: answer.status >= 400 and refused.append((answer.url, answer.status)))
    phone.goto(BOTTLE)
    stays(phone)
    where = phone.locator("#where")
    fold = where.get_by_text("Move it", exact=True)
    fold.click()
    where.get_by_label("Place").select_option("")
    where.get_by_label("Why").fill("lent to a school")
    phone.locator("#opinion-reason").evaluate("field => { field.value = 'half written'; }")
    where.get_by_role("button", name="Move", exact=True).click()
    said = phone.locator("#messages")
    expect(said).to_contain_text("2024.1.1 has no place now.")
    expect(said).to_be_in_viewport()
    expect(where.locator("#place")).to_contain_text("No place recorded")
    expect(fold).to_be_focused()
    expect(fold).to_be_in_viewport()
    expect(where.get_by_label("Why")).to_be_hidden()
    expect(phone.locator("#opinion-reason")).to_have_value("half written")
    said.get_by_role("button", name="Undo").click()
    expect(said).to_contain_text("Undone")
    expect(where.locator("#place")).to_contain_text("It stands in")
    assert stayed(phone)
    assert refused == [], "it was sent to another address than its form's"


def test_a_mistake_is_told_by_its_field_and_nothing_typed_is_lost(phone: Page) -> None:
    phone.goto(BOTTLE)
    stays(phone)
    opinions = phone.locator("#opinions")
    opinions.get_by_text("Give an opinion").click()
    opinions.get_by_label("What for").select_option("maker")
    opinions.get_by_label("What is thought").fill("Nobody and Sons")
    opinions.get_by_label("Reason").fill("it is the same blue")
    opinions.get_by_role("button", name="Save").click()
    expect(opinions.get_by_text("No maker of that name is in the catalogue.")).to_be_in_viewport()
    expect(opinions.get_by_label("What is thought")).to_be_focused()
    expect(opinions.get_by_label("Reason")).to_have_value("it is the same blue")
    opinions.get_by_label("What is thought").fill("Brackwater Bottle Company")
    opinions.get_by_role("button", name="Save").click()
    expect(phone.locator("#messages")).to_contain_text("The opinion is saved")
    expect(opinions.locator(".opinion")).to_contain_text("Brackwater Bottle Company")
    assert stayed(phone)
