"""A camera's card dropped, sorted and filed on a phone, as somebody would who has never seen the page."""

import hashlib
import os
import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import PHONE
from tests.photos.card_shots import card
from tests.photos.drawn import encoded, picture

# Where to leave pictures of the walk, for whoever wants to look at it.
SHOTS = os.environ.get("SILTMARK_SHOTS")
TAGS = ("T-1", "T-2", "T-3", "T-4")


def payload(file) -> dict:
    file.seek(0)
    return {"name": file.name, "mimeType": "image/jpeg", "buffer": file.read()}


def shot(page: Page, name: str) -> None:
    if SHOTS:
        # With the caret as it is: hiding it needs a style of the camera's own, which the page refuses.
        page.screenshot(path=str(Path(SHOTS) / f"card-{name}.png"), caret="initial")


def fits(page: Page) -> None:
    assert page.evaluate("document.documentElement.scrollWidth") <= page.viewport_size["width"]


pytestmark = pytest.mark.begins_with("dive")


@pytest.fixture
def phone(phone: Page) -> Page:
    phone.goto("/dives/2026/1/")
    return phone


def groups(page: Page):
    return page.locator(".card-group")


def drop_card(page: Page, taken) -> None:
    page.get_by_role("link", name=re.compile("Sort the camera")).click()
    page.locator("#card-files").set_input_files([payload(each.file) for each in taken])


def test_a_card_is_sorted_and_filed_on_a_phone(phone):
    phone.get_by_role("link", name=re.compile("Sort the camera")).click()
    phone.get_by_role("link", name="Print field tags").click()
    phone.go_back()
    shot(phone, "empty")
    taken = card(TAGS, each=3, blurred=["T-3"], out_of_order=6)
    phone.locator("#card-files").set_input_files([*(payload(each.file) for each in taken), BAD])
    expect(groups(phone)).to_have_count(4)
    expect(phone.locator("[data-rows] > li")).to_have_count(1)  # the rest are here, and need no line
    expect(phone.locator("[data-rows]")).to_contain_text("bad.jpg")
    expect(phone.locator("[data-rows]")).to_contain_text("isn't a picture")
    expect(phone.locator("[data-sending]")).to_contain_text("16 of 17 here, 1 refused")
    expect(groups(phone).locator("h2")).to_have_text(["T-1", "T-2", "No tag", "T-4"])
    fits(phone)
    shot(phone, "sorted")

    # The tag that can't be read by the catalogue is read by the person.
    third = groups(phone).nth(2)
    third.get_by_label("Tag", exact=True).fill("T-3")
    third.get_by_label("Tag", exact=True).press("Enter")
    expect(groups(phone).locator("h2")).to_have_text(["T-1", "T-2", "T-3", "T-4"])
    third.get_by_label("What it is, if you know").fill("Amber flask")
    by_keyboard(phone)
    expect(third.get_by_label("What it is, if you know")).to_have_value("Amber flask")
    by_dragging(phone)

    # Half done, and opened again elsewhere: all of it is there.
    phone.goto("/dives/")
    phone.goto("/dives/2026/1/card/")
    expect(groups(phone)).to_have_count(4)
    expect(groups(phone).nth(2).get_by_label("What it is, if you know")).to_have_value("Amber flask")

    groups(phone).nth(3).get_by_label("Goes to").select_option("later")
    expect(phone.locator(".card-file")).to_contain_text("3 new finds, 12 pictures; 4 left on the card.")
    phone.get_by_role("button", name="Save them").click()
    phone.wait_for_url(re.compile(r"/dives/2026/1/$"))
    expect(phone.locator(".messages")).to_contain_text(
        "12 pictures filed under 3 new finds. 4 stay on the card."
    )
    expect(phone.locator(".card .name").filter(has_text="Amber flask")).to_have_count(1)
    expect(phone.get_by_role("link", name=re.compile("4 waiting"))).to_be_visible()


BAD = {"name": "bad.jpg", "mimeType": "image/jpeg", "buffer": b"not a picture"}


def by_keyboard(page: Page) -> None:
    """A picture is ticked with the space bar and moved to the first group, and back."""
    box = groups(page).nth(1).get_by_role("checkbox").last
    box.focus()
    page.keyboard.press("Space")
    expect(page.locator("[data-ticked-count]")).to_have_text("With the ticked picture")
    shot(page, "ticked")
    page.get_by_label("Move them to").select_option(label="T-1, group 1")
    page.get_by_role("button", name="Move", exact=True).focus()
    page.keyboard.press("Enter")
    expect(groups(page).nth(0).get_by_role("checkbox")).to_have_count(5)
    expect(page.locator("#card .message")).to_have_text("1 picture moved.")


def by_dragging(page: Page) -> None:
    """And back again, taken by its handle and let go over the group it came from."""
    held = groups(page).nth(0).locator("[data-grip]").last
    held.scroll_into_view_if_needed()
    start = held.bounding_box()
    page.mouse.move(start["x"] + 5, start["y"] + 5)
    page.mouse.down()
    over = groups(page).nth(1).locator("h2").bounding_box()
    page.mouse.move(over["x"] + 10, over["y"] + 10, steps=8)
    expect(page.locator(".card-group.over h2")).to_have_text("T-2")
    page.mouse.up()
    expect(groups(page).nth(0).get_by_role("checkbox")).to_have_count(4)
    expect(groups(page).nth(1).get_by_role("checkbox")).to_have_count(4)


def test_a_lost_connection_doubles_nothing_and_goes_on_by_itself(phone, watch):
    taken = card(TAGS[:2], each=2)
    sent = []
    phone.on("request", lambda request: sent.append(request) if request.method == "POST" else None)
    lost, said = [], []

    def until_said(route) -> None:
        if route.request.method == "POST" and not said:
            lost.append(route.abort())
        else:
            route.continue_()

    phone.route("**/card/arrive/*", until_said)
    phone.route("**/card/arrive/", until_said)
    drop_card(phone, taken)
    expect(phone.locator("[data-rows]")).to_contain_text(re.compile(r"It is tried again in \d+ seconds\."))
    said.append(True)
    expect(phone.locator("[data-sending]")).to_contain_text("6 of 6 here")
    expect(groups(phone)).to_have_count(2)
    expect(phone.get_by_role("checkbox")).to_have_count(6)
    for _ in lost:
        watch.complaints.remove("Failed to load resource: net::ERR_FAILED")

    # The whole card once more: asked for, and not one byte of a picture sent.
    sent.clear()
    phone.reload()
    phone.locator(".open-up > summary").first.click()
    phone.locator("#card-files").set_input_files([payload(each.file) for each in taken])
    expect(phone.locator("[data-sending]")).to_contain_text("6 of 6 here")
    assert [request.url for request in sent if request.url.endswith("/arrive/")] == []
    expect(phone.get_by_role("checkbox")).to_have_count(6)


def test_what_is_kept_by_itself_never_meets_itself_but_another_page(phone, watch):
    drop_card(phone, card(TAGS[:2], each=1))
    expect(groups(phone)).to_have_count(2)
    other = phone.context.new_page()
    other.goto(phone.url)
    box = groups(phone).nth(0).get_by_label("What it is, if you know")
    for letters in ("In", "k "):
        with phone.expect_response(lambda answer: answer.status == 204):
            box.press_sequentially(letters)
    box.press_sequentially("bottle")
    with phone.expect_response(lambda answer: answer.request.method == "POST"):
        box.blur()
    expect(phone.locator("#card .message.warn")).to_have_count(0)
    theirs = groups(other).nth(0).get_by_label("What it is, if you know")
    theirs.fill("Jar")
    theirs.blur()
    expect(other.locator(".card-problem")).to_have_text(
        "Another page wrote “Ink bottle” meanwhile. Yours was “Jar”."
    )
    shot(other, "two-windows")
    expect(groups(other).nth(0).get_by_label("What it is, if you know")).to_have_value("Ink bottle")
    other.close()
    phone.reload()
    expect(groups(phone).nth(0).get_by_label("What it is, if you know")).to_have_value("Ink bottle")


def test_without_script_it_works_too(owner_browser):
    plain = owner_browser(java_script_enabled=False, viewport=PHONE)
    plain.goto("/dives/2026/1/card/")
    plain.locator("#card-files").set_input_files([payload(each.file) for each in card(TAGS[:2], each=1)])
    plain.get_by_role("button", name="Add them").click()
    expect(groups(plain).locator("h2")).to_have_text(["T-1", "T-2"])
    groups(plain).nth(0).get_by_role("checkbox").last.check()
    plain.locator(".card-ticked summary").click()
    plain.get_by_label("Move them to").select_option(label="T-2, group 2")
    plain.get_by_role("button", name="Move", exact=True).click()
    expect(groups(plain).nth(1).get_by_role("checkbox")).to_have_count(3)
    plain.get_by_role("button", name="Save them").click()
    plain.wait_for_url(re.compile(r"/dives/2026/1/$"))
    expect(plain.locator(".messages")).to_contain_text("4 pictures filed under 2 new finds.")


def test_the_digest_is_that_of_everybody_else(phone):
    """Lengths around the edges of a block and of a piece, against Python's own."""
    lengths = [0, 1, 55, 56, 63, 64, 65, 119, 120, 1000, (1 << 20) - 1, 1 << 20, (1 << 20) + 1, 3_000_000]
    ours = phone.evaluate(
        """async (lengths) => {
            const { digestOf } = await import("/static/common/photos/digest.js");
            const bytes = (n) => Uint8Array.from({ length: n }, (_, i) => (i * 7 + (i >> 8)) & 255);
            return Promise.all(lengths.map((n) => digestOf(new Blob([bytes(n)]))));
        }""",
        lengths,
    )
    for length, digest in zip(lengths, ours, strict=True):
        content = bytes((i * 7 + (i >> 8)) & 255 for i in range(length))
        assert digest == hashlib.sha256(content).hexdigest(), length


def test_pictures_of_a_find_are_put_in_order_by_drag_and_by_arrows(phone):
    phone.goto("/finds/new/")
    files = [
        {"name": f"{n}.jpg", "mimeType": "image/jpeg", "buffer": encoded(picture(tint=n * 9))}
        for n in range(4)
    ]
    phone.locator("#picture-files").set_input_files(files)
    expect(phone.locator("[data-list] > li[data-token]")).to_have_count(4)
    phone.locator("#id_what").fill("Aqua soda bottle")
    phone.get_by_role("button", name="Save", exact=True).first.click()
    phone.wait_for_url(re.compile(r"/finds/\d{4}\."))
    expect(phone.locator(".photos > li")).to_have_count(4)
    fits(phone)
    tops = {round(box["y"]) for box in (row.bounding_box() for row in phone.locator(".photos > li").all())}
    assert len(tops) == 1  # four beside each other
    phone.get_by_role("link", name="Arrange").click()
    rows = phone.locator("[data-arrange] > li")

    def order() -> list[str]:
        return [row.get_attribute("data-picture") for row in rows.all()]

    expect(rows).to_have_count(4)
    a, b, c, d = order()
    with phone.expect_response("**/photos/order/*"):
        rows.nth(0).get_by_role("button", name=re.compile("later")).press("Enter")
    assert order() == [b, a, c, d]
    assert phone.evaluate("document.activeElement.dataset.step") == "1"
    grip, target = rows.nth(3).locator("[data-grip]"), rows.nth(0)
    grip.scroll_into_view_if_needed()
    start = grip.bounding_box()
    phone.mouse.move(start["x"] + 8, start["y"] + 20)
    phone.mouse.down()
    goal = target.bounding_box()
    phone.mouse.move(goal["x"] + 30, max(goal["y"], 0) + 12, steps=10)
    expect(rows.nth(3)).not_to_have_attribute("data-picture", d)
    with phone.expect_response("**/photos/order/*"):
        phone.mouse.up()
    kept = order()
    assert kept.index(d) < 3 and kept != [b, a, c, d]
    fits(phone)
    shot(phone, "arrange")
    phone.reload()
    assert order() == kept
    phone.get_by_role("button", name="Save", exact=True).click()
    first = phone.locator(".photos > li a").first
    first.click()
    phone.wait_for_url(re.compile(r"/photos/\d+/$"))
    phone.keyboard.press("ArrowRight")
    phone.wait_for_url(re.compile(rf"/photos/{kept[1]}/$"))
    fits(phone)
