"""Pages to carry away, opened from a disk without a network; the exhibit there and in the catalogue."""

import sqlite3
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from catalogue.specimens.search.folding import fold
from tests.browser.carried_pieces import WRITTEN
from tests.browser.conftest import Served, copy_database
from tests.browser.judge import violations_in_light_and_dark
from tests.running import PATIENCE_S, ROOT, surroundings

TABLET = {"width": 768, "height": 1024}


@pytest.fixture(scope="module")
def folder(served: Served, tmp_path_factory: pytest.TempPathFactory, request: pytest.FixtureRequest) -> Path:
    """The folder as a stick holds it, made by a process of its own.

    Its exhibit comes in parts of so many pieces as an indirect parameter says, else whole.
    """
    home = tmp_path_factory.mktemp("carried")
    data, target = home / "data", home / "stick" / "bottles"
    for each in (data, target.parent):
        each.mkdir()
    copy_database(served.let_in, data / "catalogue.sqlite3")
    around = surroundings(home, SILTMARK_DATA=str(data), DJANGO_SETTINGS_MODULE="catalogue.settings")
    words = [sys.executable, "-m", "tests.browser.carried_pieces", str(target)]
    words += [str(each) for each in [getattr(request, "param", None)] if each]
    subprocess.run(words, cwd=ROOT, env=around, check=True, timeout=PATIENCE_S)
    return target


@pytest.fixture
def from_disk(chromium: Browser, folder: Path) -> Iterator[Callable[..., Page]]:
    """Opens pages of the folder in browsers without a network; fails where one asks for anything else."""
    contexts: list[BrowserContext] = []
    asked: list[str] = []
    said: list[str] = []

    def open_one(name: str = "index.html", **wanted: object) -> Page:
        context = chromium.new_context(offline=True, **wanted)
        contexts.append(context)
        context.on("request", lambda request: asked.append(request.url))
        # one that is called off as its page is left, or closed, is none that fails
        context.on(
            "requestfailed",
            lambda request: (
                None
                if request.failure == "net::ERR_ABORTED"
                else said.append(f"{request.url}: {request.failure}")
            ),
        )
        context.on("console", lambda told: said.append(told.text) if told.type == "error" else None)
        context.on("weberror", lambda raised: said.append(str(raised.error)))
        page = context.new_page()
        page.goto(f"{folder.as_uri()}/{name}")
        return page

    yield open_one
    for context in contexts:
        context.close()
    assert asked and [url for url in asked if not url.startswith(f"{folder.as_uri()}/")] == []
    assert said == [], "the browser complains"


def search(page: Page, words: str) -> list[str]:
    """Names of what the search shows."""
    page.fill("#words", words)
    expect(page.locator("#found-said")).to_contain_text("piece")
    return page.locator("#found .name").all_text_contents()


def test_it_is_searched_and_filtered_from_a_disk(from_disk) -> None:
    page = from_disk()
    expect(page.locator("#all-pieces .card")).to_have_count(16)
    assert search(page, "aqua SODA") == ["Aqua soda bottle"]
    expect(page.locator("#all-pieces")).to_be_hidden()
    assert search(page, "1933") == search(page, "1930s") == ["Aqua soda bottle"]
    assert search(page, "1935") == [] and search(page, "zanzibarine") == []
    expect(page.locator("#found-said")).to_have_text("No pieces")
    page.fill("#words", "")
    expect(page.locator("#all-pieces")).to_be_visible()
    page.select_option("#by-towns", label="Port Ellarn")
    expect(page.locator("#found-said")).to_have_text("15 pieces")
    page.check("#free-alone")
    assert search(page, "") == ["Ink cone"]
    page.select_option("#by-towns", "")
    page.select_option("#by-decades", label="1930s")
    assert search(page, "") == ["Aqua soda bottle"]
    page.click("#found .name")
    expect(page.locator("h1")).to_have_text("Aqua soda bottle")
    page.go_back()
    expect(page.locator("#found .name")).to_have_text("Aqua soda bottle")
    assert page.locator("#free-alone").is_checked()


def test_what_was_found_has_picture_and_years_and_comes_in_parts(from_disk) -> None:
    page = from_disk()
    assert len(search(page, "bottle")) == 16
    page.click("#found-more")
    expect(page.locator("#found .card")).to_have_count(30)
    expect(page.locator("#found-more")).to_be_hidden()
    assert search(page, "soda") == ["Aqua soda bottle"]
    picture = page.locator("#found img")
    picture.scroll_into_view_if_needed()
    page.wait_for_function("() => document.querySelector('#found img').naturalWidth > 100")
    expect(page.locator("#found .ruler-labels text:visible").first).to_be_visible()


@pytest.mark.parametrize("written", WRITTEN)
def test_words_fold_as_in_the_catalogue(from_disk, written: str) -> None:
    page = from_disk()
    for line in fold(written).split("\n"):
        # So short a word as "th" stands in others too.
        found = search(page, line.strip())
        assert "Ink cone" in found and len(found) <= 2, line
    assert "Ink cone" in search(page, written)


def test_without_script_it_is_a_plain_list(from_disk) -> None:
    page = from_disk(java_script_enabled=False)
    expect(page.locator("#search-pieces")).to_be_hidden()
    expect(page.locator(".card")).to_have_count(16)
    page.click("text=Next page")
    expect(page.locator(".card")).to_have_count(14)
    page.click("header >> text=Decades")
    page.click("text=1930s")
    page.click("text=Aqua soda bottle")
    expect(page.locator("h1")).to_have_text("Aqua soda bottle")
    page.click("a[rel=next]")
    expect(page.locator("h1")).to_have_text("Bottle 27")


def place(page: Page) -> str:
    return page.locator("#exhibit-place").inner_text()


def test_the_exhibit_turns_by_button_and_key(from_disk) -> None:
    page = from_disk("exhibit.html", viewport=TABLET)
    first = page.locator(".exhibit-what").inner_text()
    assert place(page) == "1 of 30"
    page.click("#exhibit-on")
    assert place(page) == "2 of 30" and page.locator(".exhibit-what").inner_text() != first
    page.wait_for_function("() => document.getElementById('exhibit-img').naturalWidth > 100")
    page.keyboard.press("ArrowRight")
    assert place(page) == "3 of 30"
    page.keyboard.press("ArrowLeft")
    page.click("#exhibit-back")
    page.click("#exhibit-back")
    assert place(page) == "30 of 30"
    page.reload()
    assert place(page) == "30 of 30"
    page.select_option("#exhibit-order", "years")
    page.goto(page.url.split("#")[0] + "?order=years")
    expect(page.locator(".exhibit-what")).to_have_text("Aqua soda bottle")
    page.goto(page.url.split("?")[0] + "?order=town")
    expect(page.locator(".exhibit-what")).to_have_text("Aqua soda bottle")
    assert page.locator("a").all_text_contents() == ["Leave"]
    page.click("text=Leave")
    expect(page.locator("h1")).to_contain_text("Old bottles")


def test_the_exhibit_turns_by_swipe(from_disk) -> None:
    page = from_disk("exhibit.html", viewport=TABLET, has_touch=True)

    def swipe(across: int, down: int = 0) -> None:
        touch = page.context.new_cdp_session(page)
        x, y = 400, 400
        touch.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [{"x": x, "y": y}]})
        for n in range(1, 6):
            at = {"x": x + across * n / 5, "y": y + down * n / 5}
            touch.send("Input.dispatchTouchEvent", {"type": "touchMove", "touchPoints": [at]})
        touch.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})

    swipe(-200)
    expect(page.locator("#exhibit-place")).to_have_text("2 of 30")
    swipe(200)
    expect(page.locator("#exhibit-place")).to_have_text("1 of 30")
    swipe(10)
    swipe(60, 200)
    expect(page.locator("#exhibit-place")).to_have_text("1 of 30")


def test_the_exhibit_turns_by_itself_only_when_asked(from_disk) -> None:
    page = from_disk("about.html", viewport=TABLET)
    page.clock.install()
    page.click("main >> text=The exhibit")
    page.clock.run_for(60_000)
    assert place(page) == "1 of 30"
    page.click("#exhibit-play")
    page.clock.run_for(16_500)
    assert place(page) == "3 of 30"
    page.click("text=Stop turning")
    page.clock.run_for(60_000)
    assert place(page) == "3 of 30"


IN_PARTS = pytest.mark.parametrize("folder", [7], indirect=True)


def stands(page: Page, words: str) -> None:
    """Wait until the exhibit stands there, and its picture is loaded."""
    expect(page.locator("#exhibit-place")).to_have_text(words)
    page.wait_for_function("() => document.getElementById('exhibit-img')?.naturalWidth > 100")


@IN_PARTS
def test_the_exhibit_goes_on_from_part_to_part(from_disk) -> None:
    """Thirty pieces in parts of seven: each is met once, and after the last comes the first again."""
    page = from_disk("exhibit.html", viewport=TABLET)
    places = [(n, size, part) for part, size in enumerate((7, 7, 7, 7, 2), 1) for n in range(1, size + 1)]
    met = []
    for n, size, part in places:
        stands(page, f"{n} of {size}, part {part} of 5")
        met.append(page.locator(".exhibit-what").inner_text())
        page.keyboard.press("ArrowRight")
    assert len(set(met)) == 30
    stands(page, "1 of 7, part 1 of 5")
    page.click("#exhibit-back")
    stands(page, "2 of 2, part 5 of 5")
    assert page.locator(".exhibit-what").inner_text() == met[-1]
    page.reload()
    stands(page, "2 of 2, part 5 of 5")
    page.click("#exhibit-on")
    stands(page, "1 of 7, part 1 of 5")
    # the browser's own way back leads to where one was
    page.go_back()
    stands(page, "2 of 2, part 5 of 5")
    page.click("text=Leave")
    expect(page.locator("h1")).to_contain_text("Old bottles")


@IN_PARTS
def test_the_next_part_keeps_the_order_and_goes_on_turning(from_disk) -> None:
    page = from_disk("exhibit.html", viewport=TABLET)
    page.clock.install()
    page.goto(page.url.split("#")[0] + "?order=town")
    page.click("#exhibit-play")
    for n in range(2, 8):
        page.clock.run_for(8_000)
        stands(page, f"{n} of 7, part 1 of 5")
    page.clock.run_for(8_000)
    stands(page, "1 of 7, part 2 of 5")
    expect(page.locator("#exhibit-order")).to_have_value("town")
    expect(page.locator("#exhibit-play")).to_have_text("Stop turning")
    page.clock.run_for(8_000)
    stands(page, "2 of 7, part 2 of 5")
    page.click("text=Stop turning")
    page.clock.run_for(60_000)
    stands(page, "2 of 7, part 2 of 5")


@pytest.mark.parametrize("width", [320, 390, 1280])
def test_nothing_is_wider_than_the_screen(from_disk, width: int) -> None:
    page = from_disk(viewport={"width": width, "height": 800})
    top = page.url.rsplit("/", 1)[0]
    for name in ("towns", "about", "exhibit", "index"):
        page.goto(f"{top}/{name}.html")
        assert page.evaluate("document.documentElement.scrollWidth") <= width, name
    page.locator("text=Aqua soda bottle").first.click()
    expect(page.locator("article")).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_an_outside_judge_finds_nothing_amiss(from_disk) -> None:
    page = from_disk(viewport={"width": 390, "height": 844})
    top = page.url.rsplit("/", 1)[0]
    found = []
    for name in ("index.html", "index.html#words=soda", "towns.html", "about.html", "exhibit.html"):
        page.goto(f"{top}/{name}")
        found += [(name, *each) for each in violations_in_light_and_dark(page)]
    page.goto(f"{top}/index.html")
    page.locator("text=Aqua soda bottle").first.click()
    expect(page.locator("article")).to_be_visible()
    found += [("piece", *each) for each in violations_in_light_and_dark(page)]
    assert found == []


@pytest.mark.begins_with("pictured")
def test_the_exhibit_in_the_catalogue(visitor_page: Page, served: Served) -> None:
    with closing(sqlite3.connect(served.database, timeout=30)) as direct, direct:
        direct.execute("UPDATE specimens_specimen SET shared = 1 WHERE number = '2024.1.1'")
    visitor_page.goto("/giving/")
    visitor_page.click("text=The exhibit")
    expect(visitor_page.locator("#exhibit-place")).to_have_text("1 of 1")
    visitor_page.wait_for_function("() => document.getElementById('exhibit-img').naturalWidth > 100")
    visitor_page.keyboard.press("ArrowRight")
    assert violations_in_light_and_dark(visitor_page) == []
    visitor_page.click("text=Leave")
    expect(visitor_page.locator("h1")).to_have_text("Giving")
