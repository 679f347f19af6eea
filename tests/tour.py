"""Take the pictures of the README's tour: `python -m tests.tour` (needs the test extras and chromium)."""

import io
import re
import sys
import tempfile
from pathlib import Path

from PIL import Image
from playwright.sync_api import Page, sync_playwright

from tests.running import start

FOLDER = Path(__file__).resolve().parent.parent / "demo_fixtures" / "tour"
DESK, PHONE = (1280, 900), (390, 844)
SHOTS = {
    "home": ("/", DESK, 1180),
    "find": ("/finds/2022.2.1/", DESK, 1250),
    "record-phone": ("/finds/new/", PHONE, 844),
    "finds": ("/finds/?sort=made", DESK, 1250),
    "maker": ("/makers/brackwater-bottle-company/", DESK, 1100),
    "date": ("/date/?letters=TH&frame=hexagon&right=29&f=applied-finish&f=crown-finish", DESK, 1100),
    "plate": ("/finds/2024.2.3/plates/", DESK, 1600),
    "bench": ("/workbench/", DESK, 1100),
    "giving": ("/giving/?as-visitor", DESK, 1000),
}


def read_worn_base(page: Page) -> None:
    """From the find's pictures under eight lamps to the plate, as a person would."""
    for shot in page.locator(".shots .shot").filter(has_text="lamp at").all():
        shot.locator("input").check()
    page.get_by_text("About the lamp").click()
    page.get_by_label(re.compile("evenly round clockwise")).check()
    page.get_by_role("button", name="Go on: mark the rim").click()
    page.locator(".pad.live").wait_for()
    marks = page.locator("[data-marks]")
    for across, down in ((0.5, 0.065), (0.935, 0.5), (0.5, 0.935)):
        box = marks.bounding_box()
        assert box
        marks.click(position={"x": across * box["width"], "y": down * box["height"]})
    page.get_by_role("button", name="Show the plates").click()
    page.wait_for_url("**/plates/read/**", wait_until="networkidle")


def wait_for_cuts(page: Page, base: str) -> None:
    """The demo's bottles are cut out of their pictures beside the pages: wait until no more come."""
    before, now = -1, 0
    while before != now or not now:
        before = now
        page.wait_for_timeout(15_000)
        page.goto(base + "/")
        now = page.locator("#collection img").count()


def main() -> int:
    """Start the demo, open each page, keep its top as a JPEG."""
    with tempfile.TemporaryDirectory() as home, sync_playwright() as playwright:
        running = start(Path(home), "--demo")
        try:
            browser = playwright.chromium.launch(
                executable_path="/usr/bin/chromium", args=["--no-sandbox", "--disable-gpu"]
            )
            context = browser.new_context()
            page = context.new_page()
            page.goto(running.link)
            wait_for_cuts(page, running.base)
            for name, (path, (width, height), tall) in SHOTS.items():
                page.set_viewport_size({"width": width, "height": height})
                page.goto(running.base + path, wait_until="networkidle")
                if name == "plate":
                    read_worn_base(page)
                shot = Image.open(io.BytesIO(page.screenshot(full_page=True))).convert("RGB")
                shot = shot.crop((0, 0, shot.width, min(tall, shot.height)))
                shot.save(FOLDER / f"{name}.jpg", quality=82, optimize=True, progressive=True)
                print(f"{name}.jpg {shot.size}")
            browser.close()
        finally:
            running.stop()
    return 0


if __name__ == "__main__":
    sys.exit(main())
