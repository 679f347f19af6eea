"""A shelf taken in by its picture in a real browser: tapped, dragged, by keyboard, without script."""

import re
import time

import pytest
from playwright.sync_api import APIResponse, Page, Request, Route, expect

from tests.browser.conftest import PHONE
from tests.pages.finds.bulk.shelf_picture import SIZE, jpeg, places

FIVE_MINUTES_S = 300
BOXES = ".shelf-boxes .box:not(.kept)"


def shelf(count: int) -> dict[str, object]:
    return {"name": "shelf.jpg", "mimeType": "image/jpeg", "buffer": jpeg(count)}


def begin(page: Page, count: int, **said: str) -> str:
    """Begin a shelf from the list of shelves; its address."""
    page.goto("/shelves/")
    page.get_by_role("link", name="Record a shelf from one picture").click()
    page.locator("#shelf-picture").set_input_files(shelf(count))
    page.get_by_label("Or a new place").fill("Attic shelf")
    for name, value in said.items():
        page.locator(f"#id_{name}").fill(value)
    page.get_by_role("button", name="Show the bottles in it").click()
    page.wait_for_url(re.compile(r"/finds/shelf/\d+/$"))
    return page.url


def tap(page: Page, bottle: tuple[int, int, int, int]) -> None:
    """Press in the middle of a bottle, given in the picture's own pixels."""
    seen = page.locator(".shelf-boxes").bounding_box()
    x, y = (bottle[0] + bottle[2]) / 2, (bottle[1] + bottle[3]) / 2
    page.mouse.click(seen["x"] + x * seen["width"] / SIZE[0], seen["y"] + y * seen["height"] / SIZE[1])


def take_all_out(page: Page) -> None:
    page.locator(BOXES).first.focus()
    while page.locator(BOXES).count():
        page.keyboard.press("Delete")


def sheet_made(page: Page) -> APIResponse:
    """Press the button and take the answer before the browser's own viewer opens it."""
    answers = []

    def is_form(request: Request) -> bool:
        # The page may still be asking for its styles, or for the picture of what will be printed.
        return request.method == "POST" and request.is_navigation_request()

    def take(route: Route) -> None:
        if not is_form(route.request):
            route.fallback()
            return
        answers.append(route.fetch())
        route.fulfill(status=204)

    page.route(re.compile("/labels/"), take)
    with page.expect_response(lambda response: is_form(response.request)):
        page.get_by_role("button", name="Print the sheet").click()
    return answers[0]


def kept(page: Page) -> None:
    expect(page.locator("[data-kept]")).to_have_text("Saved.")


def test_twenty_bottles_numbered_and_labelled_within_five_minutes(page):
    begun = time.monotonic()
    begin(page, 20, recovered="the 1990s")
    expect(page.locator(BOXES).first).to_be_visible()
    # Marked by hand from nothing, the slowest way: one tap for each.
    take_all_out(page)
    for bottle in places(20):
        tap(page, bottle)
    expect(page.locator(BOXES)).to_have_count(20)
    page.get_by_role("button", name="Number these 20").click()
    expect(page.locator(".message")).to_contain_text("20 bottles numbered")
    expect(page.locator(".shelf-boxes .kept")).to_have_count(20)
    page.get_by_role("link", name="Print their labels").click()
    sheet = sheet_made(page)
    assert sheet.status == 200 and sheet.body().startswith(b"%PDF")
    assert time.monotonic() - begun < FIVE_MINUTES_S


def test_proposed_boxes_are_corrected_by_hand_and_a_closed_tab_loses_nothing(page, owner_browser):
    address = begin(page, 5)
    expect(page.locator(BOXES)).to_have_count(5)
    first = page.locator(BOXES).first
    before = first.locator("rect").bounding_box()
    page.mouse.move(before["x"] + before["width"] / 2, before["y"] + before["height"] / 3)
    page.mouse.down()
    page.mouse.move(before["x"] + before["width"] / 2 + 25, before["y"] + before["height"] / 3, steps=4)
    page.mouse.up()
    expect(page.locator(BOXES)).to_have_count(5)
    after = page.locator(BOXES).first.locator("rect").bounding_box()
    assert after["x"] == pytest.approx(before["x"] + 25, abs=2)
    assert after["width"] == pytest.approx(before["width"], abs=2)
    kept(page)

    page.keyboard.press("Shift+ArrowRight")
    kept(page)
    wider = page.locator(BOXES).first.locator("rect").bounding_box()
    assert wider["width"] > after["width"] + 3
    assert wider["x"] == pytest.approx(after["x"], abs=1)

    page.locator(BOXES).nth(4).focus()
    page.keyboard.press("Delete")
    # Gone before the moment is over in which it would be kept.
    page.goto("/finds/")
    other = owner_browser()
    # What a page sends as it is left may arrive after the next page of another window.
    until = time.monotonic() + 30
    other.goto(address)
    while other.locator(BOXES).count() != 4 and time.monotonic() < until:
        other.wait_for_timeout(250)
        other.reload()
    expect(other.locator(BOXES)).to_have_count(4)
    again = other.locator(BOXES).first.locator("rect").bounding_box()
    assert again["width"] == pytest.approx(wider["width"], abs=2)


def test_a_picked_box_is_dragged_by_a_finger_and_the_page_stays(owner_browser):
    phone = owner_browser(viewport=PHONE, has_touch=True)
    begin(phone, 3)
    expect(phone.locator(BOXES)).to_have_count(3)
    first = phone.locator(BOXES).first
    first.tap()
    expect(first).to_have_class(re.compile("picked"))
    first.scroll_into_view_if_needed()
    before, scrolled = first.locator("rect").bounding_box(), phone.evaluate("scrollY")
    x, y = before["x"] + before["width"] / 2, before["y"] + before["height"] / 2
    session = phone.context.new_cdp_session(phone)
    for kind, down in (("touchStart", 0), ("touchMove", 10), ("touchMove", 24), ("touchEnd", None)):
        points = [] if down is None else [{"x": x, "y": y - down}]
        session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
    kept(phone)
    after = phone.locator(BOXES).first.locator("rect").bounding_box()
    assert after["y"] == pytest.approx(before["y"] - 24, abs=3)
    assert phone.evaluate("scrollY") == scrolled


def test_a_box_tapped_by_mistake_goes_by_touch_and_comes_back(owner_browser):
    phone = owner_browser(viewport=PHONE, has_touch=True)
    begin(phone, 3)
    expect(phone.locator(BOXES)).to_have_count(3)
    phone.locator(BOXES).nth(1).tap()
    expect(phone.locator(BOXES).nth(1)).to_have_class(re.compile("picked"))
    cross = phone.locator("[data-out] .grip")
    assert min(cross.bounding_box()["width"], cross.bounding_box()["height"]) >= 43
    phone.locator("[data-out] .disc").tap()
    expect(phone.locator(BOXES)).to_have_count(2)
    kept(phone)
    phone.reload()
    expect(phone.locator(BOXES)).to_have_count(2)
    phone.locator(BOXES).nth(1).tap()
    phone.locator("[data-out] .disc").tap()
    phone.get_by_role("button", name="Undo").tap()
    expect(phone.locator(BOXES)).to_have_count(2)
    expect(phone.get_by_role("button", name="Undo")).to_be_hidden()
    kept(phone)
    phone.reload()
    expect(phone.locator(BOXES)).to_have_count(2)


def test_what_lies_beyond_the_screen_is_told_at_its_edge(owner_browser):
    phone = owner_browser(viewport=PHONE, has_touch=True)
    begin(phone, 8)
    expect(phone.locator(BOXES)).to_have_count(8)
    after = phone.get_by_role("button", name=re.compile("more boxes to the right"))
    expect(after).to_be_visible()
    expect(phone.get_by_role("button", name=re.compile("to the left"))).to_be_hidden()
    beyond = int(after.locator("[data-beyond-count]").inner_text())
    assert 3 <= beyond <= 6
    while after.is_visible():
        after.tap()
        phone.wait_for_timeout(400)
    expect(phone.get_by_role("button", name=re.compile("more boxes to the left"))).to_be_visible()


def test_two_boxes_on_one_bottle_are_asked_about(page):
    begin(page, 3)
    expect(page.locator(BOXES)).to_have_count(3)
    page.locator(BOXES).first.focus()
    page.get_by_role("button", name="Add a box").click()
    expect(page.locator(BOXES)).to_have_count(4)
    for _ in range(10):
        page.keyboard.press("ArrowLeft")
    page.get_by_role("button", name="Number these 4").click()
    expect(page.get_by_role("alert").first).to_contain_text("seem to hold the same bottle")
    expect(page.locator(BOXES)).to_have_count(4)


def test_on_a_phone_a_thumb_can_hit_each_and_the_walk_remembers(owner_browser):
    phone = owner_browser(viewport=PHONE, has_touch=True)
    address = begin(phone, 4)
    expect(phone.locator(BOXES)).to_have_count(4)
    assert phone.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    narrowest = min(phone.locator(BOXES).nth(n).locator("rect").bounding_box()["width"] for n in range(4))
    assert narrowest > 24
    phone.get_by_role("button", name="Number these 4").tap()
    phone.get_by_role("link", name="Edit one by one").tap()
    expect(phone.get_by_role("heading", level=1)).to_contain_text(".1")
    phone.locator("#id_what").fill("Green bottle, tall")
    phone.get_by_role("button", name="Save and open the next").tap()
    phone.get_by_role("button", name="Skip").tap()
    expect(phone.get_by_role("heading", level=1)).to_contain_text(".3")

    desk = owner_browser()
    desk.goto(address)
    expect(desk.locator("main")).to_contain_text("4 numbered, 3 to look at")
    desk.get_by_role("link", name="Edit one by one").click()
    expect(desk.get_by_role("heading", level=1)).to_contain_text(".3")
    desk.get_by_role("button", name="Go back one").click()
    expect(desk.get_by_role("heading", level=1)).to_contain_text(".2")


def test_without_script_boxes_are_typed(owner_browser):
    plain = owner_browser(java_script_enabled=False, viewport=PHONE)
    begin(plain, 2)
    plain.locator("details.open-up > summary").click()
    rows = plain.locator("[data-box]")
    expect(rows).to_have_count(3)
    rows.nth(0).get_by_label("Take it out").check()
    for name, value in {"left": "80", "top": "30", "right": "90", "bottom": "88"}.items():
        if name == "left":
            rows.nth(2).locator("summary").click()
        rows.nth(2).locator(f"[name$=-{name}]").fill(value)
    plain.get_by_role("button", name="Number these 2").click()
    expect(plain.locator(".message")).to_contain_text("2 bottles numbered")
    assert plain.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]


def test_many_are_typed_by_keyboard_alone(page):
    page.goto("/finds/typed/")
    page.locator("[data-cell=what]").first.focus()
    for n in range(9):
        page.keyboard.type(f"Jar {n}")
        page.keyboard.press("Tab")
        page.keyboard.type("jar")
        page.keyboard.press("Tab")
        page.keyboard.type("Marrowby")
        page.keyboard.press("Enter")
    # A tenth row was made by the last Enter.
    expect(page.locator("[data-row]")).to_have_count(10)
    page.keyboard.press("Control+Enter")
    expect(page.locator(".kept-now li")).to_have_count(9)
    expect(page.locator(".kept-now li").nth(8)).to_contain_text("Jar 8")


def test_rows_from_a_spreadsheet_can_be_pasted(page):
    page.goto("/finds/typed/")
    cell = page.locator("[data-cell=what]").first
    cell.evaluate(
        """(cell) => {
            const data = new DataTransfer();
            data.setData("text/plain", "Jar\\tjar\\tMarrowby\\r\\nInk cone\\tink bottle\\tInchgate\\r\\n");
            const told = {clipboardData: data, bubbles: true, cancelable: true};
            cell.dispatchEvent(new ClipboardEvent("paste", told));
        }"""
    )
    page.get_by_role("button", name="Save them all").click()
    expect(page.locator(".kept-now li")).to_have_text([re.compile("Jar"), re.compile("Ink cone")])
    page.locator(".kept-now a").nth(1).click()
    expect(page.locator("main")).to_contain_text("ink bottle")
    expect(page.locator("main")).to_contain_text("Inchgate")
