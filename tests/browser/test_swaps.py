"""Parts swapped in place: nothing under a finger is replaced before it is up, no word meanwhile lost."""

import re

import pytest
from playwright.sync_api import Page, Route, expect

from tests.browser.test_card import drop_card, groups
from tests.browser.test_plates import LAMPS, find_with, tap
from tests.photos.card_shots import card


class Held:
    """Requests that a test lets go when it likes."""

    def __init__(self, page: Page, glob: str, *, method: str) -> None:
        self.routes: list[Route] = []
        self.method = method
        self.page, self.gone = page, False
        page.route(glob, self._take)

    def _take(self, route: Route) -> None:
        if route.request.method == self.method and not self.gone:
            self.routes.append(route)
        else:
            route.continue_()

    def wait(self) -> None:
        for _ in range(400):
            if self.routes:
                return
            self.page.wait_for_timeout(25)
        raise AssertionError("nothing was asked")

    def let_go(self) -> None:
        """Answered, and whatever is asked from now on goes its way."""
        self.gone = True
        with self.page.expect_response(self.routes[0].request.url):
            for route in self.routes:
                route.continue_()
        self.page.wait_for_timeout(100)


def measured(page: Page):
    find_with(page, LAMPS[1])
    page.get_by_role("link", name="Measure in a picture").click()
    page.locator(".shots a").click()
    tap(page, (0.1, 0.9), (0.3, 0.9), (0.5, 0.065), (0.5, 0.935))
    page.fill("[name=scale_mm]", "14")
    button = page.get_by_role("button", name=re.compile("Save as"))
    button.wait_for()
    page.wait_for_load_state("networkidle")
    return button


def test_a_tap_lands_though_its_part_is_replaced_meanwhile(page):
    button = measured(page)
    late = Held(page, "**/measure/?*", method="GET")
    page.locator("[data-measure]").dispatch_event("taps")
    late.wait()
    button.hover()
    page.mouse.down()
    late.let_go()
    page.mouse.up()
    page.get_by_text(re.compile(r"is saved: \d+\.\d mm")).wait_for()


def test_what_waited_for_the_finger_comes_after_it(page):
    measured(page)
    late = Held(page, "**/measure/?*", method="GET")
    page.select_option("[name=what]", "base_mm")
    late.wait()
    page.locator("h1").hover()
    page.mouse.down()
    late.let_go()
    assert not page.get_by_role("button", name=re.compile("as the base diameter")).is_visible()
    page.mouse.up()
    page.get_by_role("button", name=re.compile("as the base diameter")).wait_for()


@pytest.fixture
def sorted_card(phone: Page) -> Page:
    phone.goto("/dives/2026/1/")
    drop_card(phone, card(("T-1", "T-2"), each=2))
    expect(groups(phone)).to_have_count(2)
    phone.wait_for_load_state("networkidle")
    return phone


@pytest.mark.begins_with("dive")
def test_letters_typed_while_a_tag_is_read_stay(sorted_card):
    page = sorted_card
    late = Held(page, "**/card/", method="POST")
    tag = groups(page).nth(0).get_by_label("Tag", exact=True)
    tag.fill("T-11")
    tag.press("Enter")
    late.wait()
    what = groups(page).nth(1).get_by_label("What it is, if you know")
    what.click()
    page.keyboard.type("Amber fl")
    groups(page).nth(0).get_by_role("checkbox").last.check()
    what.focus()
    late.let_go()
    expect(groups(page).nth(0).locator("h2")).to_have_text("T-11")
    page.keyboard.type("ask")
    expect(what).to_have_value("Amber flask")
    expect(groups(page).nth(0).get_by_role("checkbox").last).to_be_checked()
    expect(page.locator("[data-ticked-count]")).to_have_text("With the ticked picture")
    with page.expect_response(lambda said: "flask" in (said.request.post_data or "")):
        what.blur()
    page.reload()
    expect(what).to_have_value("Amber flask")


@pytest.mark.begins_with("dive")
def test_a_button_pressed_while_a_tag_is_read_is_not_swallowed(sorted_card):
    page = sorted_card
    late = Held(page, "**/card/", method="POST")
    tag = groups(page).nth(0).get_by_label("Tag", exact=True)
    tag.fill("T-11")
    tag.press("Enter")
    late.wait()
    page.get_by_role("button", name="Save them").click()
    late.let_go()
    page.wait_for_url(re.compile(r"/dives/2026/1/$"))
    expect(page.locator(".messages")).to_contain_text("filed under 2 new finds")


@pytest.mark.begins_with("dive")
def test_what_did_not_get_through_is_said_and_still_stands_there(sorted_card, watch):
    page = sorted_card
    page.context.set_offline(True)
    tag = groups(page).nth(0).get_by_label("Tag", exact=True)
    tag.fill("T-11")
    tag.press("Enter")
    expect(page.locator("#card [role=alert]")).to_contain_text("The connection was lost.")
    expect(tag).to_have_value("T-11")
    page.context.set_offline(False)
    tag.press("Enter")
    expect(groups(page).nth(0).locator("h2")).to_have_text("T-11")
    expect(page.locator("#card [role=alert]")).to_have_count(0)
    watch.complaints[:] = [
        said for said in watch.complaints if "ERR_INTERNET" not in said and "sendErr" not in said
    ]


def test_a_reading_that_is_typed_stays_when_the_plate_is_kept(page):
    find_with(page, LAMPS[1])
    page.get_by_role("link", name="Read a worn base").click()
    page.locator("[name=photo]").check()
    page.get_by_role("button", name="Go on: mark the rim").click()
    tap(page, (0.5, 0.065), (0.935, 0.5), (0.5, 0.935))
    page.get_by_role("button", name="Show the plates").click()
    page.fill("[name=read-letters]", "LG")
    page.get_by_label("Characters at the right").fill("7?")
    page.get_by_role("button", name="Save this plate").click()
    page.get_by_text("saved with the pictures, for you alone").wait_for()
    expect(page.locator("[name=read-letters]")).to_have_value("LG")
    expect(page.get_by_label("Characters at the right")).to_have_value("7?")
    page.locator("[name=read-letters]").press("Enter")
    page.wait_for_load_state()
    expect(page.locator("[name=read-letters]")).to_have_value("LG")
    page.get_by_role("button", name="Save this reading").click()
    page.get_by_text("The reading is saved: ").wait_for()
