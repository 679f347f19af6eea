"""Shelves on a phone: checked by touch and by labels photographed at an angle; a shelf dragged into order."""

import io
import os
import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.judge import open_page, violations_in_light_and_dark
from tests.shelves.label_shots import code_shot, shelf_shot

pytestmark = pytest.mark.begins_with("shelf")
# Where to leave pictures of the walk, for whoever wants to look at it.
SHOTS = os.environ.get("SILTMARK_SHOTS")
NUMBERS = [f"2026.0.{n}" for n in range(1, 9)]


def shot(page: Page, name: str) -> None:
    if SHOTS:
        page.screenshot(path=str(Path(SHOTS) / f"shelf-{name}.png"), full_page=True, caret="initial")


def fits(page: Page) -> None:
    assert page.evaluate("document.documentElement.scrollWidth") <= page.viewport_size["width"]


def numbers_of(page: Page) -> list[str]:
    """The catalogue's numbers of that year, as the pieces on the page have them."""
    return re.findall(r"\d{4}\.0\.\d+", " ".join(page.locator("[data-piece] .under").all_inner_texts()))


def photographed(numbers: list[str]) -> dict:
    """A picture of their labels, seen from the left and blurred, as a phone sends it."""
    codes = [(number, f"http://192.168.1.20:8737/f/{number}") for number in numbers]
    out = io.BytesIO()
    shelf_shot(codes, across=3, blur=1.5).save(out, "JPEG", quality=85)
    return {"name": "shelf.jpg", "mimeType": "image/jpeg", "buffer": out.getvalue()}


def begin(page: Page) -> str:
    page.goto("/shelves/1/")
    page.get_by_role("link", name="Look if all is here").click()
    page.get_by_role("button", name="Start the check").click()
    page.get_by_text("6 of 6 left").wait_for()
    return page.locator(".check-row .num").first.inner_text().rsplit(".", 1)[0]


def button(within, words: str, number: str):
    """The button of those words that is about that piece alone."""
    return within.get_by_role("button", name=re.compile(rf"^{words}\s?: {re.escape(number)}$"))


def row(page: Page, number: str):
    return page.locator(".check-row").filter(has=page.get_by_text(number, exact=True))


def test_labels_photographed_at_an_angle_are_ticked_and_the_rest_by_thumb(phone):
    year = begin(phone)
    read = [f"{year}.{n}" for n in (1, 2, 3, 4)]
    shot(phone, "begun")
    picture = photographed([*read, f"{year}.7"])
    phone.get_by_label("Photograph the labels").set_input_files([picture])
    phone.get_by_role("button", name="Read the labels").click()
    phone.get_by_text(
        "5 labels of pieces read in 1 picture: 4 ticked as here, 1 not recorded here."
    ).wait_for()
    phone.get_by_text("1 of 1 read, 5 labels of pieces").wait_for()
    phone.get_by_text("2 of 6 left").wait_for()
    fits(phone)
    shot(phone, "read")
    phone.get_by_role("link", name="Show those left").click()
    here = button(row(phone, f"{year}.5"), "Here", f"{year}.5")
    box = here.bounding_box()
    assert box["height"] >= 44 and box["width"] >= 88
    # swapped in place: the page is not asked for again
    phone.evaluate("window.same = true")
    here.click()
    phone.get_by_text("1 of 6 left").wait_for()
    expect(row(phone, f"{year}.5").locator(".check-said")).to_have_text("here")
    assert phone.evaluate("window.same")
    elsewhere = row(phone, f"{year}.6")
    elsewhere.get_by_text("Elsewhere").first.click()
    elsewhere.get_by_label("Where it stands").fill("Cellar")
    elsewhere.get_by_role("button", name=re.compile("^Save")).click()
    expect(elsewhere.get_by_role("alert")).to_contain_text("No place is called so")
    elsewhere.get_by_label("Where it stands").fill("PLACE-2")
    elsewhere.get_by_role("button", name=re.compile("^Save")).click()
    expect(elsewhere.locator(".check-said")).to_have_text("elsewhere: Box")
    phone.get_by_text("All 6 ticked").wait_for()
    phone.get_by_role("button", name="End the check").click()
    phone.get_by_text("5 of 6 here").wait_for()
    fits(phone)
    shot(phone, "result")
    button(phone, "Move here", f"{year}.7").click()
    phone.get_by_text(f"{year}.7 is now in Hall case.").wait_for()
    phone.get_by_role("button", name="Undo").click()
    expect(button(phone, "Move here", f"{year}.7")).to_be_visible()


def as_file(name: str, data: bytes) -> dict:
    return {"name": name, "mimeType": "image/png", "buffer": data}


def test_a_pile_of_pictures_is_read_one_by_one_and_what_was_lost_is_sent_again(phone, watch):
    year = begin(phone)
    pile = [as_file(f"{n}.png", code_shot(f"{year}.{n}")) for n in (1, 2, 7)]
    pile.insert(1, as_file("words.png", b"no picture"))
    lost = []

    def line(route):
        # the third picture's answer never comes, the first time
        lost.append(route)
        if len(lost) == 3:
            route.abort()
        else:
            route.continue_()

    phone.route("**/check/pictures/", line)
    phone.evaluate("window.same = true")
    phone.get_by_label("Photograph the labels").set_input_files(pile)
    phone.get_by_role("button", name="Read the labels").click()
    said = phone.locator("[data-reading-said]")
    expect(said).to_have_text("2 of 4 read, 2 labels of pieces", timeout=60_000)
    expect(phone.get_by_text("words.png:")).to_be_visible()
    expect(phone.locator("#check-progress")).to_have_text("5 of 6 left")
    expect(phone.locator("#check-strays")).to_contain_text(f"{year}.7")
    fits(phone)
    shot(phone, "pile")
    watch.complaints.remove("Failed to load resource: net::ERR_FAILED")  # that line
    phone.get_by_role("button", name="Send again").click()
    expect(phone.locator("#check-progress")).to_have_text("4 of 6 left", timeout=60_000)
    expect(phone.get_by_role("button", name="Send again")).to_have_count(0)
    assert phone.evaluate("window.same"), "the page was never left"
    # a row that was put in answers a thumb as the others do
    button(row(phone, f"{year}.1"), "Not here", f"{year}.1").click()
    expect(row(phone, f"{year}.1").locator(".check-said")).to_have_text("not here")


def test_a_pile_that_is_stopped_sends_no_more(phone):
    year = begin(phone)
    pile = [as_file(f"{n}.png", code_shot(f"{year}.{n}")) for n in (1, 2, 3, 4)]
    sent = []

    def line(route):
        sent.append(route)
        if len(sent) == 2:
            phone.locator("[data-reading-stop]").dispatch_event("click")
        route.continue_()

    phone.route("**/check/pictures/", line)
    phone.get_by_label("Photograph the labels").set_input_files(pile)
    phone.get_by_role("button", name="Read the labels").click()
    expect(phone.locator("[data-reading-said]")).to_contain_text("Stopped:", timeout=60_000)
    assert len(sent) == 2
    expect(phone.locator("[data-reading-stop]")).to_be_hidden()


def test_a_check_that_was_left_goes_on_in_another_window(phone, owner_browser):
    year = begin(phone)
    button(row(phone, f"{year}.1"), "Not here", f"{year}.1").click()
    phone.get_by_text("5 of 6 left").wait_for()
    other = owner_browser()
    other.goto("/shelves/1/")
    other.get_by_role("link", name="Go on with the check").click()
    expect(row(other, f"{year}.1").locator(".check-said")).to_have_text("not here")
    other.get_by_role("button", name="End the check").click()
    other.get_by_text("0 of 6 here").wait_for()
    button(row(phone, f"{year}.2"), "Here", f"{year}.2").click()
    expect(row(phone, f"{year}.2").get_by_role("alert")).to_contain_text("ended meanwhile")


def test_it_works_without_script(owner_browser):
    page = owner_browser(java_script_enabled=False)
    year = begin(page)
    button(row(page, f"{year}.2"), "Here", f"{year}.2").click()
    expect(row(page, f"{year}.2").locator(".check-said")).to_have_text("here")
    page.goto("/shelves/1/?arrange_pieces=1")
    before = numbers_of(page)
    page.get_by_role("button", name=f"Move {before[0]} right").click()
    page.get_by_text("stands 2 of 6 now").wait_for()
    assert numbers_of(page) == [before[1], before[0], *before[2:]]


def test_pieces_are_dragged_into_order_and_undone_and_moved_by_keys(page):
    page.goto("/shelves/1/?arrange_pieces=1")
    before = numbers_of(page)
    last = page.locator("[data-piece]").nth(5).locator("[data-grip]")
    first = page.locator("[data-piece]").nth(0).bounding_box()
    last.hover()
    page.mouse.down()
    page.mouse.move(first["x"] + 40, first["y"] + 40, steps=4)
    page.mouse.move(first["x"] + 6, first["y"] + 40, steps=4)
    page.mouse.up()
    page.get_by_text("stands 1 of 6 now").wait_for()
    assert numbers_of(page) == [before[5], *before[:5]]
    shot(page, "order")
    page.get_by_role("button", name="Undo").click()
    page.wait_for_function(
        "number => document.querySelector('[data-piece] .under')?.textContent.includes(number)", arg=before[0]
    )
    assert numbers_of(page) == before
    # by keys: the button that was pressed is at hand again
    right = f"Move {before[0]} right"
    page.get_by_role("button", name=right).focus()
    for place in (2, 3):
        page.keyboard.press("Enter")
        page.get_by_text(f"stands {place} of 6 now").wait_for()
        expect(page.get_by_role("button", name=right)).to_be_focused()
    assert numbers_of(page)[:3] == [before[1], before[2], before[0]]


def test_a_finger_drags_by_the_handle(owner_browser):
    phone = owner_browser(viewport={"width": 390, "height": 844}, has_touch=True)
    phone.goto("/shelves/1/?arrange_pieces=1")
    before = numbers_of(phone)
    fits(phone)
    phone.locator("[data-piece]").nth(0).scroll_into_view_if_needed()
    at = phone.locator("[data-piece]").nth(0).locator("[data-grip]").bounding_box()
    to = phone.locator("[data-piece]").nth(1).bounding_box()
    touches = phone.context.new_cdp_session(phone)
    ways = [
        (at["x"] + at["width"] / 2, at["y"] + at["height"] / 2),
        (to["x"] + to["width"] * 0.4, to["y"] + 30),
        (to["x"] + to["width"] * 0.8, to["y"] + 30),
    ]
    for kind, spot in zip(("touchStart", "touchMove", "touchMove"), ways, strict=True):
        points = [{"x": spot[0], "y": spot[1]}]
        touches.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
    touches.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    phone.get_by_text("stands 2 of 6 now").wait_for()
    assert numbers_of(phone)[:2] == [before[1], before[0]]
    shot(phone, "order-phone")


def test_a_piece_without_a_place_is_placed_by_one_touch(phone):
    phone.goto("/")
    phone.get_by_role("link", name=re.compile(r"^Move\s?: 1 finished piece")).click()
    shot(phone, "unplaced")
    fits(phone)
    phone.get_by_label("Where they go").select_option(label="Box")
    phone.get_by_role("button", name=re.compile("Move there")).click()
    phone.get_by_text("is now in Box.").wait_for()
    expect(phone.locator("#unplaced")).to_have_count(0)


def test_an_outside_judge_finds_them_accessible(phone):
    year = begin(phone)
    button(row(phone, f"{year}.1"), "Here", f"{year}.1").click()
    phone.get_by_text("5 of 6 left").wait_for()
    found = [("check", *each) for each in violations_in_light_and_dark(phone)]
    phone.get_by_role("button", name="End the check").click()
    phone.get_by_text("1 of 6 here").wait_for()
    found += [("result", *each) for each in violations_in_light_and_dark(phone)]
    for address in (
        "/shelves/",
        "/shelves/?arrange=1",
        "/shelves/1/",
        "/shelves/1/?arrange_pieces=1",
        "/shelves/2/check/",
    ):
        open_page(phone, address)
        found += [(address, *each) for each in violations_in_light_and_dark(phone)]
    assert found == []
