"""An outside judge of accessibility (axe) on a page that is open, in light and dark."""

from axe_playwright_python.base import AXE_SCRIPT
from playwright.sync_api import Page

RULES: dict[str, object] = {
    "runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa"]}
}
# In the dark nothing differs but the colours.
CONTRAST: dict[str, object] = {"runOnly": {"type": "rule", "values": ["color-contrast"]}}
# Style sheets are read by the browser alone; what passes is counted, not described.
HOW: dict[str, object] = {"resultTypes": ["violations"], "preload": False}
JUDGE = "rules => axe.run(rules).then(found => found.violations)"
# A colour that is still on its way from one scheme to the other is not the one to judge.
SETTLED = """() => Promise.all(document.getAnimations()
    .filter((each) => each.effect.getComputedTiming().endTime < 10000)
    .map((each) => each.finished.catch(() => null)))
    .then(() => null)"""


def violations(page: Page, rules: dict[str, object] = RULES) -> list[tuple[str, str]]:
    """What the judge finds wrong on the page as it stands: the rule and the element, for each place."""
    if not page.evaluate("'axe' in window"):
        page.evaluate(AXE_SCRIPT)
    page.evaluate(SETTLED)
    found = page.evaluate(JUDGE, {**rules, **HOW})
    return [(each["id"], node["html"][:160]) for each in found for node in each["nodes"]]


def violations_in_light_and_dark(page: Page) -> list[tuple[str, str]]:
    """All rules in the light, then the colours once more in the dark, without loading the page again."""
    page.emulate_media(color_scheme="light")
    found = violations(page)
    page.emulate_media(color_scheme="dark")
    return found + [(f"dark: {rule}", where) for rule, where in violations(page, CONTRAST)]


def open_page(page: Page, address: str) -> None:
    answer = page.goto(address)
    assert answer is not None and answer.status == 200, address
