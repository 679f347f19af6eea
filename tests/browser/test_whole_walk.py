"""The main job walked once: from the link to a stranger at the giveaways."""

import re

import pypdfium2
import zxingcpp
from playwright.sync_api import expect

from tests.browser.conftest import PHONE
from tests.browser.test_browse import add_maker
from tests.browser.test_record import PICTURES, at_its_page, open_part, read_the_base, save, years


def test_from_the_link_to_a_visitor_at_the_giveaways(new_browser, visitor_page, catalogue):
    # The owner comes in by the link; a maker of her own, one digit, used through three decades.
    page = new_browser()
    page.goto(catalogue.link)
    add_maker(page)
    page.locator("#id_codes-0-valid_from").fill("1922")
    page.locator("#id_codes-0-valid_to").fill("1950")
    page.get_by_role("button", name="Save the maker").click()
    page.wait_for_url("**/makers/brackwater-bottle-company/")

    # A site whose position is nobody's business, and a dive there.
    page.goto("/dives/sites/new/")
    page.get_by_label("Name").fill("Tallow Cove")
    page.get_by_label("Latitude").fill("43 53.382 N")
    page.get_by_label("Longitude").fill("51 14.490 W")
    page.get_by_role("button", name="Save").click()
    page.wait_for_url("**/dives/sites/tallow-cove/")
    page.get_by_role("link", name="Record a dive here").click()
    page.get_by_label("Date").fill("2024-06-01")
    page.get_by_role("button", name="Save").click()
    page.wait_for_url("**/dives/2024/1/")

    # On the quay, with a phone: two pictures, the mark, the town.
    phone = new_browser(viewport=PHONE, storage_state=page.context.storage_state())
    phone.goto(f"{page.url}")
    phone.get_by_role("link", name="Record a find from it").click()
    phone.locator("input[type=file]").set_input_files(PICTURES)
    phone.locator(".picker-list li.there").nth(1).wait_for()
    phone.get_by_label("What it is").fill("Aqua ginger-beer bottle")
    read_the_base(phone, "6")
    years(phone).get_by_text("one of 1926, 1936, 1946").wait_for()
    open_part(phone, "trade")
    phone.locator("#part-trade [name$=town]").fill("Marrowby")
    save(phone)
    number = at_its_page(phone)
    assert number == "2024.1.1"
    expect(phone.locator("main")).to_contain_text("one of 1926, 1936, 1946", use_inner_text=True)

    # She finds it again under its town.
    page.goto("/towns/")
    page.get_by_role("link", name="Marrowby").first.click()
    page.wait_for_url("**/towns/marrowby/")
    expect(page.locator("main")).to_contain_text(number, use_inner_text=True)

    # Its label: a PDF whose code leads back to the piece.
    page.goto(f"/labels/?find={number}")
    expect(page.locator(f"input[name=find][value='{number}']")).to_be_checked()
    made = page.context.request.post(
        "/labels/",
        form={
            "csrfmiddlewaretoken": page.locator("[name=csrfmiddlewaretoken]").first.input_value(),
            "find": number,
            "sheet": "a4-21",
            "kind": "shelf",
            "start_at": "1",
            "right_mm": "0",
            "down_mm": "0",
        },
        headers={"Referer": page.url},
    )
    assert made.headers["content-type"] == "application/pdf"
    printed = pypdfium2.PdfDocument(made.body())
    assert number in printed[0].get_textpage().get_text_range()
    picture = printed[0].render(scale=300 / 72).to_pil()
    codes = [found.text for found in zxingcpp.read_barcodes(picture)]
    # A default start is no address for a phone: the code holds the number alone, which search reads.
    assert codes == [number]
    printed.close()

    # Anyone may have it.
    page.goto(f"/search/?q={codes[0]}")
    page.wait_for_url(f"**/finds/{number}/")
    page.get_by_text("Kept, only you see it").click()
    page.get_by_role("button", name="free to take").click()
    expect(page.get_by_role("button", name="free to take")).to_have_attribute("aria-pressed", "true")

    # A stranger sees it at the giveaways, and nowhere does it say where it lay.
    visitor_page.goto("/giving/")
    visitor_page.get_by_role("link", name="Aqua ginger-beer bottle").first.click()
    visitor_page.wait_for_url(f"**/finds/{number}/")
    shown = visitor_page.content()
    assert "one of 1926, 1936, 1946" in shown
    for secret in ("43.8897", "51.2415", "53.38", "14.49", "43°", "51°"):
        assert secret not in shown
    # The places of words within a drawing are numbers of their own.
    undrawn = re.sub(r"<svg\b.*?</svg>", "", shown, flags=re.DOTALL)
    assert not re.search(r"4[34]\.\d{2,}|-5[12]\.\d{2,}", undrawn)
    visitor_page.goto("/dives/sites/tallow-cove/")
    assert "/enter/" in visitor_page.url
