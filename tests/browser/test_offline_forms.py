"""With no network: buttons, words of any form and a card are kept in the browser, or said not done."""

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Page, Route, expect

from tests.browser.conftest import PHONE, Watch
from tests.browser.test_card import TAGS, groups, payload
from tests.browser.test_unsent import OF_THE_CUT, cut, mend, network_address, note, save
from tests.photos.card_shots import card
from tests.running import start

ARRIVE = "**/card/arrive/**"
KEPT = """() => new Promise((done, failed) => {
  const asked = indexedDB.open("siltmark-unsent", 1);
  asked.onerror = () => failed(asked.error);
  asked.onsuccess = () => {
    const rows = asked.result.transaction("records").objectStore("records").getAll();
    rows.onsuccess = () => {
      asked.result.close();
      done(rows.result.map((row) => [row.state, JSON.stringify(row.words)]));
    };
  };
})"""


@pytest.fixture(autouse=True)
def no_network_is_no_complaint(watch: Watch) -> Iterator[None]:
    yield
    watch.complaints[:] = [said for said in watch.complaints if not any(part in said for part in OF_THE_CUT)]


def kept(page: Page, count: int, words: str = "") -> None:
    """Wait until so many records with these words are kept in the browser."""
    for _ in range(400):
        if sum(words in row[1] for row in page.evaluate(KEPT)) == count:
            return
        page.wait_for_timeout(50)
    raise AssertionError(page.evaluate(KEPT))


def pressed(page: Page, name: str) -> None:
    """The button of a row of choices is the one that holds."""
    button = page.get_by_role("button", name=name, exact=True, include_hidden=True)
    expect(button).to_have_attribute("aria-pressed", "true")


@pytest.mark.begins_with("six")
def test_a_stage_pressed_without_a_network_is_kept_and_sent(phone):
    phone.goto("/finds/")
    phone.locator(".find-row .name").first.click()
    phone.wait_for_url(re.compile(r"/finds/\d{4}\."))
    cut(phone)
    phone.get_by_role("button", name="cleaning", exact=True).click()
    expect(note(phone)).to_contain_text("There is no connection. “cleaning” is kept")
    assert phone.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    mend(phone)
    expect(note(phone)).to_contain_text("“cleaning” is saved now")
    note(phone).get_by_role("button", name="Look at it").click()
    pressed(phone, "cleaning")


@pytest.mark.begins_with("six")
def test_a_press_is_sent_by_the_next_page_or_taken_back(phone):
    phone.goto("/finds/")
    phone.locator(".find-row .name").first.click()
    phone.wait_for_url(re.compile(r"/finds/\d{4}\."))
    address = phone.url
    cut(phone)
    phone.get_by_role("button", name="cleaning", exact=True).click()
    note(phone).get_by_role("button", name="Take it back").click()
    expect(note(phone)).to_have_count(0)
    kept(phone, 0)
    phone.get_by_text("Kept, only you see it").click()
    phone.get_by_role("button", name="free to take", exact=True).click()
    expect(note(phone)).to_contain_text("“free to take” is kept")
    again = phone.context.new_page()
    phone.close()
    mend(again)
    again.goto("/dives/")
    again.get_by_text("“free to take” was kept").wait_for()
    again.goto(address)
    pressed(again, "free to take")
    pressed(again, "wet")


@pytest.mark.begins_with("six")
def test_a_lost_answer_to_a_press_does_nothing_twice(phone):
    phone.goto("/finds/")
    phone.locator(".find-row .name").first.click()
    phone.wait_for_url(re.compile(r"/finds/\d{4}\."))

    cut(phone)
    phone.get_by_text("Kept, only you see it").click()
    phone.get_by_role("button", name="free to take", exact=True).click()
    expect(note(phone)).to_contain_text("is kept")
    lost: list[int] = []

    def answer_lost(route: Route) -> None:
        if lost:
            return route.continue_()
        lost.append(route.fetch(max_redirects=0).status)
        return route.abort()

    phone.route("**/giving/*/standing/", answer_lost)
    mend(phone)
    expect(note(phone)).to_contain_text("is saved now")
    assert len(lost) == 1
    phone.unroute_all(behavior="wait")
    phone.reload()
    pressed(phone, "free to take")


@pytest.mark.begins_with("bath")
def test_what_counts_at_its_moment_is_not_done_without_a_network(phone):
    phone.goto("/workbench/baths/1/")
    phone.get_by_role("button", name=re.compile("clock")).wait_for()
    cut(phone)
    phone.get_by_role("button", name=re.compile("clock")).click()
    expect(note(phone)).to_contain_text("There is no connection: nothing was done.")
    kept(phone, 0)
    mend(phone)
    phone.get_by_role("button", name=re.compile("clock")).click()
    expect(phone.locator("#in-heading")).to_be_visible()
    cut(phone)
    # A piece that comes out has a field for the minute: that of the press is sent along.
    phone.get_by_role("button", name=re.compile("out$")).first.click()
    expect(note(phone)).to_contain_text("the catalogue can’t be reached")
    mend(phone)
    expect(phone.locator("#in-heading")).to_have_count(0)


@pytest.mark.parametrize(
    ("address", "label", "words"),
    [
        ("/dives/sites/new/", "Name", "Tallow Cove"),
        ("/makers/new/", "Name", "Tern & Hollis"),
        ("/people/new/", "Name", "Orla Fenn"),
    ],
)
def test_words_of_any_form_survive_a_closed_tab(phone, address, label, words):
    phone.goto(address)
    expect(phone.locator("[data-beforehand]")).to_contain_text("can’t be opened again without the network")
    phone.get_by_label(label).first.fill(words)
    kept(phone, 1, words)
    again = phone.context.new_page()
    phone.close()
    again.goto(address)
    expect(note(again)).to_contain_text(re.compile(r"You had begun this at \d\d:\d\d"))
    expect(again.get_by_label(label).first).to_have_value("")
    note(again).get_by_role("button", name="Take it up").click()
    expect(again.get_by_label(label).first).to_have_value(words)
    again.get_by_role("button", name=re.compile("^Save")).first.click()
    again.wait_for_url(lambda url: not url.endswith("/new/"))
    again.goto(address)
    again.wait_for_load_state("networkidle")
    expect(note(again)).to_have_count(0)
    kept(again, 0)


def test_a_draft_beside_newer_words_does_not_undo_them(phone):
    phone.goto("/dives/sites/new/")
    phone.get_by_label("Name").first.fill("Tallow Cove")
    save(phone)
    phone.wait_for_url("**/dives/sites/tallow-cove/")
    address = "/dives/sites/tallow-cove/edit/"
    phone.goto(address)
    phone.locator("main form[method=post] textarea").first.fill("Begun here")
    kept(phone, 1, "Begun here")
    other = phone.context.new_page()
    phone.close()
    other.goto(address)
    note(other).wait_for()
    other.get_by_label("Name").first.fill("Tallow Bay")
    save(other)
    other.wait_for_url(lambda url: "edit" not in url)
    other.goto(address)
    expect(note(other)).to_contain_text("were changed since")
    expect(other.get_by_label("Name").first).to_have_value("Tallow Bay")
    note(other).get_by_role("button", name="Take it up").click()
    save(other)
    expect(other.locator("main")).to_contain_text("Another page changed name meanwhile")
    expect(other.get_by_label("Name").first).to_have_value("Tallow Bay")
    expect(other.locator("main form[method=post] textarea").first).to_have_value("Begun here")


def test_signing_out_deletes_what_this_browser_keeps(phone, served):
    phone.goto("/dives/sites/new/")
    phone.get_by_label("Name").first.fill("Tallow Cove")
    kept(phone, 1, "Tallow Cove")
    other = phone.context.new_page()
    other.goto("/settings/")
    other.on("dialog", lambda asked: asked.accept())
    other.get_by_role("button", name="Sign out here").click()
    other.wait_for_url("**/enter/")
    kept(other, 0)
    # Nor does the page that was open then keep it once more.
    phone.get_by_label("Name").first.press_sequentially(" East")
    phone.wait_for_timeout(600)
    phone.close()
    other.goto(served.running.link)
    other.goto("/dives/sites/new/")
    other.wait_for_load_state("networkidle")
    expect(note(other)).to_have_count(0)
    kept(other, 0)


# A camera's card


def files() -> list[dict]:
    return [payload(each.file) for each in card(TAGS[:2], each=2)]


def choose(page: Page) -> None:
    page.locator("#card-files").set_input_files(files())


def before_the_first_byte(page: Page) -> None:
    cut(page)
    choose(page)


def in_the_middle_of_a_file(page: Page) -> None:
    under_way: list[Route] = []

    def hold(route: Route) -> None:
        under_way.append(route) if route.request.method == "POST" else route.continue_()

    page.route(ARRIVE, hold)
    with page.expect_request(lambda asked: asked.method == "POST" and "/arrive/" in asked.url):
        choose(page)
    cut(page)
    for route in under_way:
        route.abort()
    page.unroute(ARRIVE)


def after_the_last_byte(page: Page) -> None:
    """The catalogue has the picture; its answer never leaves."""
    answered: list[Route] = []

    def unanswered(route: Route) -> None:
        if route.request.method != "POST":
            return route.continue_()
        route.fetch()
        answered.append(route)
        # Two go at once: the second's answer may come when the network is mended already.
        if len(answered) == 1:
            cut(page)
        return route.abort()

    page.route(ARRIVE, unanswered)
    choose(page)


def after_the_answer(page: Page) -> None:
    """The answer came, and the page was gone before its script read it."""
    answered = []

    def too_late(route: Route) -> None:
        if route.request.method != "POST":
            return route.continue_()
        route.fetch()
        answered.append(route)  # the page is left with it
        return None

    page.route(ARRIVE, too_late)
    choose(page)
    kept(page, 6)
    for _ in range(100):
        if answered:
            break
        page.wait_for_timeout(50)
    cut(page)
    for route in answered:
        route.abort()


MOMENTS = [before_the_first_byte, in_the_middle_of_a_file, after_the_last_byte, after_the_answer]


@pytest.mark.begins_with("dive")
@pytest.mark.parametrize("moment", MOMENTS)
@pytest.mark.parametrize("closed", [False, True], ids=["open", "closed"])
def test_a_card_cut_off_loses_and_doubles_no_picture(phone, moment, closed):
    phone.goto("/dives/2026/1/card/")
    moment(phone)
    expect(phone.locator("[data-waits]")).to_contain_text(re.compile(r"\d pictures? waits? in this browser"))
    expect(phone.locator("[data-waits]")).to_contain_text("also if this page is closed")
    assert phone.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    # A second picture's answer may still be on its way into the cut: what becomes of it is not asked.
    phone.unroute_all(behavior="ignoreErrors")
    if closed:
        again = phone.context.new_page()
        phone.close()
        phone = again
    mend(phone)
    if closed:
        phone.goto("/dives/2026/1/card/")
    expect(groups(phone)).to_have_count(2)
    expect(phone.get_by_role("checkbox")).to_have_count(6)
    kept(phone, 0)


@pytest.mark.begins_with("dive")
def test_on_plain_http_as_well(new_browser, own_folder, tmp_path, watch):
    """By the address on the network: no service worker, no `randomUUID`, no digest of the browser's own."""
    network = start(tmp_path, "--lan", "--data", str(own_folder))
    watch.base = base = network.base.replace("127.0.0.1", network_address())
    try:
        phone = new_browser(viewport=PHONE, base_url=base)
        phone.goto(network.link.replace(network.base, base))
        assert phone.evaluate("window.isSecureContext") is False
        phone.goto("/dives/2026/1/card/")
        after_the_last_byte(phone)
        expect(phone.locator("[data-waits]")).to_contain_text("also if this page is closed")
        phone.unroute_all(behavior="ignoreErrors")
        again = phone.context.new_page()
        phone.close()
        mend(again)
        again.goto("/dives/2026/1/card/")
        expect(groups(again)).to_have_count(2)
        expect(again.get_by_role("checkbox")).to_have_count(6)
        again.goto("/dives/sites/new/")
        again.get_by_label("Name").first.fill("Tallow Cove")
        kept(again, 1, "Tallow Cove")
        again.reload()
        note(again).get_by_role("button", name="Take it up").click()
        expect(again.get_by_label("Name").first).to_have_value("Tallow Cove")
    finally:
        assert network.stop() == 0


@pytest.mark.begins_with("dive")
def test_any_page_of_the_owner_sends_the_rest_of_a_card(phone):
    phone.goto("/dives/2026/1/card/")
    before_the_first_byte(phone)
    expect(phone.locator("[data-waits]")).to_contain_text("6 pictures wait in this browser")
    kept(phone, 6)
    again = phone.context.new_page()
    phone.close()
    again.route(ARRIVE, lambda route: route.abort())
    mend(again)
    again.goto("/finds/")
    expect(again.locator("main > .message")).to_contain_text("6 pictures of a card wait in this browser")
    again.unroute(ARRIVE)
    expect(again.locator("main > .message")).to_contain_text("6 pictures of a card that were kept")
    again.get_by_role("link", name="Look at the card").click()
    expect(again.locator(".card-next")).to_contain_text("6 pictures")
    kept(again, 0)


@pytest.mark.begins_with("dive")
def test_words_beside_a_card_survive_a_closed_tab(phone):
    phone.goto("/dives/2026/1/card/")
    choose(phone)
    expect(groups(phone)).to_have_count(2)
    cut(phone)
    groups(phone).nth(0).get_by_label("What it is, if you know").fill("Ink bottle")
    kept(phone, 1, "Ink bottle")
    again = phone.context.new_page()
    phone.close()
    mend(again)
    again.goto("/dives/2026/1/card/")
    expect(note(again)).to_contain_text("You had begun this at")
    with again.expect_response(lambda answer: answer.status == 204):
        note(again).get_by_role("button", name="Take it up").click()
    again.reload()
    expect(groups(again).nth(0).get_by_label("What it is, if you know")).to_have_value("Ink bottle")
    again.wait_for_load_state("networkidle")
    expect(note(again)).to_have_count(0)
