"""Recording a find on a phone: pictures, a mark dated while it is typed, a closed tab, the next one."""

import re
from io import BytesIO

import pytest
from django.utils import timezone
from PIL import Image
from playwright.sync_api import expect

from tests.browser.conftest import PHONE


def photo(name: str, colour: tuple[int, int, int]) -> dict:
    """A picture as the file chooser hands it over."""
    kept = BytesIO()
    Image.new("RGB", (320, 240), colour).save(kept, "JPEG")
    return {"name": name, "mimeType": "image/jpeg", "buffer": kept.getvalue()}


# A maker with a one-digit code.
pytestmark = pytest.mark.begins_with("maker")
PICTURES = [photo("quay.jpg", (90, 120, 110)), photo("base.jpg", (160, 190, 180))]


KEPT_IN_THE_BROWSER = """async (words) => {
    const { allRecords } = await import("/static/common/unsent/store.js");
    return (await allRecords()).some((record) => JSON.stringify(record.words).includes(words));
}"""


def open_part(page, name: str) -> None:
    page.locator(f"#part-{name} > summary").click()


def read_the_base(page, digit: str) -> None:
    """BW in a circle with a digit at the right, nothing at the left."""
    open_part(page, "base")
    page.get_by_label("mark", exact=True).fill("BW")
    page.locator("[name=readings-0-frame][value=circle]").check()
    page.get_by_label("Characters at the right").fill(digit)


def years(page):
    return page.locator("#answer .made")


def save(page) -> None:
    page.locator(".record-side").get_by_role("button", name="Save", exact=True).click()


def at_its_page(page) -> str:
    page.wait_for_url(re.compile(r"/finds/\d{4}\.\d+\.\d+/$"))
    return page.url.rstrip("/").rsplit("/", 1)[1]


def kept_so_far(page, words: str) -> None:
    """Wait until this browser has written down what was typed last, a moment after it was."""
    for _ in range(200):
        if page.evaluate(KEPT_IN_THE_BROWSER, words):
            return
        page.wait_for_timeout(50)
    raise AssertionError(f"{words} is not kept in the browser")


def test_what_is_typed_as_the_page_is_left_is_kept(phone):
    phone.goto("/finds/new/")
    phone.get_by_label("What it is").fill("mistaken stone")
    phone.reload()
    phone.get_by_role("button", name="Take it up").click()
    expect(phone.get_by_label("What it is")).to_have_value("mistaken stone")


def nothing_is_offered(page) -> None:
    """An offer is there, or not, once the catalogue was asked how a kept draft stands."""
    page.wait_for_load_state("networkidle")
    expect(page.get_by_role("button", name="Take it up")).to_have_count(0)


def test_two_pictures_and_a_digit_give_three_years(phone):
    phone.goto("/finds/new/")
    phone.locator("input[type=file]").set_input_files(PICTURES)
    phone.locator(".picker-list li.there").nth(1).wait_for()
    phone.get_by_label("What it is").fill("amber beer bottle")
    read_the_base(phone, "7")
    years(phone).get_by_text("one of 1927, 1937, 1947").wait_for()
    expect(phone.locator("#answer")).to_contain_text(
        re.compile(r"Brackwater Bottle Company, \d\d % sure"), use_inner_text=True
    )
    # The strip with the answer and the button stays in sight without covering more than a third.
    strip = phone.locator(".record-side").bounding_box()
    assert strip["y"] + strip["height"] <= PHONE["height"] + 1
    assert strip["height"] < PHONE["height"] / 3
    assert phone.evaluate("document.documentElement.scrollWidth") == PHONE["width"]
    save(phone)
    number = at_its_page(phone)
    assert number.endswith(".0.1")
    text = phone.locator("main").inner_text()
    assert "one of 1927, 1937, 1947" in text
    assert phone.locator("main img[src*='/photos/']").count() >= 2


def test_half_filled_form_survives_a_closed_tab(phone):
    phone.goto("/finds/new/")
    phone.locator("input[type=file]").set_input_files(PICTURES[:1])
    phone.locator(".picker-list li.there").wait_for()
    phone.get_by_label("What it is").fill("amber beer bottle")
    read_the_base(phone, "7")
    phone.get_by_role("button", name="Add another reading").click()
    phone.locator("[name=readings-1-letters]").fill("XY")
    open_part(phone, "making")
    phone.get_by_text("The lip: shape").click()
    phone.locator("[name=made-lip-shape][value=crown-finish]").check()
    years(phone).get_by_text("one of 1927, 1937, 1947").wait_for()
    kept_so_far(phone, "crown-finish")
    again = phone.context.new_page()
    phone.close()

    again.goto("/finds/new/")
    expect(again.get_by_label("What it is")).to_have_value("")
    again.get_by_text(re.compile(r"You had begun this at \d\d:\d\d")).wait_for()
    again.get_by_role("button", name="Take it up").click()
    years(again).get_by_text("one of 1927, 1937, 1947").wait_for()
    expect(again.get_by_label("What it is")).to_have_value("amber beer bottle")
    expect(again.locator("[name=readings-1-letters]")).to_have_value("XY")
    expect(again.locator("[name=made-lip-shape][value=crown-finish]")).to_be_checked()
    again.locator(".picker-list li.there img").wait_for()
    save(again)
    at_its_page(again)
    expect(again.locator("main img[src*='/photos/']")).not_to_have_count(0)

    # Saved: nothing is offered again. An offer is there, or not, by the time the page is loaded.
    again.goto("/finds/new/")
    nothing_is_offered(again)


def test_discarded_draft_is_gone(phone):
    phone.goto("/finds/new/")
    phone.get_by_label("What it is").fill("mistaken stone")
    kept_so_far(phone, "mistaken stone")
    phone.reload()
    phone.get_by_role("button", name="Throw it away").click()
    phone.reload()
    nothing_is_offered(phone)


def test_error_keeps_all_and_brings_the_field_into_view(phone):
    phone.goto("/finds/new/")
    phone.locator("input[type=file]").set_input_files(PICTURES)
    phone.locator(".picker-list li.there").nth(1).wait_for()
    phone.get_by_label("What it is").fill("amber beer bottle")
    open_part(phone, "sizes")
    phone.get_by_label("Height", exact=True).fill("-5")
    open_part(phone, "sizes")
    save(phone)
    phone.get_by_text("Not saved yet.").wait_for()
    height = phone.get_by_label("Height", exact=True)
    expect(height).to_be_visible()
    assert height.evaluate("field => field === document.activeElement")
    expect(phone.locator(".picker-list li")).to_have_count(2)
    expect(phone.get_by_label("What it is")).to_have_value("amber beer bottle")
    height.fill("241")
    save(phone)
    at_its_page(phone)


def test_next_like_it_and_the_edit_after(phone):
    phone.goto("/finds/new/")
    phone.get_by_label("What it is").fill("amber beer bottle")
    read_the_base(phone, "7")
    years(phone).get_by_text("one of 1927, 1937, 1947").wait_for()
    phone.get_by_role("button", name="Save and another like this").click()
    phone.wait_for_url("**/finds/new/?like=*")
    expect(phone.get_by_label("What it is")).to_have_value("amber beer bottle")
    # Nothing read on the first: its base is to be looked at.
    expect(phone.locator("main")).to_contain_text("Nothing that was seen on that glass is")
    expect(years(phone)).to_have_text(re.compile(r"^\s*not yet dated"))
    expect(phone.locator("[name=readings-0-letters]")).to_have_value("")
    expect(phone.locator("[name=readings-0-right]")).to_have_value("")
    read_the_base(phone, "8")
    years(phone).get_by_text("one of 1928, 1938, 1948").wait_for()
    save(phone)
    number = at_its_page(phone)
    assert number.endswith(".0.2")

    phone.goto(f"/finds/{number}/edit/")
    open_part(phone, "known")
    phone.locator("[name=known-0-what]").fill("bottler moved in")
    phone.locator("[name=known-0-from_year]").fill("1945")
    years(phone).filter(has_text=re.compile(r"^\s*1948")).wait_for()
    save(phone)
    assert at_its_page(phone) == number
    expect(phone.locator("main")).to_contain_text("1948", use_inner_text=True)


def test_without_a_dive_it_is_asked_whether_it_is_wet(phone):
    phone.goto("/finds/new/")
    phone.get_by_label("What it is").fill("amber beer bottle")
    open_part(phone, "came-up")
    phone.get_by_label("Came up about").fill(str(timezone.localdate().year))
    save(phone)
    phone.get_by_text("Not saved yet.").wait_for()
    stage = phone.get_by_label("How far along")
    expect(stage).to_be_focused()
    stage.select_option("soaking")
    save(phone)
    at_its_page(phone)
    expect(phone.locator("main")).to_contain_text("soaking")


def test_nothing_there_and_characters_exclude_each_other(phone):
    phone.goto("/finds/new/")
    open_part(phone, "base")
    left = phone.get_by_label("Characters at the left")
    nothing = phone.locator("[name=readings-0-left_none]")
    nothing.check()
    left.fill("4")
    expect(nothing).not_to_be_checked()
    nothing.check()
    expect(left).to_have_value("")


def test_without_script_on_a_phone(owner_browser):
    plain = owner_browser(java_script_enabled=False, viewport=PHONE)
    plain.goto("/finds/new/")
    plain.get_by_label("What it is").fill("amber beer bottle")
    plain.locator("input[type=file]").set_input_files(PICTURES)
    read_the_base(plain, "7")
    plain.get_by_role("button", name="Date it", exact=True).last.click()
    expect(years(plain)).to_have_text(re.compile(r"^\s*one of 1927, 1937, 1947"))
    expect(plain.locator(".picker-list li")).to_have_count(2)
    plain.get_by_role("button", name="Add another reading").click()
    expect(plain.locator("[name=readings-1-letters]")).to_have_count(1)
    save(plain)
    at_its_page(plain)
    assert plain.locator("main img[src*='/photos/']").count() >= 2
