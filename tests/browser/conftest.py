"""A real browser on the real program: Debian's chromium, driven by plain playwright.

Without chromium these tests are skipped, and say so; with SILTMARK_BROWSER=required they fail instead. With
SILTMARK_BROWSER=/usr/bin/chromium they run in that program, though a cheaper build of it is there.
"""

import os
import shutil
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import (
    Browser,
    BrowserContext,
    Page,
    Request,
    StorageState,
    expect,
    sync_playwright,
)

from tests.running import PATIENCE_S, ROOT, Running, start, surroundings

# Playwright's own loop runs in this thread, which Django takes for asynchronous code.
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"

# The same engine without the windows around it takes a third less processor time for each page.
BUILDS = (Path("/usr/bin/chromium-headless-shell"), Path("/usr/bin/chromium"))
REQUIRED = os.environ.get("SILTMARK_BROWSER", "")
CHROMIUM = (
    Path(REQUIRED)
    if REQUIRED.startswith("/")
    else next((build for build in BUILDS if build.exists()), BUILDS[0])
)
# A page that answers 404 or 403 is told to the console as well, and so is a small update that was given up
# because its page was left meanwhile. Neither is a complaint about the page.
NO_COMPLAINT = (
    "Failed to load resource: the server responded with a status of 4",
    "htmx:afterRequest",
    "htmx:sendAbort",
)
# What a window of the browser would load beside our page. The lists under its address bar are pages in
# processes of their own: without them a new window costs half a second of processor time, not one and a half.
# The rest is what playwright leaves out; only the last list that is given counts.
WITHOUT = (
    *("WebUIOmniboxPopup", "WebUIOmniboxFullPopup", "WebUIOmniboxAimPopup", "AiModeOmniboxEntryPoint"),
    *("AcceptCHFrame", "AutoExpandDetailsElement", "AvoidUnnecessaryBeforeUnloadCheckSync"),
    *("CertificateTransparencyComponentUpdater", "DestroyProfileOnBrowserClose", "DialMediaRouteProvider"),
    *("GlobalMediaControls", "HttpsUpgrades", "ImprovedCookieControls", "LazyFrameLoading", "LensOverlay"),
    *("MediaRouter", "PaintHolding", "PlzDedicatedWorker", "ThirdPartyStoragePartitioning", "Translate"),
)
# How long anything may take says more about who else uses the machine than about a page: what never comes
# fails after this, and what comes costs no waiting.
PATIENCE_MS = int(os.environ.get("SILTMARK_PATIENCE_MS", "60000"))
expect.set_options(timeout=PATIENCE_MS)
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
    # The same catalogue under its address on the network, where two browsers look at once.
    also: set[str] = field(default_factory=set)
    outside: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)

    def on(self, context: BrowserContext) -> None:
        context.on("request", self._request)
        context.on("console", lambda said: self._complain(said.text) if said.type == "error" else None)
        context.on("weberror", lambda raised: self._complain(str(raised.error)))

    def _request(self, request: Request) -> None:
        if request.url.startswith(("data:", "blob:")):
            return
        if urlsplit(request.url).netloc not in {urlsplit(each).netloc for each in (self.base, *self.also)}:
            self.outside.append(request.url)

    def _complain(self, text: str) -> None:
        if not text.startswith(NO_COMPLAINT):
            self.complaints.append(text)


@dataclass
class Served:
    """The catalogue that a worker keeps open for all its tests, and the rows that it can be put back to."""

    running: Running
    folder: Path
    # As a first start leaves it: the owner's link not used, no browser let in.
    opened: Path
    # The same, with one browser let in besides; that browser's cookies.
    let_in: Path
    state: StorageState

    @property
    def database(self) -> Path:
        return self.folder / "catalogue.sqlite3"


def copy_database(source: Path, target: Path) -> None:
    """Copy every row as one step that programs which have the target open see as such."""
    with closing(sqlite3.connect(source)) as read, closing(sqlite3.connect(target, timeout=30)) as write:
        read.backup(write)


@pytest.fixture(scope="package")
def chromium() -> Iterator[Browser]:
    """The browser, one for all tests here; gone before others begin, who should not wait for it."""
    if not CHROMIUM.exists():
        if REQUIRED:
            pytest.fail(f"SILTMARK_BROWSER={REQUIRED}, but {CHROMIUM} is not installed.")
        pytest.skip(f"{CHROMIUM} is not installed (apt-get install {CHROMIUM.name}).")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=str(CHROMIUM),
            args=["--no-sandbox", "--disable-gpu", f"--disable-features={','.join(WITHOUT)}"],
        )
        yield browser
        browser.close()


@pytest.fixture(scope="package")
def served(chromium: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """One catalogue for all: opening one for each module would take as long as its tests."""
    home = tmp_path_factory.mktemp("open")
    folder = home / "catalogue"
    running = start(home, "--data", str(folder))
    opened, let_in = home / "opened.sqlite3", home / "let-in.sqlite3"
    copy_database(folder / "catalogue.sqlite3", opened)
    context = chromium.new_context()
    assert context.request.get(running.link, max_redirects=0).status == 302
    state = context.storage_state()
    context.close()
    copy_database(folder / "catalogue.sqlite3", let_in)
    with closing(sqlite3.connect(let_in)) as direct, direct:
        direct.execute("UPDATE access_onetimekey SET used_at = NULL")
    yield Served(running, folder, opened, let_in, state)
    if running.stop() != 0:
        running.stop(signal.SIGKILL)
        pytest.fail(f"the catalogue did not end cleanly:\n{running.log.read_text()}")


@pytest.fixture(scope="package")
def prepared(served: Served) -> dict[str, Path]:
    """Rows that several tests begin with, by the name of what makes them in `filled`: once for all."""
    rows = served.folder.parent
    around = surroundings(rows, SILTMARK_DATA=str(served.folder), DJANGO_SETTINGS_MODULE="catalogue.settings")
    words = [sys.executable, "-m", "tests.browser.filled", str(served.let_in), str(rows)]
    subprocess.run(words, cwd=ROOT, env=around, check=True, timeout=PATIENCE_S)
    return {path.name.removesuffix(".filled.sqlite3"): path for path in rows.glob("*.filled.sqlite3")}


@pytest.fixture
def rows(request: pytest.FixtureRequest, served: Served) -> Path:
    """What the catalogue holds at first: nothing, or what the mark `begins_with` names of `filled`."""
    mark = request.node.get_closest_marker("begins_with")
    wanted = mark.args[0] if mark else "nothing"
    return served.let_in if wanted == "nothing" else request.getfixturevalue("prepared")[wanted]


@pytest.fixture
def catalogue(served: Served, rows: Path) -> Running:
    """The open catalogue with those rows alone, the owner's `link` not used yet."""
    copy_database(rows, served.database)
    return served.running


@pytest.fixture
def own_folder(served: Served, rows: Path, tmp_path: Path) -> Path:
    """A catalogue's folder for a test that ends or starts the program itself; it was opened once."""
    fresh = served.opened if rows == served.let_in else rows
    folder = tmp_path / "catalogue"
    folder.mkdir(mode=0o700)
    shutil.copy2(served.folder / "secret", folder)
    copy_database(fresh, folder / "catalogue.sqlite3")
    return folder


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
        context.set_default_timeout(PATIENCE_MS)
        watch.on(context)
        contexts.append(context)
        return context.new_page()

    yield make
    for context in contexts:
        context.close()


@pytest.fixture
def owner_browser(new_browser: Callable[..., Page], served: Served) -> Callable[..., Page]:
    """Makes pages in browsers that are let in as the owner's already; keywords as for `new_browser`."""

    def make(**wanted) -> Page:
        return new_browser(**{"storage_state": served.state} | wanted)

    return make


@pytest.fixture
def page(owner_browser: Callable[..., Page]) -> Page:
    """The owner's browser."""
    return owner_browser()


@pytest.fixture
def phone(owner_browser: Callable[..., Page]) -> Page:
    """The owner's phone."""
    return owner_browser(viewport=PHONE)


@pytest.fixture
def visitor_page(new_browser: Callable[..., Page]) -> Page:
    """The browser of somebody without a key."""
    return new_browser()
