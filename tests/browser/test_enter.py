"""The owner enters by the link; nobody else does."""

import io
import re

import zxingcpp
from PIL import Image
from playwright.sync_api import expect

from tests.browser.conftest import PHONE
from tests.running import start


def test_the_link_opens_the_catalogue_in_one_browser(new_browser, visitor_page, catalogue):
    page = new_browser()
    page.goto(catalogue.link)
    expect(page).to_have_url(f"{catalogue.base}/")
    rooms = page.get_by_role("navigation", name="Rooms")
    for name in ("Finds", "Towns", "Makers", "Dives", "Workbench", "Shelves", "Giving"):
        expect(rooms.get_by_role("link", name=name)).to_be_visible()
    expect(page.get_by_role("link", name="Record a find").first).to_be_visible()

    visitor_page.goto(catalogue.link)
    expect(visitor_page.get_by_role("heading", level=1)).to_have_text(
        re.compile(r"^\s*This link does not open")
    )

    page.goto(catalogue.link)
    expect(page).to_have_url(f"{catalogue.base}/")


def test_a_visitor_sees_the_giveaways_alone(page, visitor_page):
    visitor_page.goto("/finds/")
    expect(visitor_page.get_by_role("heading", level=1)).to_have_text("This catalogue belongs to somebody")
    rooms = visitor_page.get_by_role("navigation", name="Rooms").get_by_role("link")
    expect(rooms).to_have_text(["Giving"])
    expect(visitor_page.get_by_role("link", name="Settings")).to_have_count(0)

    visitor_page.get_by_role("link", name="Show what is given away").click()
    expect(visitor_page).to_have_url(re.compile(r"/giving/$"))
    expect(visitor_page.get_by_role("heading", level=1)).to_be_visible()


def test_a_phone_pairs_by_the_code_on_the_screen_and_is_signed_out(new_browser, own_folder, tmp_path, watch):
    """With --lan; the code is read off a picture of the screen, by another program than drew it."""
    network = start(tmp_path, "--lan", "--data", str(own_folder))
    watch.base = network.base
    try:
        desk, phone = new_browser(), new_browser(viewport=PHONE)
        desk.goto(network.link)
        desk.goto(f"{network.base}/settings/phones/")
        show = desk.get_by_role("button", name="Show a code")
        if not show.count():
            # A machine without any network can only say so.
            expect(desk.get_by_text("has no address on a network just now")).to_be_visible()
            return
        show.click()
        code = Image.open(io.BytesIO(desk.locator("svg.qr").screenshot()))
        (read,) = zxingcpp.read_barcodes(code)
        address = re.fullmatch(r"(http://[\d.]+:\d+)/enter/[\w-]+/", read.text)
        watch.also.add(address[1])
        phone.goto(read.text)
        expect(phone.get_by_role("navigation", name="Main").get_by_role("link", name="Finds")).to_be_visible()

        desk.goto(f"{network.base}/settings/")
        desk.get_by_role("button", name=re.compile("^Sign out (?!here)")).click()
        desk.get_by_text("Signed out.").wait_for()
        phone.goto(f"{address[1]}/settings/")
        assert "/enter/" in phone.url
    finally:
        assert network.stop() == 0
