"""What an outside judge of accessibility says of the main pages: phone width, light and dark, with data."""

import pytest
from playwright.sync_api import Page

from tests.browser.judge import open_page, violations, violations_in_light_and_dark

pytestmark = pytest.mark.begins_with("little")
PAGES = (
    *("/", "/finds/", "/finds/new/", "/finds/2024.1.1/", "/finds/2024.1.2/", "/finds/2024.1.1/edit/"),
    *("/towns/", "/towns/marrowby/", "/dives/", "/dives/sites/heron-ledge/", "/dives/2024/1/"),
    *("/makers/", "/makers/new/", "/makers/brackwater-bottle-company/", "/makers/file/"),
    *("/makers/brackwater-bottle-company/edit/", "/makers/read/?text=BW+7+%2F+MARROWBY&symbol=wave"),
    *("/date/", "/date/?letters=BW&symbol=wave&right=7&f=crown-finish", "/date/?one=1"),
    "/date/?f=blowpipe-pontil&f=machine-seam-over-finish&f=ghost&why=wreck&before=1931",
    *("/workbench/", "/shelves/", "/giving/", "/labels/", "/reference/", "/safekeeping/", "/settings/"),
)


def test_the_main_pages_at_phone_width(phone: Page) -> None:
    found = []
    for address in PAGES:
        open_page(phone, address)
        found += [(address, *each) for each in violations_in_light_and_dark(phone)]
    assert found == []


def test_what_a_visitor_sees(visitor_page: Page) -> None:
    open_page(visitor_page, "/giving/")
    assert violations(visitor_page) == []


def test_the_judge_does_judge(page: Page) -> None:
    """A box without a name and a pale word must be found, or the tests above tell nothing."""
    page.goto("/makers/")
    page.evaluate(
        """() => {
            const pale = document.createElement("p");
            pale.append("hardly to be read");
            Object.assign(pale.style, { color: "#888", backgroundColor: "#777" });
            document.querySelector("main").prepend(document.createElement("input"), pale);
        }"""
    )
    found = [rule for rule, _ in violations_in_light_and_dark(page)]
    assert found == ["color-contrast", "label", "dark: color-contrast"]
