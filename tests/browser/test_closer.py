"""A picture brought near by touch, mouse and keyboard."""

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import PHONE
from tests.photos.drawn import encoded, picture

LARGE = {"name": "base.jpg", "mimeType": "image/jpeg", "buffer": encoded(picture(2400, 1800, tint=5))}
WET = {"name": "wet.jpg", "mimeType": "image/jpeg", "buffer": encoded(picture(tint=1, height=500))}


class Finger:
    """Touches as a screen reports them, one or two fingers."""

    def __init__(self, page: Page) -> None:
        self.session = page.context.new_cdp_session(page)

    def _send(self, kind: str, *places: tuple[float, float]) -> None:
        points = [{"x": x, "y": y, "id": n} for n, (x, y) in enumerate(places)]
        self.session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    def go(self, *ways: tuple[tuple[float, float], tuple[float, float]], steps: int = 5) -> None:
        """Down at each way's start, together to its end, and up."""
        self._send("touchStart", *(start for start, _ in ways))
        for n in range(1, steps + 1):
            between = [(a[0] + (b[0] - a[0]) * n / steps, a[1] + (b[1] - a[1]) * n / steps) for a, b in ways]
            self._send("touchMove", *between)
        self._send("touchEnd")


@pytest.fixture
def phone(owner_browser) -> Page:
    opened = owner_browser(viewport=PHONE, has_touch=True)
    opened.goto("/finds/new/")
    opened.locator("#picture-files").set_input_files([LARGE, WET])
    expect(opened.locator("[data-list] > li[data-token]")).to_have_count(2)
    for name, role in (("base.jpg", "after"), ("wet.jpg", "as-found")):
        row = opened.locator("[data-list] > li").filter(has_text=name)
        row.get_by_label(f"What {name} shows").select_option(role)
    opened.locator("#id_what").fill("Aqua soda bottle with quite a long name that has to break somewhere")
    opened.get_by_role("button", name="Save", exact=True).first.click()
    opened.wait_for_url(re.compile(r"/finds/\d{4}\."))
    return opened


def times(page: Page) -> float:
    said = page.locator(".closer-told").inner_text()
    return 1.0 if said == "whole" else float(said.removesuffix(" times"))


def left(page: Page) -> float:
    return page.locator(".closer-stage img").bounding_box()["x"]


def test_a_picture_opens_large_and_comes_near(phone):
    phone.locator(".photos > li a").first.click()
    phone.wait_for_url(re.compile(r"/photos/\d+/$"))
    assert phone.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    address = phone.url
    phone.locator(".look-picture").click()
    dialog = phone.get_by_role("dialog")
    expect(dialog).to_be_visible()
    # The finest copy takes the place of the first one.
    shown = dialog.get_by_role("img")
    expect(shown).to_have_attribute("src", re.compile(r"close\.jpg$"))
    assert shown.evaluate("i => i.decode().then(() => i.naturalWidth)") == 2400
    box = shown.bounding_box()
    assert box["width"] == pytest.approx(PHONE["width"], abs=1)

    by_keyboard(phone)
    by_mouse(phone)
    by_touch(phone)
    lift = dialog.get_by_role("button", name="Show more contrast")
    lift.click()
    expect(lift).to_have_attribute("aria-pressed", "true")
    # Arrow keys moved the picture, and did not turn the page below it.
    expect(phone).to_have_url(address)
    phone.keyboard.press("Escape")
    expect(dialog).to_be_hidden()
    assert phone.evaluate("document.activeElement.matches('[data-closer]')")
    phone.keyboard.press("Enter")
    expect(dialog).to_be_visible()
    dialog.get_by_role("button", name="Close").click()
    expect(dialog).to_be_hidden()
    without_script(phone)


def by_keyboard(page: Page) -> None:
    for _ in range(4):
        page.keyboard.press("+")
    assert times(page) == pytest.approx(1.4**4, abs=0.06)
    before = left(page)
    page.keyboard.press("ArrowRight")
    assert left(page) < before
    page.keyboard.press("-")
    assert times(page) == pytest.approx(1.4**3, abs=0.06)
    page.keyboard.press("0")
    assert times(page) == 1


def by_mouse(page: Page) -> None:
    page.mouse.move(100, 400)
    page.mouse.wheel(0, -400)
    page.wait_for_function("() => document.querySelector('.closer-told').textContent === '2.7 times'")
    before = left(page)
    page.mouse.down()
    page.mouse.move(60, 400, steps=4)
    page.mouse.up()
    assert left(page) == pytest.approx(before - 40, abs=1)
    page.mouse.dblclick(195, 400)
    expect(page.locator(".closer-told")).to_have_text("whole")


def by_touch(page: Page) -> None:
    fingers = Finger(page)
    # Two fingers from 80 to 240 pixels apart: three times as near.
    fingers.go(((155, 380), (75, 380)), ((235, 380), (315, 380)))
    page.wait_for_function("() => document.querySelector('.closer-told').textContent === '3.0 times'")
    before = left(page)
    fingers.go(((200, 380), (260, 380)))
    page.wait_for_function(
        "x => Math.abs(document.querySelector('.closer-stage img').getBoundingClientRect().x - x) < 3",
        arg=before + 60,
    )
    page.get_by_role("button", name="Show whole").click()
    expect(page.locator(".closer-told")).to_have_text("whole")


def without_script(page: Page) -> None:
    """The same link leads to the picture itself, and the close look is not in the way."""
    state, address = page.context.storage_state(), page.url
    context = page.context.browser.new_context(java_script_enabled=False, storage_state=state, viewport=PHONE)
    try:
        plain = context.new_page()
        plain.goto(address)
        expect(plain.locator(".closer")).to_be_hidden()
        plain.get_by_role("link", name="Look closer", exact=True).click()
        plain.wait_for_url(re.compile(r"close\.jpg$"))
    finally:
        context.close()
