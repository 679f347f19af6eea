"""A give-away walked as owner and as visitors, each in a browser of their own."""

import io
import re

import pypdfium2
from playwright.sync_api import Page, expect

from tests.browser.conftest import PHONE
from tests.browser.judge import violations
from tests.browser.test_browse import add_find


def ask(visitor: Page, name: str, message: str = "") -> None:
    visitor.goto("/giving/")
    visitor.get_by_role("link", name="Ask for it").click()
    visitor.get_by_label("Your name").fill(name)
    visitor.get_by_label("How to reach you").fill("by the boat shed")
    visitor.get_by_label("Message").fill(message)
    # Two quick taps ask once.
    visitor.get_by_role("button", name="Ask for it").dblclick()
    expect(visitor.get_by_role("heading", level=1)).to_have_text("You asked for it")


def test_a_piece_is_asked_for_promised_undone_and_handed_over(page: Page, new_browser) -> None:
    add_find(page, "Squat soda")
    number = page.url.rstrip("/").rpartition("/")[2]
    now = page.locator("#now")
    now.get_by_text("Kept, only you see it").click()
    now.get_by_role("button", name="free to take").click()
    expect(now.get_by_text("Free to take, visitors see it")).to_be_visible()

    first, second = new_browser(), new_browser(viewport=PHONE)
    ask(first, "Ola Brandt", "For my mother, <b>please</b>")
    ask(second, "Ivo Lark")
    expect(first.get_by_text("Nobody asked before you.")).to_be_visible()
    expect(second.get_by_text("1 asked before you.")).to_be_visible()
    assert violations(second) == []
    assert second.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]

    page.goto("/")
    expect(page.get_by_text("2 people ask for a piece").first).to_be_visible()
    page.goto("/giving/")
    asked = page.locator(".asked > li")
    expect(asked).to_have_count(2)
    expect(asked.first).to_contain_text("For my mother, <b>please</b>")
    assert violations(page) == []
    asked.first.get_by_role("button", name="Promise it to Ola Brandt").click()
    expect(page.get_by_text(f"{number} is promised to Ola Brandt.")).to_be_visible()

    first.goto("/giving/")
    expect(first.get_by_text("It is promised to you.")).to_be_visible()
    second.goto(f"/giving/{number}/ask/")
    expect(second.get_by_text("It is promised to somebody now.")).to_be_visible()
    stranger = new_browser()
    stranger.goto(f"/giving/{number}/ask/")
    expect(stranger.get_by_role("heading", level=1)).to_have_text("This catalogue belongs to somebody")

    page.get_by_role("button", name="Undo").click()
    expect(page.locator(".asked > li")).to_have_count(2)
    second.goto("/giving/")
    expect(second.get_by_text("1 asked before you.")).to_be_visible()
    first.goto(f"/giving/{number}/ask/")
    first.get_by_role("button", name="Take my request back").click()
    expect(first.get_by_text("what you wrote is erased")).to_be_visible()

    page.goto(f"/finds/{number}/")
    expect(page.locator("#requests .asked > li")).to_have_count(1)
    page.get_by_role("button", name="Promise it to Ivo Lark").click()
    page.get_by_role("link", name="Hand it over").click()
    expect(page.get_by_label("To whom")).to_have_value("Ivo Lark")
    page.get_by_label("Its story, for the slip").fill("It lay upright in the silt.")
    page.get_by_label(re.compile("The cautions on the slip were given along")).check()
    page.get_by_role("button", name="Hand it over").click()
    expect(page.get_by_text("is handed over to Ivo Lark")).to_be_visible()
    second.goto("/giving/")
    expect(second.get_by_text("It was handed over.")).to_be_visible()

    answer = page.request.get(f"/labels/slip/{number}/")
    document = pypdfium2.PdfDocument(io.BytesIO(answer.body()))
    text = document[0].get_textpage().get_text_range()
    assert len(document) == 1
    assert "It lay upright in the silt." in text and "Ivo Lark" in text and "127.0.0.1" not in text
    document.close()
