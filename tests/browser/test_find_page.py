"""A find's page in the hand: the first screen, its length, its anchors, and on paper one page."""

import re
from contextlib import closing

import pypdfium2
import pytest
from playwright.sync_api import Page, expect

from catalogue.photos.qr_codes import codes_in
from tests.browser.conftest import PHONE
from tests.browser.judge import violations_in_light_and_dark

pytestmark = pytest.mark.begins_with("pictured")
BUSY, LONG, RIGHT_TO_LEFT, SEALED = (f"/finds/2024.1.{n}/" for n in (1, 2, 3, 4))
OVER = "() => document.scrollingElement.scrollWidth - document.scrollingElement.clientWidth"


def foot(page: Page, selector: str) -> float:
    box = page.locator(selector).first.bounding_box()
    return box["y"] + box["height"]


def test_picture_name_years_acts_and_anchors_stand_on_the_first_screen(phone: Page) -> None:
    phone.goto(BUSY)
    free = phone.locator(".bar").bounding_box()["y"]
    for part in (".hero", "h1", ".phrase", ".find-top .acts", ".to"):
        assert foot(phone, part) <= free, part
    assert phone.locator(".find-top .acts .btn").count() == 3


@pytest.mark.parametrize("address", [BUSY, LONG, RIGHT_TO_LEFT, SEALED])
def test_shut_it_is_four_screens_at_most_and_never_wider(phone: Page, address: str) -> None:
    phone.goto(address)
    phone.locator(".prose").evaluate_all("parts => parts.forEach((part) => part.remove())")
    assert phone.evaluate("document.documentElement.scrollHeight") <= 4 * PHONE["height"]
    for width, text in ((320, "100%"), (390, "200%")):
        phone.set_viewport_size({"width": width, "height": PHONE["height"]})
        phone.evaluate("(size) => { document.documentElement.style.fontSize = size; }", text)
        assert phone.evaluate(OVER) == 0, (width, text)


def test_a_hazard_comes_right_after_the_name_with_a_way_to_help(phone: Page) -> None:
    phone.goto(SEALED)
    name, hazard = phone.locator("h1").bounding_box(), phone.locator(".hazard.danger").bounding_box()
    assert 0 <= hazard["y"] - name["y"] - name["height"] < 30
    assert foot(phone, ".find-top .acts") <= phone.locator(".bar").bounding_box()["y"]
    # what is refused to such a piece is not offered
    expect(phone.locator(".find-top > .acts .btn")).to_have_text(["Edit", "Add a picture", "Print label"])
    phone.get_by_role("link", name="Show what to do").click()
    phone.wait_for_url(re.compile("/first-aid/$"))


def test_an_act_opens_its_form_and_an_anchor_marks_where_one_reads(phone: Page) -> None:
    phone.goto(BUSY)
    phone.get_by_role("link", name="Add a picture", exact=True).click()
    expect(phone.locator("#picture-files")).to_be_visible()
    expect(phone.locator(".to [aria-current]")).to_have_text("Record")
    phone.get_by_role("link", name="Care", exact=True).click()
    expect(phone.locator(".to [aria-current]")).to_have_text("Care")
    expect(phone.get_by_role("heading", name="Care", exact=True)).to_be_in_viewport()


def test_a_name_from_right_to_left_begins_at_the_right(phone: Page) -> None:
    phone.goto(RIGHT_TO_LEFT)
    name = phone.locator("h1")
    assert name.evaluate("h => getComputedStyle(h).direction") == "rtl"


def test_all_parts_open_please_the_judge(phone: Page) -> None:
    phone.goto(BUSY)
    phone.evaluate("document.querySelectorAll('main details').forEach((part) => { part.open = true; })")
    assert violations_in_light_and_dark(phone) == []


@pytest.mark.parametrize("address", [BUSY, LONG, SEALED])
def test_on_paper_it_is_one_page_with_its_code_and_no_button(page: Page, address: str) -> None:
    page.goto(address)
    with closing(pypdfium2.PdfDocument(page.pdf(format="A4"))) as sheet:
        assert len(sheet) == 1
        words = " ".join(sheet[0].get_textpage().get_text_range().split())
        code = codes_in(sheet[0].render(scale=3).to_pil()).codes
    number = address.split("/")[2]
    # A default start is no address for a phone: the code holds the number alone.
    assert words.count(number) >= 2
    # Words of a button that nothing else on the page says.
    for button in ("soaking", "drying", "Add a picture", "Look next", "Edit", "Search", "Move", "Label"):
        assert button not in words, button
    if address == BUSY:
        for part in ("Ginger beer bottle", "one of 1927, 1937, 1947", "241 mm high", "Marrowby"):
            assert part.lower() in words.lower(), part
    assert code == (number,)


def test_a_tap_is_answered_where_it_stands_and_undone_from_there(phone: Page) -> None:
    phone.goto(BUSY)
    care = phone.locator("#care")
    care.get_by_text("Kept, only you see it").click()
    button = care.get_by_role("button", name="drying")
    button.scroll_into_view_if_needed()
    phone.evaluate("window.stays = true")
    y = button.bounding_box()["y"]
    button.click()
    said = phone.locator("#messages")
    expect(said).to_contain_text("is now: drying")
    expect(said).to_be_in_viewport()
    expect(button).to_have_attribute("aria-pressed", "true")
    expect(button).to_be_focused()
    expect(care.get_by_role("button", name="lost")).to_be_visible()
    expect(phone.locator(".find-line")).to_contain_text("drying")
    assert abs(button.bounding_box()["y"] - y) < 2
    said.get_by_role("button", name="Undo").click()
    expect(said).to_contain_text("Undone")
    expect(care.get_by_role("button", name="done")).to_have_attribute("aria-pressed", "true")
    assert abs(button.bounding_box()["y"] - y) < 2
    assert phone.evaluate("window.stays")


def test_a_tap_that_asks_for_a_reason_leads_to_the_question(phone: Page) -> None:
    phone.goto(SEALED)
    care = phone.locator("#care")
    care.get_by_text("Kept, only you see it").click()
    care.get_by_role("button", name="Share it with visitors").click()
    phone.get_by_label("Why it is done all the same").fill("The fire service emptied it")
    phone.get_by_role("button", name="Go on with this reason").click()
    phone.wait_for_url(re.compile(f"{SEALED}"))
    expect(phone.locator("#messages")).to_contain_text("Visitors may see it")
