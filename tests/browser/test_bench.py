"""The bench on a phone, as somebody new to it: six crusted bottles, through one acid bath, to done."""

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.bench_parts import bring_a_tub, press, record, start_one
from tests.browser.conftest import PHONE


@pytest.fixture
def phone(owner_browser) -> Page:
    return owner_browser(viewport=PHONE, color_scheme="light")


def fits(page: Page) -> None:
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]


@pytest.mark.begins_with("six")
def test_six_crusted_bottles_to_done(phone: Page) -> None:
    phone.goto("/workbench/")
    for _ in range(6):
        press(phone, re.compile("^Near new"))
    expect(phone.get_by_text("Not decided yet")).to_have_count(0)
    fits(phone)
    bring_a_tub(phone)

    # without the strength on the label there is no plan, and what was ticked stays ticked
    boxes = phone.locator(".pick-row input")
    expect(boxes).to_have_count(6)
    for box in boxes.all():
        box.check()
    press(phone, "Work it out")
    expect(phone.locator("#id_strength_label_error")).to_contain_text("no plan")
    assert all(box.is_checked() for box in boxes.all())
    phone.locator("#id_strength_label").fill("31.45 %")
    press(phone, "Work it out")

    expect(phone.get_by_role("heading", level=1)).to_have_text("Bath, planned")
    expect(phone.locator(".pour-one").first).to_contain_text("ring")
    expect(phone.locator(".stop")).to_have_count(6)
    fits(phone)
    for left in range(6, 0, -1):
        waiting = phone.locator("details", has_text="Look at it before acid").first
        if waiting.get_attribute("open") is None:
            waiting.locator("> summary").click()
        if left == 1:
            # one is cracked: it asks for a reason, and is left out
            waiting.get_by_label("Crack or flash").check()
            waiting.get_by_role("button", name="Save what I ticked").click()
        else:
            with phone.expect_navigation():
                waiting.get_by_role("button", name="I looked: none of these").click()
    expect(phone.locator(".go")).to_have_count(5)
    for growth in phone.get_by_label("Growth", exact=True).all()[:5]:
        growth.fill("40")
    press(phone, "Start the clock: all in")
    expect(phone.locator("#go [role=alert]")).to_contain_text("A written reason of a few words is needed")
    expect(phone.get_by_label("Growth", exact=True).first).to_have_value("40 g")
    phone.locator(".stopped").get_by_role("button", name="Take it out").click()
    press(phone, "Start the clock: all in")

    expect(phone.get_by_role("heading", level=1)).to_have_text("Bath, running")
    expect(phone.locator("[data-left]")).to_have_text(re.compile(r"^(15|14) min$"))
    fits(phone)
    press(phone, "30 min")
    expect(phone.locator("[data-left]")).to_have_text(re.compile(r"^(30|29) min$"))
    for outcome in ("none", "none", "some", "none", "much"):
        phone.locator(".chosen-one").first.get_by_role("button", name=re.compile(f"^{outcome}")).click()

    expect(phone.get_by_role("heading", level=1)).to_have_text("Bath, nothing in it")
    phone.get_by_label("With what").select_option("baking soda")
    phone.get_by_label("pH at the end").fill("7")
    press(phone, "End the bath")
    phone.get_by_role("link", name="Soak them all").click()
    phone.locator("#id_name").fill("Blue crate")
    phone.locator("#id_tap").fill("200")
    press(phone, "Start")
    for value in ("640", "212", "211"):
        phone.locator("#id_value").fill(value)
        phone.get_by_label("Water changed").check()
        press(phone, "Save")
        expect(phone.locator("#readings")).to_contain_text(value)
    # Within minutes nothing can have levelled off, whatever the meter says.
    expect(phone.locator(".soak-level")).to_contain_text("3 more readings before anything can be said.")
    expect(phone.locator("#readings").get_by_text("Doesn't count")).to_have_count(3)
    fits(phone)
    press(phone, "Take all out, to drying")
    phone.goto("/workbench/")
    for _ in range(5):
        press(phone, re.compile("^Move to done"))
    expect(phone.locator("#drying .bench-row")).to_have_count(0)
    phone.goto("/finds/?stage=done")
    expect(phone.locator("main")).to_contain_text("5 finds")


@pytest.mark.begins_with("bath")
def test_two_tabs_take_out_the_same_piece_once(phone: Page) -> None:
    start_one(phone)
    second = phone.context.new_page()
    second.goto(phone.url)
    phone.get_by_role("button", name=re.compile("^none")).click()
    expect(phone.get_by_text("is out: no growth left")).to_be_visible()
    second.get_by_role("button", name=re.compile("^much")).click()
    expect(second.get_by_text("nothing was written twice")).to_be_visible()
    expect(second.locator("main")).to_contain_text("no growth left")


@pytest.mark.begins_with("bath")
def test_without_script_the_clock_still_says_when(owner_browser, phone: Page) -> None:
    start_one(phone)
    plain = owner_browser(java_script_enabled=False, viewport=PHONE)
    plain.goto(phone.url)
    said = plain.locator("[data-say]").inner_text()
    assert re.fullmatch(r"Look in at \d\d?:\d\d( [AP]M)?", said)
    assert re.match(r"1[345]\s+minutes", plain.locator("[data-left]").inner_text())
    plain.get_by_role("button", name="60 min").click()
    expect(plain.get_by_text("Look again in 60 minutes")).to_be_visible()


def test_a_tool_of_no_use_lets_the_list_move_on(owner_browser, phone: Page) -> None:
    record(phone, "Crusted soda bottle")
    number = re.search(r"/finds/([\d.]+)/", phone.url)[1]
    phone.goto(f"/workbench/{number}/clean/")
    press(phone, "Start with the usual tools")
    for page in (phone, owner_browser(java_script_enabled=False)):
        page.goto(f"/workbench/{number}/clean/")
        outside = page.get_by_role("region", name="For the outside")
        inside = page.get_by_role("region", name="For the inside")
        expect(outside).not_to_contain_text("bottle brush")
        begun = inside.locator(".kit-one.first .kit-name").inner_text()
        first = outside.locator(".kit-one.first")
        tool = first.locator(".kit-name").inner_text().splitlines()[0].removesuffix(" begin here")
        first.get_by_role("button", name="No use").click()
        expect(outside.locator(".kit-one.no-use").filter(has_text=tool)).to_contain_text(
            "No use on this piece"
        )
        expect(outside.locator(".kit-one.first")).not_to_contain_text(tool)
        expect(inside.locator(".kit-one.first .kit-name")).to_have_text(begun)

    phone.goto(f"/workbench/{number}/treatment/")
    phone.locator("#treatment-method").select_option("soak")
    phone.locator("#treatment-ended").fill(phone.locator("#treatment-begun").input_value())
    press(phone, "Save")
    phone.goto(f"/workbench/{number}/")
    expect(phone.locator(".was-done")).to_contain_text(re.compile(r"Fresh-water soak.*Done ", re.DOTALL))
