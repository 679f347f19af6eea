"""Every script parses as a module in the browser, and every name it imports is there; none of them runs."""

from pathlib import Path

import pytest
from playwright.sync_api import Browser, Route

STATIC = Path(__file__).resolve().parents[2] / "static"
SCRIPTS = sorted(path.relative_to(STATIC).as_posix() for path in STATIC.rglob("*.js"))
HOUSE = "http://house.test/"
# Modules are linked in the order of their imports, before any runs: where the last fails, the others did not.
STOP = "does not provide an export named 'nothing'"
LINK = """async (script) => {
    try {
        await import(`/check.js?${script}`);
        return "it ran";
    } catch (error) {
        return String(error);
    }
}"""


def serve(route: Route) -> None:
    path, _, asked = route.request.url.removeprefix(HOUSE).partition("?")
    if path == "check.js":
        body = f'import "/{asked}";\nimport {{ nothing }} from "/stop.js";\nnothing();'
    elif path == "stop.js":
        body = "export const something = 1;"
    elif path == "":
        return route.fulfill(body="<!doctype html><title>x</title>", content_type="text/html")
    elif (STATIC / path).is_file():
        body = (STATIC / path).read_text(encoding="utf-8")
    else:
        return route.fulfill(status=404)
    return route.fulfill(body=body, content_type="text/javascript")


def test_scripts_parse_and_find_what_they_import(chromium: Browser) -> None:
    assert len(SCRIPTS) > 20
    page = chromium.new_page()
    page.route("**/*", serve)
    page.goto(HOUSE)
    said = {script: page.evaluate(LINK, script) for script in SCRIPTS}
    page.close()
    assert {
        script: words for script, words in said.items() if STOP not in words or "stop.js" not in words
    } == {}


@pytest.mark.parametrize("body", ["let 1;", 'import "/not-there.js";', 'import { no } from "/stop.js";'])
def test_a_wrong_script_is_told(chromium: Browser, body: str) -> None:
    page = chromium.new_page()
    page.route(
        "**/*",
        lambda route: (
            route.fulfill(body=body, content_type="text/javascript")
            if "wrong.js" in route.request.url
            else serve(route)
        ),
    )
    page.goto(HOUSE)
    said = page.evaluate(LINK, "wrong.js")
    page.close()
    assert STOP not in said
