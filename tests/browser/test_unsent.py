"""Nothing that was given is lost: the network cut at four moments, a sign-in that ended, two quick taps."""

import re
import socket
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing

import pytest
from playwright.sync_api import Page, Route, expect

from tests.browser.conftest import PATIENCE_MS, PHONE, Served, Watch
from tests.browser.test_pictures import BAD, DRY, WET, rows
from tests.running import start

FIND = re.compile(r"/finds/\d{4}\.\d+\.\d+/$")
# What htmx says of a question that did not get through, or that had a token from before the sign-in.
OF_THE_CUT = ("net::ERR", "htmx:sendError", "Error Code 403 from /finds/")
HOLD = "**/photos/hold/**"


@pytest.fixture(autouse=True)
def no_network_is_no_complaint(watch: Watch) -> Iterator[None]:
    """These tests cut the line themselves, which the browser's console tells each time."""
    yield
    watch.complaints[:] = [said for said in watch.complaints if not any(part in said for part in OF_THE_CUT)]


def network_address() -> str:
    """This machine's own address on a network, which a browser does not take for the machine itself."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        probe.connect(("192.0.2.1", 9))
        return probe.getsockname()[0]


def cut(page: Page) -> None:
    page.context.set_offline(True)


def mend(page: Page) -> None:
    page.context.set_offline(False)


def save(page: Page) -> None:
    page.get_by_role("button", name="Save", exact=True).first.click()


def note(page: Page):
    return page.locator(".unsent-note")


def says_it_is_kept(page: Page, pictures: str) -> None:
    expect(note(page)).to_contain_text("the catalogue can’t be reached")
    expect(note(page)).to_contain_text(f"and its {pictures} stay")
    expect(note(page)).to_contain_text("Leave this page open")
    assert page.url.endswith("/finds/new/")
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]


def is_kept_with(page: Page, pictures: int) -> None:
    page.wait_for_url(FIND)
    expect(page.locator("h1")).to_contain_text("Aqua soda bottle")
    expect(page.locator(".photos > li")).to_have_count(pictures)


def cut_before_choosing(page: Page) -> None:
    cut(page)
    page.locator("#picture-files").set_input_files([WET, DRY])
    expect(rows(page).first).to_contain_text("It is kept in this browser, and tried again in")
    save(page)


def cut_in_mid_upload(page: Page) -> None:
    under_way: list[Route] = []
    page.route(
        HOLD, lambda route: under_way.append(route) if route.request.method == "POST" else route.continue_()
    )
    with page.expect_request(lambda asked: asked.method == "POST" and "/photos/hold/" in asked.url):
        page.locator("#picture-files").set_input_files([WET, DRY])
    save(page)
    cut(page)
    for route in under_way:
        route.abort()
    page.unroute(HOLD)


def cut_between_upload_and_save(page: Page) -> None:
    page.locator("#picture-files").set_input_files([WET, DRY])
    expect(page.locator("[data-list] > li[data-token]")).to_have_count(2)
    cut(page)
    save(page)


def cut_during_save(page: Page) -> None:
    """The catalogue gets it and keeps it; its answer is lost on the way."""
    page.locator("#picture-files").set_input_files([WET, DRY])
    expect(page.locator("[data-list] > li[data-token]")).to_have_count(2)

    def answer_lost(route: Route) -> None:
        if route.request.method != "POST":
            return route.continue_()
        route.fetch(max_redirects=0)
        cut(page)
        return route.abort()

    page.route("**/finds/new/", answer_lost)
    save(page)


MOMENTS = [cut_before_choosing, cut_in_mid_upload, cut_between_upload_and_save, cut_during_save]


@pytest.mark.parametrize("moment", MOMENTS)
def test_the_network_goes_and_comes_back(phone, moment: Callable[[Page], None]):
    phone.goto("/finds/new/")
    expect(phone.locator("[data-beforehand]")).to_be_visible()
    phone.locator("#id_what").fill("Aqua soda bottle")
    moment(phone)
    says_it_is_kept(phone, "2 pictures")
    mend(phone)
    is_kept_with(phone, 2)
    phone.goto("/finds/")
    expect(phone.locator(".find-row")).to_have_count(1)
    phone.goto("/finds/new/")
    phone.wait_for_load_state("networkidle")
    expect(note(phone)).to_have_count(0)


def test_on_plain_http_as_well(new_browser, own_folder, tmp_path, watch):
    """By the address on the network: there the browser has neither service worker nor `randomUUID`."""
    network = start(tmp_path, "--lan", "--data", str(own_folder))
    base = network.base.replace("127.0.0.1", network_address())
    watch.base = base
    try:
        phone = new_browser(viewport=PHONE, base_url=base)
        phone.goto(network.link.replace(network.base, base))
        assert phone.evaluate("[window.isSecureContext, typeof crypto.randomUUID]") == [False, "undefined"]
        for moment in MOMENTS:
            phone.goto("/finds/new/")
            phone.locator("#id_what").fill("Aqua soda bottle")
            moment(phone)
            says_it_is_kept(phone, "2 pictures")
            mend(phone)
            is_kept_with(phone, 2)
            phone.unroute_all()
        phone.goto("/finds/")
        expect(phone.locator(".find-row")).to_have_count(len(MOMENTS))
    finally:
        assert network.stop() == 0


def test_a_page_that_was_closed_unsent_is_sent_by_the_next_one_that_opens(phone):
    phone.goto("/finds/new/")
    phone.locator("#id_what").fill("Aqua soda bottle")
    cut_before_choosing(phone)
    says_it_is_kept(phone, "2 pictures")
    again = phone.context.new_page()
    phone.close()
    mend(again)
    again.goto("/dives/")
    # Closed in the midst of a try, a page has the record to itself for a minute more (CLAIM_MS of queue.js).
    again.get_by_text("“Aqua soda bottle” was kept").wait_for(timeout=PATIENCE_MS + 2 * 60_000)
    again.get_by_role("link", name="Look at it").click()
    is_kept_with(again, 2)


def test_the_next_find_is_recorded_while_the_first_one_waits(phone):
    phone.goto("/finds/new/")
    phone.locator("#id_what").fill("Aqua soda bottle")
    cut_before_choosing(phone)
    says_it_is_kept(phone, "2 pictures")
    note(phone).get_by_role("button", name="Record another").click()
    expect(phone.locator("#id_what")).to_have_value("")
    expect(rows(phone)).to_have_count(0)
    phone.locator("#id_what").fill("Brown jug")
    save(phone)
    expect(note(phone)).to_contain_text("the words of this find stay")
    mend(phone)
    phone.wait_for_url(FIND)
    phone.goto("/finds/")
    expect(phone.locator(".find-row .name")).to_have_text(["Brown jug", "Aqua soda bottle"])


def test_what_is_edited_after_a_lost_answer_is_not_doubled_and_not_dropped(phone):
    phone.goto("/finds/new/")
    phone.locator("#id_what").fill("Aqua soda bottle")
    cut_during_save(phone)
    note(phone).get_by_role("button", name="Go on editing").click()
    phone.unroute_all()
    phone.locator("#id_what").fill("Aqua soda bottle, chipped")
    mend(phone)
    save(phone)
    expect(note(phone)).to_contain_text("What you changed since is not in it")
    expect(phone.locator("#id_what")).to_have_value("Aqua soda bottle, chipped")
    note(phone).get_by_role("link", name="Open what was saved").click()
    is_kept_with(phone, 2)
    phone.goto("/finds/")
    expect(phone.locator(".find-row")).to_have_count(1)


def signed_out(served: Served) -> None:
    with closing(sqlite3.connect(served.database, timeout=30)) as direct, direct:
        direct.execute("DELETE FROM django_session")


def test_an_unsent_record_survives_a_sign_in_that_ended(phone, served):
    phone.goto("/finds/new/")
    phone.locator("#id_what").fill("Aqua soda bottle")
    phone.locator("#picture-files").set_input_files([WET])
    expect(phone.locator("[data-list] > li[data-token]")).to_have_count(1)
    signed_out(served)
    phone.locator("#picture-files").set_input_files([DRY])
    expect(rows(phone).last).to_contain_text("signed out")
    save(phone)
    expect(note(phone)).to_contain_text("signed out meanwhile")
    expect(note(phone)).to_contain_text("and its 2 pictures stay")
    expect(note(phone).get_by_role("link", name="Sign in")).to_have_attribute(
        "href", "/enter/?next=%2Ffinds%2Fnew%2F"
    )
    phone.goto(served.running.link)  # signs in; the CSRF token is another one now
    phone.get_by_text("“Aqua soda bottle” was kept").wait_for()
    phone.get_by_role("link", name="Look at it").click()
    is_kept_with(phone, 2)


def test_a_part_of_the_page_says_that_the_browser_was_signed_out(phone, served):
    """It never shows the sign-in page within itself."""
    phone.goto("/finds/new/")
    signed_out(served)
    phone.locator("#id_what").fill("Aqua soda bottle")
    said = phone.locator("#answer").get_by_role("alert")
    expect(said).to_contain_text("This browser was signed out.")
    expect(said.get_by_role("link", name="Sign in")).to_have_attribute(
        "href", "/enter/?next=%2Ffinds%2Fnew%2F"
    )
    expect(phone.get_by_role("heading", level=1)).to_have_count(1)
    expect(phone.locator("#id_what")).to_have_value("Aqua soda bottle")


def test_signed_in_again_elsewhere_the_open_page_goes_on(phone, served):
    phone.goto("/finds/new/")
    phone.locator("#id_what").fill("Aqua soda bottle")
    signed_out(served)
    other = phone.context.new_page()
    other.goto(served.running.link)
    phone.locator("#picture-files").set_input_files([WET])
    expect(phone.locator("[data-list] > li[data-token]")).to_have_count(1)
    save(phone)
    is_kept_with(phone, 1)


def test_two_quick_taps_keep_one_find(phone):
    phone.goto("/finds/new/")
    phone.locator("#id_what").fill("Aqua soda bottle")
    phone.locator("button[value=save]").first.evaluate("button => { button.click(); button.click(); }")
    phone.wait_for_url(FIND)
    phone.goto("/finds/")
    expect(phone.locator(".find-row")).to_have_count(1)


def test_a_picture_in_a_retry_wait_is_not_dropped_by_save(phone):
    phone.goto("/finds/new/")
    phone.locator("#id_what").fill("Aqua soda bottle")
    phone.route(HOLD, lambda route: route.abort())
    phone.locator("#picture-files").set_input_files([WET])
    expect(rows(phone)).to_contain_text("tried again in")
    save(phone)
    says_it_is_kept(phone, "picture")
    phone.unroute(HOLD)
    note(phone).get_by_role("button", name="Try now").click()
    is_kept_with(phone, 1)


def test_a_picture_that_is_none_does_not_hold_up_the_rest(phone):
    phone.goto("/finds/new/")
    phone.locator("#id_what").fill("Aqua soda bottle")
    phone.locator("#picture-files").set_input_files([WET, BAD])
    expect(rows(phone).filter(has_text="bad.jpg")).to_contain_text("isn't a picture")
    save(phone)
    is_kept_with(phone, 1)


def test_enter_in_a_box_saves_nothing_and_loses_nothing(phone):
    phone.goto("/finds/new/")
    phone.route(HOLD, lambda route: route.abort())
    phone.locator("#picture-files").set_input_files([WET])
    expect(rows(phone)).to_contain_text("tried again in")
    phone.locator("#id_what").fill("Aqua soda bottle")
    phone.locator("#id_what").press("Enter")
    phone.wait_for_timeout(300)
    expect(rows(phone)).to_have_count(1)
    expect(phone.locator("#id_what")).to_have_value("Aqua soda bottle")


def test_another_form_waits_as_well(phone):
    phone.goto("/dives/sites/new/")
    phone.get_by_label("Name").fill("Tallow Cove")
    cut(phone)
    save(phone)
    expect(note(phone)).to_contain_text("the catalogue can’t be reached")
    mend(phone)
    phone.wait_for_url("**/dives/sites/tallow-cove/")


def test_pictures_added_to_a_record_wait_as_well(phone):
    phone.goto("/finds/new/")
    phone.locator("#id_what").fill("Aqua soda bottle")
    save(phone)
    phone.wait_for_url(FIND)
    cut(phone)
    phone.locator("#picture-files").set_input_files([WET, DRY])
    phone.get_by_role("button", name="Add to this record").click()
    expect(note(phone)).to_contain_text("the catalogue can’t be reached")
    mend(phone)
    expect(phone.locator(".photos > li")).to_have_count(2)


def test_roles_of_several_pictures_are_kept_as_they_are_changed(phone):
    phone.goto("/finds/new/")
    phone.locator("#id_what").fill("Aqua soda bottle")
    phone.locator("#picture-files").set_input_files([WET, DRY])
    expect(phone.locator("[data-list] > li[data-token]")).to_have_count(2)
    save(phone)
    phone.wait_for_url(FIND)
    phone.get_by_role("link", name="Arrange").click()
    for picture, role in ((0, "after"), (1, "base")):
        with phone.expect_response("**/photos/roles/**"):
            phone.locator("[data-arrange] select").nth(picture).select_option(role)
    phone.get_by_role("button", name="later").first.click()
    phone.reload()
    said = [each.input_value() for each in phone.locator("[data-arrange] select").all()]
    assert sorted(said) == ["after", "base"]
    phone.get_by_role("button", name="Save", exact=True).click()
    phone.wait_for_url(re.compile(r"/finds/[\d.]+/#pictures$"))
    expect(phone.locator(".photo-role")).to_have_count(2)
