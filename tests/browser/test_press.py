"""Pressing: a button says that it is busy, Enter in a field throws nothing away, no button is printed."""

import pytest
from playwright.sync_api import Page, Route, expect

from tests.browser.judge import open_page
from tests.browser.test_accessible import PAGES

WITH_FIELDS = (
    "/finds/new/",
    "/finds/typed/",
    "/finds/shelf/",
    "/finds/next/",
    "/makers/new/",
    "/labels/",
    "/dives/new/",
)
# What Enter presses in each form with a field to type in: its first button (HTML, implicit submission); where
# that is disabled, nothing. Its words, where it is neither the only one nor the act of the page.
PRESSED_BY_ENTER = """() => [...document.forms].flatMap((form) => {
    const fields = form.method === "post" ? [...form.elements] : [];
    const typed = "input:not([type=hidden], [type=checkbox], [type=radio], [type=file])";
    if (!fields.some((field) => field.matches(typed))) return [];
    const [first, ...rest] = fields.filter((field) => field.type === "submit");
    if (!first || first.disabled || (!rest.length && !first.matches(".amber, [data-ask]"))) return [];
    const meant = first.matches(".unseen, .btn:not(.q, .amber)") && !("ask" in first.dataset);
    return meant ? [] : [first.textContent.trim()];
})"""
# A word of the trade is a button within a sentence, and prints as the word that it is.
PRINTED = """() => [...document.querySelectorAll("button:not(.term), .btn, input[type=submit], nav")]
    .filter((each) => each.checkVisibility({ visibilityProperty: true }))
    .filter((each) => each.getBoundingClientRect().width > 1)
    .map((each) => each.outerHTML.slice(0, 90))"""


@pytest.mark.begins_with("little")
def test_enter_presses_what_is_meant_and_no_button_is_printed(phone: Page) -> None:
    """Two questions to each page, opened once."""
    pressed, printed = {}, {}
    for address in {*PAGES, *WITH_FIELDS}:
        phone.emulate_media(media="screen")
        open_page(phone, address)
        pressed[address] = phone.evaluate(PRESSED_BY_ENTER)
        phone.emulate_media(media="print")
        printed[address] = phone.evaluate(PRINTED)
    assert {page: found for page, found in pressed.items() if found} == {}
    assert {page: found for page, found in printed.items() if found} == {}


def test_a_pressed_button_is_busy_until_the_answer_comes(page: Page) -> None:
    page.goto("/settings/house/")
    answers: list[Route] = []

    def late(route: Route) -> None:
        if route.request.method == "POST":
            answers.append(route)
        else:
            route.continue_()

    page.route("**/settings/house/", late)
    button = page.get_by_role("button", name="Save")
    with page.expect_request(lambda request: request.method == "POST"):
        button.click(no_wait_after=True)
    expect(button).to_have_attribute("aria-busy", "true")
    answers[0].continue_()
    expect(page.get_by_role("button", name="Save")).not_to_have_attribute("aria-busy", "true")
