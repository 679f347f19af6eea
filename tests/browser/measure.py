"""Measure every page of the demo as a phone shows it: `python -m tests.browser.measure [address ...]`.

A crawl from the home page takes one address of each route. A line for each page: height in screens of
390x844, where its first picture begins, height of the head, sideways scroll (at 320 px, at 200 % zoom of
1280 px, at 200 % text), kilobytes over the wire without pictures and face, cumulative layout shift (CLS)
of a warm page, complaints of axe with all disclosures open in both themes, console errors. Without
addresses a short table follows: the main pages, and the worst of all for each figure. A page that misses
a figure is named at the end, and the exit code is 1.
"""

import os
import re
import sys
import tempfile
from collections.abc import Iterable, Iterator
from dataclasses import astuple, dataclass, fields
from itertools import chain
from pathlib import Path
from urllib.parse import urlsplit

from playwright.sync_api import Browser, BrowserContext, CDPSession, Error, Page, sync_playwright

from tests.browser.judge import violations_in_light_and_dark
from tests.running import Running, start
from tests.tour import wait_for_cuts

WIDTH, HEIGHT = 390, 844
FREE = ("Image", "Font", "Media")
# What leads out, hands over a file or ends the session.
NOT_A_PAGE = ("/leave/", "/static/", "/admin/", "/photos/file", ".pdf", ".zip", ".csv", ".json", "/exchange/")
SHIFT = """() => { window.shifted = 0; new PerformanceObserver((list) => {
    for (const entry of list.getEntries()) if (!entry.hadRecentInput) window.shifted += entry.value;
}).observe({ type: "layout-shift", buffered: true }); }"""
LINKS = "[...document.links].map((a) => a.href)"
MAIN = (
    "/", "/finds/", "/finds/2024.2.1/", "/finds/2024.1.4/", "/finds/new/", "/date/", "/workbench/",
    "/makers/", "/reference/", "/dives/sites/old-ferry-stairs/", "/shelves/5/", "/settings/",
)  # fmt: skip
# Views that share a route with a page that a link leads to first, and the longest find.
ALSO = (
    "/finds/?view=table", "/finds/?view=shelf", "/finds/2024.2.1/", "/finds/2024.1.4/",
    "/date/?letters=TH&frame=hexagon&right=29&f=applied-finish&f=crown-finish", "/date/?one=1",
    "/reference/?part=features", "/reference/?part=sources", "/giving/?as-visitor",
)  # fmt: skip
FIRST_PICTURE = """() => {
    const boxes = [...document.querySelectorAll("main img, main image, main svg.silhouette, main .plate svg")]
        .map((each) => each.getBoundingClientRect()).filter((box) => box.width > 20 && box.height > 20);
    return boxes.length ? Math.round(Math.min(...boxes.map((box) => box.top + scrollY))) : null;
}"""
OPEN_ALL = """() => {
    for (const each of document.querySelectorAll("main details")) each.open = true;
}"""
OVER = "() => document.scrollingElement.scrollWidth - document.scrollingElement.clientWidth"


@dataclass
class Measured:
    """One page: heights in screens and pixels, scroll in pixels, weight in kilobytes, the rest counts."""

    address: str
    screens: float
    first_picture: int | None
    head: int
    over_320: int
    over_zoom: int
    over_text: int
    kilobytes: float
    shift: float
    axe: int
    complaints: int


HEADS = [
    "page",
    "screens",
    "first picture",
    "head",
    "320 px",
    "zoom",
    "text",
    "kB",
    "shift",
    "axe",
    "console",
]
HEADS_OF = [field.name for field in fields(Measured)][1:]
HEAD_ROWS = "| " + " | ".join(HEADS) + " |\n|" + "---|" * len(HEADS)


# What a page may be at most, by name of the figure.
MOST = {
    "screens": 8, "head": 64, "over_320": 0, "over_zoom": 0, "over_text": 0, "kilobytes": 120, "shift": 0.02,
    "axe": 0, "complaints": 0,
}  # fmt: skip
MOST_SCREENS = {"/finds/new/": 2, "find": 4}


def misses(page: Measured) -> list[str]:
    """The figures that a page doesn't keep, in words."""
    most = dict(MOST)
    path = urlsplit(page.address).path
    find = re.fullmatch(r"/finds/[0-9.a-z]*[0-9][0-9.a-z]*/", path) is not None
    most["screens"] = MOST_SCREENS.get("find" if find else path, MOST["screens"])
    told = [f"{name} {getattr(page, name)}" for name in most if getattr(page, name) > most[name]]
    leads = (find or path in ("/", "/finds/")) and "view=table" not in page.address
    if leads and not 0 <= (HEIGHT if page.first_picture is None else page.first_picture) < HEIGHT:
        told.append(f"first picture {page.first_picture}")
    return told


def worst(pages: list[Measured]) -> list[str]:
    """Cells of a row: the greatest of each figure."""
    cells = [f"the worst of {len(pages)}"]
    for name in HEADS_OF:
        known = [getattr(page, name) for page in pages if getattr(page, name) is not None]
        cells.append("-" if name == "first_picture" or not known else str(max(known)))
    return cells


def row(cells: Iterable[object]) -> str:
    """One line of a Markdown table."""
    return "| " + " | ".join("-" if part is None else str(part) for part in cells) + " |"


def sideways(page: Page) -> tuple[int, int, int]:
    """Pixels that a page scrolls sideways at 320 px, at 200 % zoom of 1280 px, at 200 % text on 390 px."""
    found = []
    for width, text in ((320, "100%"), (640, "100%"), (WIDTH, "200%")):
        page.set_viewport_size({"width": width, "height": HEIGHT})
        page.evaluate("(size) => { document.documentElement.style.fontSize = size; }", text)
        found.append(int(page.evaluate(OVER)))
    page.evaluate("() => { document.documentElement.style.fontSize = ''; }")
    page.set_viewport_size({"width": WIDTH, "height": HEIGHT})
    return found[0], found[1], found[2]


class Weighed:
    """Bytes that a page took over the wire (CDP), without pictures and fonts."""

    def __init__(self, wire: CDPSession) -> None:
        self.kinds: dict[str, str] = {}
        self.bytes = 0.0
        wire.send("Network.enable")
        wire.send("Network.setCacheDisabled", {"cacheDisabled": True})
        wire.on("Network.responseReceived", lambda said: self.kinds.update({said["requestId"]: said["type"]}))
        wire.on("Network.loadingFinished", self._add)

    def _add(self, said: dict) -> None:
        if self.kinds.get(said["requestId"]) not in FREE:
            self.bytes += said["encodedDataLength"]


def measure(context: BrowserContext, base: str, address: str) -> Measured | None:
    """One page, cold for its weight and warm for its layout shift; None for what is no page."""
    page = context.new_page()
    said: list[str] = []
    page.on("console", lambda line: said.append(line.text) if line.type == "error" else None)
    page.on("pageerror", lambda error: said.append(str(error)))
    wire = context.new_cdp_session(page)
    weighed = Weighed(wire)
    try:
        answer = page.goto(base + address, wait_until="networkidle")
        if answer is None or answer.status != 200 or "html" not in answer.headers.get("content-type", ""):
            return None
        kilobytes = weighed.bytes / 1024
        wire.send("Network.setCacheDisabled", {"cacheDisabled": False})
        page.goto(base + address, wait_until="networkidle")
        page.evaluate(SHIFT)
        page.wait_for_timeout(200)
        shift = float(page.evaluate("window.shifted"))
        screens = page.evaluate("document.scrollingElement.scrollHeight") / HEIGHT
        first = page.evaluate(FIRST_PICTURE)
        head = page.evaluate("document.querySelector('header')?.getBoundingClientRect().height ?? 0")
        over = sideways(page)
        page.evaluate(OPEN_ALL)
        axe = len(violations_in_light_and_dark(page))
    except Error as broken:
        if "Download is starting" in str(broken) or "ERR_ABORTED" in str(broken):
            return None
        raise
    finally:
        page.close()
    return Measured(
        address,
        round(screens, 1),
        first,
        round(head),
        *over,
        round(kilobytes, 1),
        round(shift, 3),
        axe,
        len(said),
    )


def routes(context: BrowserContext, base: str) -> Iterator[str]:
    """One address of each route that links lead to, from the home page on (breadth first)."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "catalogue.settings")
    import django
    from django.urls import Resolver404, resolve

    django.setup()
    waiting, seen = ["/"], set()
    page = context.new_page()
    while waiting:
        address = waiting.pop(0)
        try:
            route = resolve(urlsplit(address).path).route
        except Resolver404:
            continue
        if route in seen or any(part in address for part in NOT_A_PAGE):
            continue
        seen.add(route)
        yield address
        try:
            page.goto(base + address)
            links = page.evaluate(LINKS)
        except Error:
            continue
        waiting += [
            urlsplit(link).path + (f"?{urlsplit(link).query}" if urlsplit(link).query else "")
            for link in links
            if link.startswith(base)
        ]
    page.close()


def measured(browser: Browser, running: Running, addresses: list[str]) -> Iterator[Measured]:
    """The pages of a running catalogue, as its owner's phone shows them once its bottles are cut out."""
    context = browser.new_context(viewport={"width": WIDTH, "height": HEIGHT}, has_touch=True)
    first = context.new_page()
    first.goto(running.link)
    wait_for_cuts(first, running.base)
    first.close()
    for address in dict.fromkeys(addresses or chain(routes(context, running.base), ALSO, MAIN)):
        page = measure(context, running.base, address)
        if page is not None:
            yield page


def main() -> int:
    """Print the table, Markdown, as each page is measured; then the short one, and what is missed."""
    asked = sys.argv[1:]
    pages: list[Measured] = []
    with tempfile.TemporaryDirectory() as home, sync_playwright() as playwright:
        running = start(Path(home), "--demo")
        try:
            browser = playwright.chromium.launch(
                executable_path="/usr/bin/chromium", args=["--no-sandbox", "--disable-gpu"]
            )
            print(HEAD_ROWS)
            for page in measured(browser, running, asked):
                pages.append(page)
                print(row(astuple(page)), flush=True)
        finally:
            running.stop()
    if not asked:
        print(f"\n{HEAD_ROWS}")
        for address in MAIN:
            print(*(row(astuple(page)) for page in pages if page.address == address), sep="\n")
        print(row(worst(pages)))
    missed = [(page.address, told) for page in pages if (told := misses(page))]
    for address, told in missed:
        print(f"MISSED {address}: {', '.join(told)}")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
