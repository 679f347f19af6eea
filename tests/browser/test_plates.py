"""A worn base read in a real browser: by mouse, by keyboard, and without script."""

import re
from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import PHONE

PICTURES = Path(__file__).resolve().parents[2] / "demo_fixtures" / "pictures"
LAMPS = sorted(PICTURES.glob("d34-lamp-?.jpg"))
# Where the rim of that base lies, as parts of its picture.
RIM = ((0.5, 0.065), (0.935, 0.5), (0.5, 0.935))


def find_with(page, *files: Path) -> str:
    """A new find with these pictures; its address."""
    page.goto("/finds/new/")
    page.fill("[name=what]", "Aqua soda bottle")
    page.set_input_files("#picture-files", files)
    page.wait_for_function("n => document.querySelectorAll('[name=held]').length === n", arg=len(files))
    page.get_by_role("button", name="Save", exact=True).first.click()
    page.wait_for_url(re.compile(r"/finds/\d{4}\.0\.\d+/$"))
    return page.url


def tap(page, *places: tuple[float, float]) -> None:
    marks = page.locator("[data-marks]")
    page.locator(".pad.live").wait_for()
    marks.scroll_into_view_if_needed()
    for across, down in places:
        box = marks.bounding_box()
        marks.click(position={"x": across * box["width"], "y": down * box["height"]})


def test_eight_lamps_become_a_relief_and_a_reading(page):
    assert len(LAMPS) == 8
    find_with(page, *LAMPS)
    page.get_by_role("link", name="Read a worn base").click()
    expect(page.locator("[name=photo]")).to_have_count(8)
    for box in page.locator("[name=photo]").all():
        box.check()
    page.get_by_text("About the lamp").click()
    page.get_by_label(re.compile("evenly round clockwise")).check()
    page.get_by_role("button", name="Go on: mark the rim").click()

    tap(page, *RIM)
    page.locator(".ring").wait_for(state="attached")
    # away from the first point, then dragged to the lower right
    page.fill("[name=start]", "40")
    page.locator("[data-marks]").scroll_into_view_if_needed()
    marks = page.locator("[data-marks]").bounding_box()
    handle = page.locator("[data-handle]").bounding_box()
    page.mouse.move(handle["x"] + handle["width"] / 2, handle["y"] + handle["height"] / 2)
    page.mouse.down()
    page.mouse.move(marks["x"] + 0.94 * marks["width"], marks["y"] + 0.48 * marks["height"], steps=3)
    page.mouse.move(marks["x"] + 0.90 * marks["width"], marks["y"] + 0.66 * marks["height"], steps=3)
    page.mouse.up()
    assert 105 <= int(page.input_value("[name=start]")) <= 120
    page.get_by_role("button", name="Show the plates").click()
    page.wait_for_url("**/plates/read/**")
    expect(page.locator("[name=look]:checked")).to_have_value("raised")
    assert page.locator(".plate-strip img").evaluate("i => i.decode().then(() => i.naturalWidth)") > 800

    page.locator("[name=look][value=relit]").check()
    relief = page.locator("canvas.relief")
    relief.wait_for()
    brightness = (
        "c => c.getContext('2d').getImageData(0, 0, c.width, c.height).data.reduce((a, b) => a + b, 0)"
    )
    before = relief.evaluate(brightness)
    relief.scroll_into_view_if_needed()
    box = relief.bounding_box()
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.mouse.down()
    page.mouse.move(box["x"] + 0.9 * box["width"], box["y"] + 0.5 * box["height"], steps=3)
    page.mouse.up()
    page.wait_for_function(
        "() => Math.abs(document.querySelector('[data-lamp-form] [name=at]').value - 3) < 0.3"
    )
    page.wait_for_function(
        f"before => ({brightness})(document.querySelector('canvas.relief')) !== before", arg=before
    )
    relief.press("ArrowLeft")
    page.wait_for_function("() => document.querySelector('[data-lamp-form] [name=at]').value === '2.75'")
    page.wait_for_function("() => document.querySelector('[data-keep] [name=at]').value === '2.75'")

    page.fill("[name=read-letters]", "LG")
    page.get_by_text("letters: LG").first.wait_for(state="attached")
    page.get_by_role("button", name="Save this reading").click()
    page.get_by_text("The reading is saved: LG.").wait_for()
    page.get_by_role("button", name="Save this plate").click()
    page.get_by_text("saved with the pictures, for you alone").wait_for()


def test_the_rim_by_keyboard_and_a_point_put_right(page):
    find_with(page, LAMPS[1])
    page.get_by_role("link", name="Read a worn base").click()
    page.locator("[name=photo]").check()
    page.get_by_role("button", name="Go on: mark the rim").click()
    marks = page.locator("[data-marks]")
    page.locator(".pad.live").wait_for()
    marks.focus()
    page.keyboard.press("Enter")
    for _ in range(43):
        page.keyboard.press("Shift+ArrowUp")
    page.keyboard.press("ArrowUp")
    up = float(page.input_value("[name=p1]").split(",")[1])
    assert up == pytest.approx(6.9, abs=0.11)
    page.keyboard.press("Enter")
    page.keyboard.press("Delete")
    assert page.input_value("[name=p2]") == ""
    page.get_by_text("The places as numbers").click()
    page.fill("[name=p2]", "93.5, 50")
    page.fill("[name=p3]", "50, 93.5")
    page.locator(".ring").wait_for(state="attached")
    page.get_by_role("button", name="Show the plates").click()
    page.wait_for_url("**/plates/read/**")
    expect(page.locator("[name=look]:checked")).to_have_value("contrast")


def test_without_script_by_typed_places_on_a_phone(owner_browser):
    page = owner_browser(java_script_enabled=False, viewport=PHONE)
    page.goto("/finds/new/")
    page.fill("[name=what]", "Aqua soda bottle")
    page.set_input_files("#picture-files", LAMPS[:1])
    page.get_by_role("button", name="Save", exact=True).first.click()
    page.get_by_role("link", name="Read a worn base").click()
    page.locator("[name=photo]").check()
    page.get_by_role("button", name="Go on: mark the rim").click()
    for name, place in (("p1", "50, 6.5"), ("p2", "93.5, 50"), ("p3", "50, 93.5")):
        page.fill(f"[name={name}]", place)
    page.get_by_role("button", name="Show the plates").click()
    page.fill("[name=read-letters]", "B?")
    page.get_by_role("button", name="Compare").click()
    page.locator("#ranked li").nth(1).wait_for()
    page.get_by_role("button", name="Save this reading").click()
    expect(page.locator("main")).to_contain_text("The reading is saved: B?", use_inner_text=True)
    assert page.locator("html").evaluate("e => e.scrollWidth") <= PHONE["width"]


def test_a_size_by_four_taps(page):
    find_with(page, LAMPS[1])
    page.get_by_role("link", name="Measure in a picture").click()
    page.locator(".shots a").click()
    tap(page, (0.1, 0.9), (0.3, 0.9), (0.5, 0.065), (0.5, 0.935))
    page.fill("[name=scale_mm]", "14")
    page.select_option("[name=what]", "base_mm")
    page.get_by_text("60.9 mm").or_(page.get_by_text("61.0 mm")).or_(page.get_by_text("60.8 mm")).wait_for()
    page.get_by_role("button", name="Save as the base diameter").click()
    page.get_by_text(re.compile(r"The base diameter is saved: 6[01]\.\d mm")).wait_for()
    expect(page.locator("main")).to_contain_text(re.compile(r"base 6[01](\.\d)? ± \d+\.\d mm"))
    # The scale is known: the next size in this picture takes two taps.
    page.get_by_role("link", name="Measure in a picture").click()
    page.locator(".shots a").click()
    page.get_by_text("The scale of this picture is known").wait_for()
    expect(page.locator("[data-spot]")).to_have_count(2)
    tap(page, (0.3, 0.5), (0.7, 0.5))
    page.select_option("[name=what]", "bore_mm")
    page.get_by_role("button", name="Save as the bore").click()
    page.get_by_text(re.compile(r"The bore is saved: 2[78]\.\d mm, give or take")).wait_for()


def test_a_size_by_fingers_on_a_phone(owner_browser):
    """Four taps, a coin for a ruler, one point dragged right; nothing is written before it is confirmed."""
    page = owner_browser(viewport=PHONE, has_touch=True)
    address = find_with(page, LAMPS[1])
    page.get_by_role("link", name="Measure in a picture").tap()
    page.locator(".shots a").tap()
    marks = page.locator("[data-marks]")
    page.locator(".pad.live").wait_for()
    for across, down in ((0.1, 0.9), (0.3, 0.9), (0.5, 0.065), (0.5, 0.8)):
        box = marks.bounding_box()
        marks.tap(position={"x": across * box["width"], "y": down * box["height"]})
        page.wait_for_timeout(350)  # two taps in a row would be a double tap
    expect(page.locator("[data-spot]")).to_have_count(4)
    page.select_option("[name=coin]", "us-quarter")
    page.select_option("[name=what]", "base_mm")
    measured = page.locator("#measured .made")
    measured.filter(has_text=re.compile(r"8\d\.\d mm")).wait_for()
    expect(page.get_by_label("Between the taps on the ruler")).to_be_hidden()
    marks.scroll_into_view_if_needed()
    # The last point to the lower rim, with one finger: 0.87 of the picture against 0.2 for 24.26 mm.
    session, box = page.context.new_cdp_session(page), marks.bounding_box()
    for kind, down in (("touchStart", 0.8), ("touchMove", 0.87), ("touchMove", 0.935), ("touchEnd", None)):
        x, y = box["x"] + 0.5 * box["width"], box["y"] + (down or 0) * box["height"]
        points = [] if down is None else [{"x": x, "y": y}]
        session.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
    measured.filter(has_text=re.compile(r"10[56]\.\d mm")).wait_for()
    words = measured.inner_text()
    assert re.search(r"give or take \d+\.\d mm: about 19 of 20 times", words)
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    plain = page.context.new_page()
    plain.goto(address)
    assert not re.search(r"10[56]\.\d", plain.inner_text("main"))
    page.get_by_role("button", name="Save as the base diameter").tap()
    page.get_by_text(re.compile(r"The base diameter is saved: 10[56]\.\d mm")).wait_for()
    plain.reload()
    assert re.search(r"10[56]\.\d", plain.inner_text("main"))
