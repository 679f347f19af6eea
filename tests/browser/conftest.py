"""A real browser on the real program: Debian's chromium, driven by plain playwright.

Without chromium these tests are skipped, and say so; with SILTMARK_BROWSER=required they fail instead.
"""

import os
import shutil
import signal
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Request, sync_playwright

from tests.running import Running, start

# Playwright's own loop runs in this thread, which Django takes for asynchronous code.
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"

CHROMIUM = Path("/usr/bin/chromium")
REQUIRED = os.environ.get("SILTMARK_BROWSER") == "required"
# A page that answers 404 or 403 is told to the console as well, and so is a small update that was given up
# because its page was left meanwhile. Neither is a complaint about the page.
NO_COMPLAINT = (
    "Failed to load resource: the server responded with a status of 4",
    "htmx:afterRequest",
    "htmx:sendAbort",
)
PHONE = {"width": 390, "height": 844}


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    here = Path(__file__).parent
    for item in items:
        if here in item.path.parents:
            item.add_marker(pytest.mark.browser)


@dataclass
class Watch:
    """What a browser did that no page of ours may make it do."""

    base: str
    outside: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)

    def on(self, context: BrowserContext) -> None:
        context.on("request", self._request)
        context.on("console", lambda said: self._complain(said.text) if said.type == "error" else None)
        context.on("weberror", lambda raised: self._complain(str(raised.error)))

    def _request(self, request: Request) -> None:
        if request.url.startswith(("data:", "blob:")):
            return
        if urlsplit(request.url).netloc != urlsplit(self.base).netloc:
            self.outside.append(request.url)

    def _complain(self, text: str) -> None:
        if not text.startswith(NO_COMPLAINT):
            self.complaints.append(text)


@dataclass
class Opened:
    """A catalogue that is open, and its rows as they were when it opened."""

    running: Running
    folder: Path
    kept: Path
    used: bool = False

    @property
    def database(self) -> Path:
        return self.folder / "catalogue.sqlite3"


def copy_database(source: Path, target: Path) -> None:
    """Copy every row as one step that programs which have the target open see as such."""
    with closing(sqlite3.connect(source)) as read, closing(sqlite3.connect(target, timeout=30)) as write:
        read.backup(write)


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """The browser, one for all."""
    if not CHROMIUM.exists():
        if REQUIRED:
            pytest.fail(f"SILTMARK_BROWSER=required, but {CHROMIUM} is not installed.")
        pytest.skip(f"{CHROMIUM} is not installed (apt-get install chromium).")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=str(CHROMIUM), args=["--no-sandbox", "--disable-gpu"]
        )
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def empty_catalogue(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a catalogue that was opened once and ended, to copy: a first start takes seconds."""
    home = tmp_path_factory.mktemp("first")
    assert start(home, "--data", str(home / "catalogue")).stop() == 0
    return home / "catalogue"


@pytest.fixture(scope="module")
def folder_to_open(empty_catalogue: Path) -> Path:
    """The catalogue that this module's tests begin with; a module may put a filled one in its place."""
    return empty_catalogue


@pytest.fixture(scope="module")
def opened(
    chromium: Browser, folder_to_open: Path, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Opened]:
    """A copy of it, open for all tests of a module: opening one for each would take most of their time."""
    home = tmp_path_factory.mktemp("open")
    shutil.copytree(folder_to_open, home / "catalogue")
    running = start(home, "--data", str(home / "catalogue"))
    begun = Opened(running, home / "catalogue", home / "as-opened.sqlite3")
    copy_database(begun.database, begun.kept)
    yield begun
    if running.stop() != 0:
        running.stop(signal.SIGKILL)
        pytest.fail(f"the catalogue did not end cleanly:\n{running.log.read_text()}")


@pytest.fixture
def catalogue(opened: Opened) -> Running:
    """The open catalogue as it was when it opened, the owner's `link` not used yet."""
    if opened.used:
        copy_database(opened.kept, opened.database)
    opened.used = True
    return opened.running


@pytest.fixture
def own_folder(folder_to_open: Path, tmp_path: Path) -> Path:
    """A catalogue's folder for a test that ends or starts the program itself."""
    return Path(shutil.copytree(folder_to_open, tmp_path / "catalogue"))


@pytest.fixture
def watch(catalogue: Running) -> Iterator[Watch]:
    """Fails the test at its end if a page reached outside or broke its own content policy."""
    seen = Watch(catalogue.base)
    yield seen
    assert seen.outside == [], "requests left the machine"
    assert seen.complaints == [], "the browser's console complains"


@pytest.fixture
def new_browser(chromium: Browser, catalogue: Running, watch: Watch) -> Iterator[Callable[..., Page]]:
    """Makes pages in browsers that know nothing of each other; keywords as playwright's `new_context`."""
    contexts = []

    def make(**wanted) -> Page:
        context = chromium.new_context(**{"base_url": catalogue.base} | wanted)
        context.set_default_timeout(15_000)
        watch.on(context)
        contexts.append(context)
        return context.new_page()

    yield make
    for context in contexts:
        context.close()


@pytest.fixture
def page(new_browser: Callable[..., Page], catalogue: Running) -> Page:
    """The owner's browser, let in by the link."""
    opened = new_browser()
    opened.goto(catalogue.link)
    return opened


@pytest.fixture
def visitor_page(new_browser: Callable[..., Page]) -> Page:
    """The browser of somebody without a key."""
    return new_browser()
