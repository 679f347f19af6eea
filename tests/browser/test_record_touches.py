"""What recording costs the hand: touches besides typing, and seconds by the keystroke-level model."""

import re

import pytest
from playwright.sync_api import Locator, expect

from tests.browser.conftest import PHONE
from tests.browser.test_record import PICTURES, at_its_page

# A maker with a one-digit code.
pytestmark = pytest.mark.begins_with("maker")

MOST_TOUCHES = 8
MOST_S = 20
# Card, Moran and Newell 1980 (Communications of the ACM 23:396–410): pointing 1.1 s, a key 0.28 s (average
# non-secretary typist).
POINT_S, KEY_S = 1.1, 0.28


class Hand:
    """Touches what it is shown and counts that; what it types goes to the box that was touched."""

    def __init__(self) -> None:
        self.touches = 0
        self.keys = 0

    def touch(self, target: Locator) -> None:
        # Nothing covers it, and the thumb finds it on the screen as it stands or by one scroll.
        target.tap()
        self.touches += 1

    def type(self, target: Locator, words: str) -> None:
        self.touch(target)
        expect(target).to_be_focused()
        target.page.keyboard.type(words)
        self.keys += len(words)

    def take_picture(self, target: Locator, picture: dict) -> None:
        with target.page.expect_file_chooser() as chosen:
            self.touch(target)
        chosen.value.set_files([picture])

    @property
    def seconds(self) -> float:
        return self.touches * POINT_S + self.keys * KEY_S


def test_two_pictures_and_a_mark_in_eight_touches(owner_browser):
    phone = owner_browser(viewport=PHONE, has_touch=True, is_mobile=True)
    hand = Hand()
    phone.goto("/finds/")
    hand.touch(phone.locator(".bar").get_by_role("link", name="Record"))
    phone.wait_for_url("**/finds/new/")
    camera = phone.get_by_role("button", name="Take a picture")
    for picture in PICTURES:
        hand.take_picture(camera, picture)
    expect(phone.locator(".picker-list li.there")).to_have_count(2)
    hand.type(phone.get_by_label("What it is"), "amber beer")
    hand.touch(phone.locator("#part-base > summary"))
    hand.type(phone.get_by_label("mark", exact=True), "BW")
    hand.type(phone.get_by_label("Characters at the right"), "7")
    expect(phone.locator("#answer .made")).to_have_text(re.compile("1927, 1937, 1947"))
    hand.touch(phone.locator(".record-side").get_by_role("button", name="Save", exact=True))
    at_its_page(phone)
    assert phone.locator("main img[src*='/photos/']").count() >= 2
    assert hand.touches <= MOST_TOUCHES, hand.touches
    assert hand.seconds < MOST_S, hand.seconds


def test_the_camera_opens_at_once_and_the_files_stay_a_choice(owner_browser):
    phone = owner_browser(viewport=PHONE, has_touch=True, is_mobile=True)
    phone.goto("/finds/new/")
    asked = phone.evaluate(
        """() => new Promise((done) => {
          const field = document.querySelector("#picture-files");
          field.addEventListener("click", (event) => {
            event.preventDefault();
            done(field.getAttribute("capture"));
          });
          document.querySelector("[data-camera]").click();
        })"""
    )
    assert asked == "environment"
    expect(phone.locator("#picture-files")).not_to_have_attribute("capture", "environment")


def test_the_shut_page_is_two_screens_and_save_is_within_reach(owner_browser):
    phone = owner_browser(viewport=PHONE, has_touch=True, is_mobile=True)
    phone.goto("/finds/new/")
    assert phone.evaluate("document.documentElement.scrollHeight") <= 2 * PHONE["height"]
    save = phone.locator(".record-side").get_by_role("button", name="Save", exact=True)
    for _ in range(3):
        box, bar = save.bounding_box(), phone.locator(".bar").bounding_box()
        assert PHONE["height"] / 2 < box["y"] < box["y"] + box["height"] <= bar["y"]
        phone.mouse.wheel(0, 400)
        phone.wait_for_timeout(100)
