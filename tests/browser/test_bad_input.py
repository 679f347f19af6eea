"""What nobody designs for: names without end or from right to left, nothing at all, a bath that rings."""

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.bench_parts import start_one
from tests.browser.conftest import PHONE
from tests.browser.filled import RIGHT_TO_LEFT, UNBROKEN
from tests.browser.judge import open_page, violations_in_light_and_dark
from tests.browser.measure import FIRST_PICTURE, HEIGHT, MOST, SHIFT, sideways
from tests.browser.test_bench_watch import hours_on

LONG_NAMED = (
    *("/", "/finds/", "/finds/?view=table", "/finds/?view=shelf", f"/finds/?q={UNBROKEN}"),
    *("/finds/2024.1.1/", "/finds/2024.2.1/", "/finds/2024.1.1/edit/", "/finds/new/"),
    *("/towns/", f"/towns/{UNBROKEN[:80].lower()}/", f"/towns/{RIGHT_TO_LEFT.replace(' ', '-')}/"),
    *("/dives/", f"/dives/sites/{UNBROKEN[:80].lower()}/", "/dives/2024/1/", "/dives/2024/2/"),
    *("/shelves/", "/shelves/1/", "/giving/", "/people/", "/people/1/", "/labels/", "/workbench/"),
)
EMPTY = (
    "/",
    "/finds/",
    "/finds/?view=table",
    "/towns/",
    "/dives/",
    "/shelves/",
    "/giving/",
    "/people/",
    "/bin/",
)
ONE_LINE_PX = 64
# Where the name's box ends, and where the count of pieces that stands in the same line begins.
RIGHT_OF = "(e) => e.getBoundingClientRect().right"
LEFT_OF_COUNT = """(row) => {
    const walker = document.createTreeWalker(row, NodeFilter.SHOW_TEXT);
    while (walker.nextNode()) {
        const at = walker.currentNode.data.search(/1 piece/);
        if (at < 0) continue;
        const range = document.createRange();
        range.setStart(walker.currentNode, at);
        range.setEnd(walker.currentNode, at + 1);
        return range.getBoundingClientRect().left;
    }
}"""


@pytest.mark.begins_with("long_names")
def test_names_without_end_scroll_no_page_sideways(phone: Page) -> None:
    """Nor does one from right to left; at 320 px and in text of twice the size on 390 px."""
    found = {}
    for address in LONG_NAMED:
        open_page(phone, address)
        over = sideways(phone)
        if any(over):
            found[address] = over
    assert found == {}


@pytest.mark.begins_with("long_names")
def test_a_name_from_right_to_left_keeps_what_follows_it_behind_it(phone: Page) -> None:
    """On the list of dives the count of pieces stands to the right of the site's name, not within it."""
    open_page(phone, "/dives/")
    row = phone.locator("li", has=phone.get_by_role("link", name=RIGHT_TO_LEFT)).last
    ends = row.get_by_role("link", name=RIGHT_TO_LEFT).evaluate(RIGHT_OF)
    assert row.evaluate(LEFT_OF_COUNT) >= ends
    open_page(phone, "/")
    line = phone.locator(".to-do p", has_text="is promised to \u2068" + RIGHT_TO_LEFT)
    expect(line).to_have_count(1)


@pytest.mark.begins_with("pictured")
def test_forty_pictures_and_none_at_all_stand_on_a_phone(phone: Page) -> None:
    for address, pictures in (("/finds/2024.1.1/", True), ("/finds/2024.1.2/", False)):
        open_page(phone, address)
        assert sideways(phone) == (0, 0, 0)
        assert (phone.locator("main img").count() > 0) is pictures
        # without a picture the outline of its kind stands in its place, within the first screen
        assert 0 <= phone.evaluate(FIRST_PICTURE) < HEIGHT


def test_every_list_says_that_it_is_empty(phone: Page) -> None:
    for address in EMPTY:
        open_page(phone, address)
        assert sideways(phone) == (0, 0, 0), address
        assert re.search(r"\b(no|none|nobody|nothing|first)\b", phone.locator("main").inner_text(), re.I), (
            address
        )
        assert violations_in_light_and_dark(phone) == [], address


@pytest.mark.begins_with("bath")
def test_a_bath_that_rings_disturbs_no_form_and_moves_no_page(phone: Page) -> None:
    """What was typed and the focus stay, nothing moves, and the alarm is one line above the bar."""
    start_one(phone)
    phone.add_init_script(f"({SHIFT})()")
    open_page(phone, "/finds/new/")
    what = phone.get_by_label("What it is")
    what.press_sequentially("Half a na")
    before = what.bounding_box()
    phone.wait_for_function("() => document.activeElement.id === 'id_what'")
    phone.evaluate("window.shifted = 0")
    phone.route("**/workbench/due/", hours_on(5))
    phone.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    alarm = phone.locator(".bath-bar.late")
    expect(alarm).to_be_visible()
    what.press_sequentially("me")
    expect(what).to_have_value("Half a name")
    assert what.bounding_box() == before
    phone.set_viewport_size({"width": 320, "height": HEIGHT})
    box = alarm.bounding_box()
    assert box["height"] <= ONE_LINE_PX
    assert box["y"] + box["height"] == phone.get_by_role("navigation", name="Main").bounding_box()["y"]
    # what saves the form stands above it, not behind it
    save = phone.get_by_role("button", name="Save", exact=True).bounding_box()
    assert save["y"] + save["height"] <= box["y"]
    assert violations_in_light_and_dark(phone) == []
    phone.set_viewport_size(PHONE)
    # a page that it rings on from the first is moved as little
    open_page(phone, "/finds/")
    expect(alarm).to_be_visible()
    assert phone.evaluate("shifted") < MOST["shift"]
    phone.unroute_all(behavior="wait")
