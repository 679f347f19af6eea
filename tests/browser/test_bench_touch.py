"""The bench in wet gloves: what is tapped is large, a phone shows one column, and axe has no complaint."""

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.bench_parts import press, record, start_one
from tests.browser.conftest import PHONE
from tests.browser.judge import violations

SMALLEST_PX = 56
# The whole label of a box is tapped, not the box alone.
SMALL = """(least) => [...document.querySelectorAll(
    `main button:not([aria-hidden=true]), main a.btn, main summary,
     main select, main textarea, main input:not([type=hidden])`)]
  .filter((e) => e.checkVisibility())
  .map((e) => [(/checkbox|radio/.test(e.type) && e.closest("label")) || e, e])
  .map(([area, e]) => [area.getBoundingClientRect().height, e.textContent.trim() || e.name || e.id])
  .filter(([height]) => height < least - 0.5)"""


pytestmark = pytest.mark.begins_with("bath")


@pytest.fixture
def phone(owner_browser) -> Page:
    return owner_browser(viewport=PHONE, color_scheme="dark")


def test_every_page_of_the_bench_suits_a_wet_glove(phone: Page) -> None:
    start_one(phone)
    running = phone.url
    record(phone, "A second crusted bottle")
    number = phone.url.rstrip("/").rsplit("/", 1)[-1]
    phone.goto("/workbench/kit/")
    press(phone, "Add the usual tools")
    phone.goto(f"/workbench/soaks/new/?find={number}")
    phone.locator("#id_name").fill("Blue crate")
    press(phone, "Start")
    soak = phone.url
    for page in (
        "/workbench/",
        running,
        soak,
        f"{soak}rule/",
        "/workbench/baths/new/",
        "/workbench/soaks/new/",
        f"/workbench/{number}/",
        f"/workbench/{number}/clean/",
        f"/workbench/{number}/growth-kept/",
        f"/workbench/{number}/condition/parts/",
        f"/workbench/{number}/condition/compare/",
        f"/workbench/{number}/record/",
        "/workbench/which/",
        "/workbench/first-aid/",
        "/workbench/vessels/new/",
        "/workbench/kit/new/",
    ):
        phone.goto(page)
        phone.evaluate("document.querySelectorAll('main details').forEach((e) => { e.open = true; })")
        assert phone.evaluate(SMALL, SMALLEST_PX) == [], page
        assert phone.evaluate("document.documentElement.scrollWidth") <= PHONE["width"], page
        assert phone.evaluate("parseFloat(getComputedStyle(document.querySelector('main')).fontSize)") >= 17
        assert violations(phone) == [], page
        # first aid and the poison line are one tap away from everywhere
        expect(phone.get_by_role("link", name=re.compile("Open first aid, poison line"))).to_be_visible()


def test_the_form_of_a_vessel_asks_only_for_what_its_shape_has(phone: Page) -> None:
    phone.goto("/workbench/vessels/new/")
    length = phone.get_by_label("Inside length at the top")
    expect(length).to_be_hidden()
    phone.locator("#id_name").fill("Storage box")
    phone.get_by_label("Rectangular", exact=False).check()
    sizes = {"top_length": 560, "top": 360, "bottom_length": 500, "bottom": 310, "height": 280}
    for name, value in sizes.items():
        phone.locator(f"#id_{name}_mm").fill(str(value))
    press(phone, "Save")
    expect(phone.get_by_text("Storage box is saved: it holds 49.8 l.")).to_be_visible()
    phone.get_by_role("link", name="Storage box").click()
    expect(phone.get_by_label("Inside length at the top")).to_be_visible()
