"""Looking through finds and adding a maker, in a real browser, with script and without."""

import re

from playwright.sync_api import expect

from tests.browser.conftest import PHONE


def add_find(page, what: str, kind: str = "") -> None:
    page.goto("/finds/new/")
    page.fill("[name=what]", what)
    if kind:
        page.locator("details:has(select[name=kind]) > summary").click()
        page.select_option("select[name=kind]", kind)
    page.get_by_role("button", name="Save", exact=True).first.click()
    page.wait_for_url(re.compile(r"/finds/\d{4}\.0\.\d+/$"))


def add_maker(page) -> None:
    page.goto("/makers/new/")
    page.get_by_label("Name of the maker").fill("Brackwater Bottle Company")
    page.get_by_label("Letters of the mark").fill("BW")
    page.locator('[name="marks-0-frame"][value="circle"]').check()
    page.locator("#id_marks-0-from_year").fill("1922")
    page.locator("#id_marks-0-to_year").fill("1950")
    page.get_by_role("radio", name=re.compile("One digit")).check()


def test_filters_answer_at_once_and_the_address_says_it_all(page):
    add_find(page, "Ink cone", "ink")
    add_find(page, "Case gin", "case")
    page.goto("/finds/")
    names = page.locator(".find-row .name")
    expect(names).to_have_text(["Case gin", "Ink cone"])

    # on a wide page each filter is a chip of the bar
    group = page.locator("#group-kind")
    group.locator("summary").first.click()
    group.get_by_label(re.compile("ink bottle")).check()
    page.wait_for_url("**/finds/?*kind=ink*")
    page.get_by_text("1 find by your choice").wait_for()
    expect(names).to_have_text(["Ink cone"])
    # what was unfolded stays so, and the other choice of the same filter still has its number
    expect(group.get_by_label(re.compile("case or spirit bottle"))).to_be_visible()

    group.get_by_label(re.compile("case or spirit bottle")).check()
    page.get_by_text("2 finds by your choice").wait_for()
    page.go_back()
    page.get_by_text("1 find by your choice").wait_for()
    expect(names).to_have_text(["Ink cone"])

    page.get_by_role("link", name=re.compile("ink bottle")).click()
    page.get_by_text("2 finds", exact=True).wait_for()


def test_a_maker_is_drawn_and_understood_while_it_is_typed(page):
    add_maker(page)
    live = page.locator("#maker-live")
    page.locator("#id_codes-0-valid_from").fill("1922")
    page.locator("#id_codes-0-valid_to").fill("1950")
    live.get_by_text("would be 1927, 1937 or 1947").wait_for()
    expect(live.locator("svg.mark").get_by_text("BW", exact=True)).to_have_count(1)
    page.get_by_label("What would this mean beside the mark?").fill("2")
    live.get_by_text("would be 1922, 1932 or 1942").wait_for()

    page.get_by_role("button", name="Add another mark").click()
    page.locator("#id_marks-1-letters").wait_for()
    expect(page.get_by_label("Name of the maker")).to_have_value("Brackwater Bottle Company")
    page.get_by_role("button", name="Save the maker").click()
    page.wait_for_url("**/makers/brackwater-bottle-company/")
    expect(page.get_by_text("would be 1927, 1937 or 1947")).to_be_visible()


def test_everything_works_without_script_on_a_phone(page, owner_browser):
    add_find(page, "Ink cone", "ink")
    add_find(page, "Case gin", "case")
    plain = owner_browser(java_script_enabled=False, viewport=PHONE)
    plain.goto("/finds/")
    plain.locator("#find-panel > summary").click()
    plain.locator("#group-kind > summary").click()
    plain.get_by_label(re.compile("ink bottle")).check()
    plain.get_by_role("button", name="Show the finds").click()
    expect(plain.locator(".find-row .name")).to_have_text(["Ink cone"])
    plain.get_by_role("link", name="Choose all on this page").click()
    expect(plain.get_by_role("checkbox", name=re.compile("Choose .* Ink cone"))).to_be_checked()
    plain.get_by_role("link", name=re.compile("take away")).click()
    expect(plain.locator(".find-row .name")).to_have_text(["Case gin", "Ink cone"])

    add_maker(plain)
    plain.get_by_label("What would this mean beside the mark?").fill("7")
    plain.locator("#id_codes-0-valid_from").fill("1922")
    plain.locator("#id_codes-0-valid_to").fill("1950")
    plain.get_by_role("button", name="Ask").click()
    expect(plain.get_by_text("would be 1927, 1937 or 1947")).to_be_visible()
    plain.get_by_role("button", name="Save the maker").click()
    expect(plain.get_by_role("heading", level=1)).to_have_text("Brackwater Bottle Company")


def test_nothing_is_wider_than_a_phone(page, owner_browser):
    add_find(page, "A bottle with a very long name " + "that goes on and on " * 6)
    add_maker(page)
    page.get_by_role("button", name="Save the maker").click()
    phone = owner_browser(viewport=PHONE)
    for path in (
        "/finds/", "/finds/?view=table&q=long", "/towns/", "/makers/", "/makers/new/",
        "/makers/brackwater-bottle-company/", "/makers/brackwater-bottle-company/edit/",
        "/reference/", "/reference/?part=features", "/reference/?part=assumptions",
    ):  # fmt: skip
        phone.goto(path)
        assert phone.evaluate("document.documentElement.scrollWidth") <= PHONE["width"], path
