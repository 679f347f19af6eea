"""What an outside judge of accessibility says of the main pages: phone width, light and dark, with data."""

import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from tests.browser.conftest import PHONE
from tests.running import ROOT, surroundings

RULES: dict[str, object] = {
    "runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa"]}
}
# In the dark nothing differs but the colours.
CONTRAST: dict[str, object] = {"runOnly": {"type": "rule", "values": ["color-contrast"]}}
PAGES = (
    *("/", "/finds/", "/finds/new/", "/finds/2024.1.1/", "/finds/2024.1.2/", "/finds/2024.1.1/edit/"),
    *("/towns/", "/towns/marrowby/", "/dives/", "/dives/sites/heron-ledge/", "/dives/2024/1/"),
    *("/makers/", "/makers/new/", "/makers/brackwater-bottle-company/", "/makers/file/"),
    *("/makers/brackwater-bottle-company/edit/", "/makers/read/?text=BW+7+%2F+MARROWBY&symbol=wave"),
    *("/date/", "/date/?letters=BW&symbol=wave&right=7&f=crown-finish", "/date/?one=1"),
    "/date/?f=blowpipe-pontil&f=machine-seam-over-finish&f=ghost&why=wreck&before=1931",
    *("/workbench/", "/shelves/", "/giving/", "/labels/", "/reference/", "/safekeeping/", "/settings/"),
)


@pytest.fixture(scope="module")
def folder_to_open(empty_catalogue: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A catalogue's folder with a little of everything."""
    folder = tmp_path_factory.mktemp("filled") / "catalogue"
    shutil.copytree(empty_catalogue, folder)
    around = surroundings(
        folder.parent, SILTMARK_DATA=str(folder), DJANGO_SETTINGS_MODULE="catalogue.settings"
    )
    subprocess.run(
        [sys.executable, "-m", "tests.browser.filled"], cwd=ROOT, env=around, check=True, timeout=300
    )
    return folder


def complaints(page: Page, address: str, rules: dict[str, object] = RULES) -> list[str]:
    """What the judge finds wrong on a page, one line each."""
    answer = page.goto(address)
    assert answer is not None and answer.status == 200, address
    found = Axe().run(page, options=rules).response["violations"]
    return [f"{address}: {each['id']}: {node['html'][:160]}" for each in found for node in each["nodes"]]


@pytest.mark.parametrize(("scheme", "rules"), [("light", RULES), ("dark", CONTRAST)])
def test_the_main_pages_at_phone_width(
    page: Page, new_browser: Callable[..., Page], scheme: str, rules: dict[str, object]
) -> None:
    phone = new_browser(viewport=PHONE, color_scheme=scheme, storage_state=page.context.storage_state())
    found = [line for address in PAGES for line in complaints(phone, address, rules)]
    assert not found, "\n".join(found)


def test_what_a_visitor_sees(visitor_page: Page) -> None:
    assert not complaints(visitor_page, "/giving/")


def test_the_judge_does_judge(page: Page) -> None:
    """A box without a name must be found, or the tests above tell nothing."""
    page.goto("/makers/")
    page.evaluate("document.querySelector('main').append(document.createElement('input'))")
    found = Axe().run(page, options=RULES).response["violations"]
    assert [each["id"] for each in found] == ["label"]
