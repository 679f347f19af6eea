"""Three hard bottles, dated as somebody new to it would: by looking, one thing after the other."""

import re

from playwright.sync_api import Page, expect

from tests.browser.conftest import PHONE


def years_in(text: str) -> list[int]:
    return [int(year) for year in re.findall(r"\b1[6-9]\d\d\b|\b20\d\d\b", text)]


def made(page: Page) -> str:
    """The phrase alone, without what stands in small letters under it."""
    return page.locator(".made, .phrase").first.evaluate("made => made.firstChild.textContent.trim()")


def waits_for(page: Page, words: str) -> None:
    page.locator("#answer").get_by_text(re.compile(words)).first.wait_for()


def test_a_worn_circle_with_one_letter_and_a_seven(page):
    """One common letter is no proof of a maker: the page ranks, ties and says how open it is."""
    page.goto("/makers/read/")
    page.get_by_label("As it stands on the glass").press_sequentially("W 7")
    page.locator("summary").filter(has_text="The frame around it").click()
    page.locator("label").filter(has_text=re.compile("^\\s*A?\\s*circle$")).first.click()
    answer = page.locator("#reading-answer")
    answer.get_by_text("Frame: circle, as read").first.wait_for()
    expect(answer.get_by_text("Letters: W, as read")).not_to_have_count(0)
    expect(answer.get_by_text("A mark that is not in the tables")).to_have_count(1)
    assert answer.locator("svg.mark").count() >= 2
    page.get_by_role("link", name="Date a bottle with it").click()
    page.wait_for_url("**/date/?*letters=W*")
    # the other things one sees narrow it, the years rank the marks anew
    page.goto(page.url + "&f-mould-seam=machine-seam-over-finish&contents=soda")
    expect(page.locator(".said")).to_contain_text("mark: W in a circle, 7 at the right", use_inner_text=True)
    expect(page.get_by_text("Whose mark:")).to_have_count(1)


def test_a_mouth_blown_flask_with_a_contradiction(page):
    """A pontil scar and a machine's seam can't both be right: which slips would mend it is spelled out."""
    page.goto("/date/")
    page.locator("summary").filter(has_text="Pontil scar").click()
    page.get_by_role("radio", name=re.compile("Blowpipe")).first.check()
    waits_for(page, "before|about")
    before = years_in(made(page))
    page.locator("summary").filter(has_text="Shape of the body").click()
    page.get_by_role("checkbox", name=re.compile("Figured")).check()
    page.locator("summary").filter(has_text="Seams").first.click()
    page.get_by_role("radio", name=re.compile("Machine-made seam")).first.check()
    waits_for(page, "the evidence disagrees")
    said = page.locator("#answer-box").inner_text()
    assert (
        "Either Machine-made seam is misread: 1810–1870; or Blowpipe (open, ring) pontil and Figured" in said
    )
    assert "flask both are misread: 1893 on." in said
    # the seam was a scratch: it is doubted, and the window is back
    chip = page.locator(".said li").filter(has_text="Machine-made seam")
    chip.get_by_role("link", name=re.compile("not sure")).click()
    page.wait_for_url("**doubt=machine-seam-over-finish**")
    assert "the evidence disagrees" not in made(page)
    assert max(years_in(made(page))) <= max(before)


def test_an_unmarked_machine_made_bottle_one_question_at_a_time_on_a_phone(owner_browser):
    """Nothing to read on it: questions in the order of their use, without script, on to a find."""
    phone = owner_browser(java_script_enabled=False, viewport=PHONE)
    phone.goto("/date/?one=1")
    asked = []
    for _ in range(8):
        asked.append(phone.locator(".asked h1").inner_text())
        if (more := phone.locator(".one-question summary").filter(has_text="more")).count():
            more.click()
        replies = phone.locator(".one-question .replies a")
        wanted = replies.filter(has_text=re.compile("Machine-made seam|Suction scar|Crown cap finish"))
        with phone.expect_navigation():
            (wanted.first if wanted.count() else phone.get_by_role("link", name="can't tell")).click()
        if phone.locator(".said li").count() >= 3:
            break
    assert len(set(asked)) == len(asked), "a question was asked twice"
    years = years_in(made(phone))
    assert years and min(years) >= 1890, made(phone)
    phone.get_by_role("link", name="Record this bottle").click()
    phone.locator("[name=what]").fill("Unmarked soda bottle")
    phone.get_by_role("button", name="Save", exact=True).first.click()
    phone.wait_for_url(re.compile(r"/finds/\d{4}\.0\.\d+/$"))
    assert years_in(made(phone)) == years
