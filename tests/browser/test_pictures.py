"""Pictures chosen, dropped, refused and kept while a find is recorded; side by side on its page."""

import base64
import re

from playwright.sync_api import Page, Route, expect

from tests.browser.conftest import PHONE
from tests.photos.drawn import encoded, picture

WET = {"name": "wet.jpg", "mimeType": "image/jpeg", "buffer": encoded(picture(tint=1, height=500))}
DRY = {"name": "dry.heic", "mimeType": "image/heic", "buffer": encoded(picture(tint=60, height=500), "HEIF")}
BAD = {"name": "bad.jpg", "mimeType": "image/jpeg", "buffer": b"not a picture"}

DROP = """([target, name, text]) => {
    const data = new DataTransfer();
    const bytes = Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
    data.items.add(new File([bytes], name, { type: "image/jpeg" }));
    target.dispatchEvent(new DragEvent("drop", { dataTransfer: data, bubbles: true, cancelable: true }));
}"""


def drop(page: Page, file: dict) -> None:
    text = base64.b64encode(file["buffer"]).decode()
    page.evaluate(DROP, [page.locator("[data-drop]").element_handle(), file["name"], text])


def rows(page: Page):
    return page.locator("[data-list] > li")


def test_pictures_survive_an_error_and_become_a_before_and_after(phone):
    phone.goto("/finds/new/")
    phone.locator("#picture-files").set_input_files([DRY, BAD])
    drop(phone, WET)
    expect(phone.locator("[data-list] > li[data-token]")).to_have_count(2)
    expect(rows(phone).filter(has_text="bad.jpg")).to_contain_text("isn't a picture")
    # The browser can't draw HEIC: the catalogue's own small copy stands there.
    thumb = rows(phone).filter(has_text="dry.heic").locator("img")
    expect(thumb).to_have_attribute("src", re.compile("/photos/held/"))
    rows(phone).filter(has_text="dry.heic").get_by_label("What dry.heic shows").select_option("after")
    rows(phone).filter(has_text="wet.jpg").get_by_label("What wet.jpg shows").select_option("as-found")
    assert phone.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]

    phone.get_by_role("button", name="Save", exact=True).first.click()
    expect(phone.get_by_role("alert").first).to_be_visible()
    expect(rows(phone)).to_have_count(2)
    expect(rows(phone).filter(has_text="dry.heic").locator("select")).to_have_value("after")

    phone.locator("#id_what").fill("Aqua soda bottle")
    phone.get_by_role("button", name="Save", exact=True).first.click()
    phone.wait_for_url(re.compile(r"/finds/\d{4}\."))
    expect(phone.locator(".photos > li")).to_have_count(2)
    side_by_side_and_whole(phone)


def test_what_pictures_show_follows_the_dive_until_it_is_said(phone):
    phone.goto("/finds/new/")
    phone.locator("#picture-files").set_input_files([DRY, WET])
    said = phone.locator("[data-list] > li select")
    expect(phone.locator("[data-list] > li[data-token]")).to_have_count(2)
    expect(said.nth(0)).to_have_value("detail")
    said.nth(0).select_option("base")
    phone.get_by_label("Dive", exact=True).select_option("new")
    expect(said.nth(0)).to_have_value("base")
    expect(said.nth(1)).to_have_value("as-found")
    phone.get_by_label("Dive", exact=True).select_option("unknown")
    expect(said.nth(1)).to_have_value("detail")


def side_by_side_and_whole(page: Page) -> None:
    """As it is now at the left, as found beside it, neither cut; a touch opens one large."""
    after, before = (page.locator(".hero-picture img").nth(n) for n in (0, 1))
    expect(after).to_have_attribute("alt", re.compile("after"))
    left, right = after.bounding_box(), before.bounding_box()
    assert left["x"] + left["width"] <= right["x"]
    assert left["y"] + left["height"] <= PHONE["height"]
    for shown in (after, before):
        assert shown.evaluate("i => getComputedStyle(i).objectFit") == "contain"
    after.click()
    page.wait_for_url(re.compile(r"/photos/\d+/$"))


def test_without_script_pictures_come_with_the_form(owner_browser):
    plain = owner_browser(java_script_enabled=False, viewport=PHONE)
    plain.goto("/finds/new/")
    plain.locator("#picture-files").set_input_files([WET, BAD])
    plain.locator("#id_what").fill("Aqua soda bottle")
    plain.get_by_role("button", name="Save", exact=True).first.click()
    expect(plain.locator(".picker [role=alert]")).to_contain_text("bad.jpg: This isn't a picture")
    expect(rows(plain)).to_have_count(1)
    expect(plain.locator("#id_what")).to_have_value("Aqua soda bottle")
    plain.get_by_role("button", name="Save", exact=True).first.click()
    plain.wait_for_url(re.compile(r"/finds/\d{4}\."))
    expect(plain.locator(".photos > li")).to_have_count(1)


def test_pressed_while_a_picture_is_on_its_way_the_form_waits_for_it(phone):
    phone.goto("/finds/new/")
    phone.locator("#id_what").fill("Aqua soda bottle")
    on_its_way: list[Route] = []
    phone.route("**/photos/hold/", lambda route: on_its_way.append(route))
    with phone.expect_request("**/photos/hold/"):
        phone.locator("#picture-files").set_input_files([WET])
    phone.get_by_role("button", name="Save", exact=True).first.click()
    expect(phone).to_have_url(re.compile(r"/finds/new/$"))
    on_its_way[0].continue_()
    phone.wait_for_url(re.compile(r"/finds/\d{4}\."))
    expect(phone.locator(".photos > li")).to_have_count(1)


def test_a_lost_connection_is_said_and_tried_again(phone, watch):
    phone.goto("/finds/new/")
    phone.route("**/photos/hold/", lambda route: route.abort())
    phone.locator("#picture-files").set_input_files([WET])
    row = rows(phone)
    expect(row).to_contain_text("The connection was lost")
    phone.unroute("**/photos/hold/")
    # The one complaint this test is about.
    watch.complaints.remove("Failed to load resource: net::ERR_FAILED")
    row.get_by_role("button", name="Try again").click()
    expect(phone.locator("[data-list] > li[data-token]")).to_have_count(1)
    row.get_by_role("button", name="Delete").click()
    expect(rows(phone)).to_have_count(0)
