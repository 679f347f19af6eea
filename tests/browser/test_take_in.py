"""A messy spreadsheet of 400 rows walked from the file to the finds and back, as its owner would."""

import os
import re
from pathlib import Path

from playwright.sync_api import Page, expect

from tests.browser.test_browse import add_find
from tests.exchange.takein.sheets import csv_of, messy

LOOKED_AT = os.environ.get("SILTMARK_LOOK", "")


def look(page: Page, name: str) -> None:
    """A picture of the page, where somebody asked for one."""
    if LOOKED_AT:
        for width in (390, 1280):
            page.set_viewport_size({"width": width, "height": 900})
            page.screenshot(path=Path(LOOKED_AT) / f"{name}-{width}.png", full_page=width > 400)


def test_a_messy_sheet_is_asked_about_taken_in_and_undone(page: Page) -> None:
    add_find(page, "Ink cone")
    page.goto("/safekeeping/")
    page.get_by_role("link", name="Take in a spreadsheet").click()
    file = {"name": "messy.csv", "mimeType": "text/csv", "buffer": csv_of(messy(), ";", "utf-8-sig")}
    page.get_by_label("Spreadsheet").set_input_files(file)
    look(page, "file")
    page.get_by_role("button", name="Read", exact=True).click()
    page.get_by_role("heading", name="What each column is").wait_for()
    expect(page.get_by_label("Color", exact=True)).to_have_value("colour")
    expect(page.get_by_label("Price paid", exact=True)).to_have_value("note")
    look(page, "columns")
    page.get_by_role("button", name="Show what each row would do").click()
    page.get_by_text("Say the unit of the numbers that have none.").wait_for()
    page.get_by_text("Say which comes first.").wait_for()
    page.get_by_label("Its bare numbers are").select_option("mm")
    page.get_by_label(re.compile("what comes first")).select_option("day")
    page.get_by_label("Add sites that are not on record").check()
    page.get_by_label("Add places that are not on record").check()
    page.get_by_role("button", name="Show what each row would do").click()
    page.get_by_role("heading", name="What each row would do").wait_for()
    refused = page.get_by_role("link", name=re.compile("can't be taken in"))
    expect(refused).to_be_visible()
    page.get_by_text("“tallish” can't be read").first.wait_for()
    look(page, "rows")
    page.get_by_role("link", name="Choose the columns anew").click()
    expect(page.get_by_label(re.compile("what comes first"))).to_have_value("day")
    page.get_by_label(re.compile("Keep cells that can't be read")).check()
    page.get_by_role("button", name="Show what each row would do").click()
    # five rows bear one number: which of them it is can't be known
    page.get_by_role("link", name="5 can't be taken in").wait_for()
    page.get_by_role("link", name="395 new").click()
    page.get_by_text("several towns are called Portland").first.wait_for()
    look(page, "new")
    page.get_by_role("button", name="Take in the 395 good rows").click()
    # The page is asked for anew at the end: no word of it says that nothing is written yet.
    page.get_by_role("heading", name=re.compile("395 finds are new")).wait_for()
    expect(page.get_by_text("nothing is written yet")).to_have_count(0)
    look(page, "done")
    page.goto("/finds/")
    page.get_by_text("396 finds").first.wait_for()
    page.go_back()
    page.on("dialog", lambda dialog: dialog.accept())
    page.get_by_role("button", name="Undo").first.click()
    page.get_by_text("Undone: 395 new finds lie in the bin").wait_for()
    page.goto("/finds/")
    page.get_by_text("1 find").first.wait_for()
