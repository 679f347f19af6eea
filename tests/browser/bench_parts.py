"""What the tests of the bench do again and again."""

import re

from playwright.sync_api import Page, expect


def press(page: Page, name: str | re.Pattern[str], nth: int = 0) -> None:
    page.get_by_role("button", name=name).nth(nth).click()
    sent(page)


def sent(page: Page) -> None:
    """Wait until no form is on its way any more: it is saved from its page, which is left after that."""
    page.wait_for_function("() => !document.querySelector('form[inert]')")


def record(page: Page, what: str) -> None:
    page.goto("/finds/new/")
    page.locator("#id_what").fill(what)
    page.locator("details:has(#id_stage) > summary").click()
    page.locator("#id_stage").select_option("wet")
    page.get_by_role("button", name="Save", exact=True).click()
    sent(page)
    page.wait_for_url(re.compile(r"/finds/\d{4}\."))


def bring_a_tub(page: Page) -> None:
    page.get_by_role("link", name="Plan a bath").click()
    page.get_by_role("link", name="Add a vessel").click()
    given = {
        "name": "White tub",
        "top_mm": 300,
        "bottom_mm": 260,
        "height_mm": 330,
        "rings": "5000, 10000, 15000",
    }
    for name, value in given.items():
        page.locator(f"#id_{name}").fill(str(value))
    press(page, "Save")
    page.wait_for_url("**/baths/new/")


def start_one(phone: Page) -> None:
    """Start the clock of the bath that `filled.bath` has planned."""
    phone.goto("/workbench/baths/1/")
    press(phone, "Start the clock: all in")
    expect(phone.get_by_role("heading", level=1)).to_have_text("Bath, running")
