"""Before laid on after by hand on a phone: marks tapped in both pictures, then the slider, on both pages."""

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.conftest import PHONE
from tests.browser.judge import violations_in_light_and_dark

pytestmark = pytest.mark.begins_with("pictured")
BOTTLE = "/finds/2024.1.1/"
MARKS = ((0.5, 0.1), (0.3, 0.6), (0.7, 0.9))
OVER = "() => document.scrollingElement.scrollWidth - document.scrollingElement.clientWidth"


def tap(page: Page, pad: Locator, across: float, down: float) -> None:
    pad.scroll_into_view_if_needed()
    box = pad.bounding_box()
    at = (box["x"] + across * box["width"], box["y"] + down * box["height"])
    page.touchscreen.tap(*at)


@pytest.fixture
def hand(owner_browser) -> Page:
    return owner_browser(viewport=PHONE, has_touch=True)


def test_two_pictures_are_laid_by_touch_and_the_slider_is_seen(hand: Page) -> None:
    hand.goto(f"{BOTTLE}lay/")
    pads = hand.locator("[data-pad] img")
    expect(pads).to_have_count(2)
    assert violations_in_light_and_dark(hand) == []
    for side in range(2):
        for across, down in MARKS:
            tap(hand, pads.nth(side), across, down)
    hand.get_by_role("button", name="Save", exact=True).click()
    expect(hand.get_by_text("The marks agree within")).to_be_visible()
    slider = hand.locator("input[type=range]").first
    expect(slider).to_be_visible()
    assert violations_in_light_and_dark(hand) == []
    for width in (320, 390):
        hand.set_viewport_size({"width": width, "height": PHONE["height"]})
        assert hand.evaluate(OVER) == 0, width
    hand.goto(BOTTLE)
    slider = hand.locator(".hero input[type=range]")
    expect(slider).to_be_in_viewport()
    slider.focus()
    before = slider.input_value()
    hand.keyboard.press("ArrowRight")
    assert slider.input_value() != before
    assert violations_in_light_and_dark(hand) == []
