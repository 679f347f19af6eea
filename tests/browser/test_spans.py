"""Years drawn on their ruler, sizes between two handles, and columns of the table, in a real browser."""

import re
import time
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import PHONE
from tests.browser.judge import open_page, violations_in_light_and_dark

ALL = ["Plain jar", "Figured flask", "Ginger beer bottle"]


# A bottle of 1927, 1937 or 1947, 190 mm high; a jar of 120 mm without years; a flask that disagrees.
pytestmark = pytest.mark.begins_with("little")


def shown(page: Page, *names: str) -> None:
    expect(page.locator(".find-row .name")).to_have_text(list(names))


def open_years(page: Page) -> None:
    """The chip of a wide page; on a phone, the sheet and then its part."""
    if page.locator("#find-panel > summary").is_visible():
        page.locator("#find-panel > summary").click()
    page.locator("#years > summary").click()


def at(page: Page, year: float) -> tuple[float, float]:
    """Where that year is on the screen."""
    box = page.locator("[data-plot]").bounding_box()
    first = int(page.locator("#years-low").get_attribute("min"))
    last = int(page.locator("#years-high").get_attribute("max")) + 1
    # 2.5 % at either end stand for what lies beyond the axis
    return box["x"] + box["width"] * (0.025 + 0.95 * (year - first) / (last - first)), box["y"] + 30


def typed(page: Page, key: str) -> tuple[str, str]:
    return page.locator(f"#{key}-from").input_value(), page.locator(f"#{key}-to").input_value()


def test_years_are_drawn_moved_by_keys_and_typed(page: Page) -> None:
    page.goto("/finds/")
    shown(page, *ALL)
    open_years(page)
    page.mouse.move(*at(page, 1935.5))
    page.mouse.down()
    page.mouse.move(*at(page, 1938), steps=4)
    page.mouse.move(*at(page, 1940.5), steps=4)
    assert typed(page, "years") == ("1935", "1940")
    page.mouse.up()
    page.wait_for_url(re.compile(r"years_from=1935&years_to=1940"))
    shown(page, "Figured flask", "Ginger beer bottle")
    assert "q=" not in page.url, "what is empty stays out of the address"

    # the lower handle by keys, past 1937
    low = page.locator("#years-low")
    low.focus()
    for _ in range(3):
        low.press("ArrowRight")
    page.wait_for_url(re.compile("years_from=1938"))
    shown(page, "Figured flask")
    expect(page.locator("#years-low")).to_be_focused()

    page.locator("#years-from").fill("1947")
    page.locator("#years-to").fill("")
    page.locator("#years-to").press("Tab")
    page.wait_for_url(re.compile(r"years_from=1947$"))
    shown(page, "Figured flask", "Ginger beer bottle")
    expect(page.locator("#years-low")).to_have_value("1947")
    page.get_by_role("link", name="all years").click()
    shown(page, *ALL)


def test_heights_between_two_handles(page: Page) -> None:
    page.goto("/finds/")
    page.locator("#group-height > summary").click()
    low = page.locator("#height-low")
    assert (low.get_attribute("min"), page.locator("#height-high").get_attribute("max")) == ("120", "190")
    low.focus()
    low.press("ArrowRight")
    page.wait_for_url(re.compile("height_from=121"))
    shown(page, "Ginger beer bottle")
    assert typed(page, "height") == ("121 mm", "")
    expect(page.locator("#height-low")).to_be_focused()
    # a handle never passes the other
    page.locator("#height-high").press("Home")
    page.wait_for_url(re.compile("height_from=121%20mm&height_to=121%20mm"))
    # the part that was swapped in has its handles once its script has seen it
    expect(page.locator("#height-low")).to_be_visible()
    box = page.locator("#height-low").bounding_box()
    assert box["height"] >= 44


def test_a_tap_takes_the_decade_and_all_works_without_script(
    page: Page, owner_browser: Callable[..., Page]
) -> None:
    phone = owner_browser(viewport=PHONE, has_touch=True, is_mobile=True)
    phone.goto("/finds/")
    open_years(phone)
    phone.touchscreen.tap(*at(phone, 1934))
    phone.wait_for_url(re.compile(r"years_from=1930&years_to=1939"))
    shown(phone, "Figured flask", "Ginger beer bottle")
    assert phone.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]

    plain = owner_browser(java_script_enabled=False, viewport=PHONE)
    plain.goto("/finds/")
    open_years(plain)
    expect(plain.locator(".span-handles").first).to_be_hidden()
    plain.locator("#years-from").fill("1940")
    plain.locator("#years-to").fill("1930")
    plain.get_by_role("button", name="Show the finds").click()
    shown(plain, "Figured flask", "Ginger beer bottle")
    expect(plain.get_by_text("1940 is more than 1930")).to_be_visible()


def test_on_a_phone_the_filters_are_a_sheet_that_acts_stays_and_shuts(phone: Page) -> None:
    phone.goto("/finds/")
    sheet, button = phone.locator(".filter-sheet"), phone.locator("#find-panel > summary")
    expect(sheet).to_be_hidden()
    button.click()
    phone.locator("#group-picture > summary").click()
    phone.locator("#group-picture").get_by_label(re.compile("no picture yet")).check()
    phone.wait_for_url(re.compile("picture=no"))
    expect(sheet).to_be_visible()
    expect(button).to_contain_text("1")
    phone.get_by_role("button", name="Show the finds").click()
    expect(sheet).to_be_hidden()
    expect(button).to_be_focused()


def test_columns_are_chosen_moved_and_sorted_by(page: Page) -> None:
    page.goto("/finds/?view=table&q=")
    page.locator("#columns > summary").click()
    for label in ("Town", "Maker", "Year ruler", "Standing", "Place"):
        page.locator("#columns").get_by_label(label, exact=True).uncheck()
    page.locator("#columns").get_by_label("Height, mm", exact=True).check()
    page.get_by_role("button", name="Show these columns").click()
    heads = page.locator(".finds-table thead th")
    expect(heads).to_have_text(["Choose", re.compile("Number"), "What it is", "Made", "Stage", "Height, mm"])

    page.get_by_role("link", name="Height, mm", exact=True).click()
    names = page.locator(".finds-table .name-cell a")
    expect(names).to_have_text(["Plain jar", "Ginger beer bottle", "Figured flask"])
    page.get_by_role("link", name=re.compile("Height, mm")).first.click()
    expect(names).to_have_text(["Ginger beer bottle", "Plain jar", "Figured flask"])

    page.locator("#columns > summary").click()
    page.get_by_role("link", name="Height, mm: one to the left").click()
    expect(heads.nth(4)).to_contain_text("Height, mm")
    page.goto("/finds/?view=table")
    expect(heads.nth(4)).to_contain_text("Height, mm")


def test_the_judge_finds_nothing_where_all_is_unfolded(phone: Page) -> None:
    for address in (
        "/finds/?years_from=1930&height_from=100",
        "/finds/?view=table&col=height&col=made&sort=height",
        *("/towns/", "/towns/marrowby/", "/makers/brackwater-bottle-company/", "/"),
    ):
        open_page(phone, address)
        # of filters one is open at a time, and they lie over the rest
        phone.evaluate(
            """() => { for (const part of document.querySelectorAll("main details")) {
                part.removeAttribute("name");
                part.open = true;
            } }"""
        )
        assert violations_in_light_and_dark(phone) == [], address


@pytest.mark.begins_with("nothing")
def test_a_newcomer_has_a_first_find_in_two_minutes(new_browser: Callable[..., Page], catalogue) -> None:
    """From the empty first page: two clicks, one line typed; the machine's time, not a person's."""
    page = new_browser(viewport=PHONE)
    page.goto(catalogue.link)
    began = time.monotonic()
    expect(page.get_by_role("heading", level=1)).to_have_text(re.compile("first find"))
    page.get_by_role("main").get_by_role("link", name="Record a find").click()
    page.get_by_label("What it is").fill("Aqua bottle, no lettering")
    page.get_by_role("button", name="Save", exact=True).first.click()
    page.wait_for_url(re.compile(r"/finds/\d{4}\.0\.1/$"))
    assert time.monotonic() - began < 120
    page.goto("/")
    expect(page.get_by_role("heading", level=1)).to_have_text("1 piece, none dated yet")
