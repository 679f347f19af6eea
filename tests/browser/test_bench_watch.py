"""The watch on a running bath: bar, tab, sound and the browser's notice, by the catalogue's own time."""

import re
import signal
from pathlib import Path

import pytest
from playwright.sync_api import Page, Route, expect

from tests.browser.bench_parts import start_one
from tests.browser.conftest import PHONE
from tests.running import start

pytestmark = pytest.mark.begins_with("bath")
LATER = "() => { const real = Date.now; Date.now = () => real() + 5 * 3600 * 1000; }"
# Stands in for what a machine does with a notice and a tone, and counts both.
EARS = """
window.notices = []; window.asked = 0; window.tones = 0;
window.Notification = class {
  static permission = "default";
  static async requestPermission() { window.asked += 1; return (this.permission = "granted"); }
  constructor(title, about) { window.notices.push([title, about.body]); }
  addEventListener() {}
};
window.AudioContext = class {
  currentTime = 0; destination = {};
  resume() {}
  createOscillator() {
    return { frequency: {}, connect: (to) => to, start: () => { window.tones += 1; }, stop() {} };
  }
  createGain() {
    const gain = { setValueAtTime() {}, exponentialRampToValueAtTime() {} };
    return { gain, connect: (to) => to };
  }
};
"""


@pytest.fixture
def phone(owner_browser) -> Page:
    return owner_browser(viewport=PHONE, color_scheme="light")


def hours_on(hours: float):
    """The catalogue's own answer, as it will be in so many hours."""

    def answer(route: Route) -> None:
        said = route.fetch().json()
        route.fulfill(json={**said, "now": said["now"] + hours * 3600 * 1000})

    return answer


def test_an_overdue_bath_cannot_be_overlooked_on_any_page(phone: Page) -> None:
    start_one(phone)
    bath = phone.url
    expect(phone.locator(".bath-bar")).to_have_count(0)
    # the laptop wakes with the page still open, five hours later for it and for the catalogue
    phone.route("**/workbench/due/", hours_on(5))
    phone.evaluate(LATER)
    expect(phone.locator("[data-say]")).to_have_text("Overdue: take them out")
    phone.goto("/finds/")
    bar = phone.locator(".bath-bar.late")
    expect(bar).to_contain_text("overdue")
    expect(bar).to_contain_text(re.compile(r"(1 h 0|1 h 1|59) min over"))
    expect(phone).to_have_title(re.compile("^OVERDUE · "))
    assert bar.evaluate("(e) => parseFloat(getComputedStyle(e).fontSize)") >= 20
    for control in bar.locator("a, button").all():
        assert control.bounding_box()["height"] >= 56
    bar.get_by_role("button", name="Stop the ringing").click()
    expect(bar).to_be_visible()
    bar.get_by_role("link").click()
    expect(phone).to_have_url(bath)
    phone.unroute_all(behavior="wait")


def test_a_look_in_that_falls_due_rings_and_is_notified_once(phone: Page) -> None:
    phone.add_init_script(EARS)
    start_one(phone)
    assert phone.evaluate("[asked, tones, notices.length]") == [0, 0, 0]
    # permission is asked for by the person's own tap, never by the page
    phone.get_by_role("button", name="Notify me on this machine").click()
    expect(phone.locator("[data-alarm-say]")).to_have_text("A notice will be shown.")
    assert phone.evaluate("asked") == 1
    phone.route("**/workbench/due/", hours_on(2.5))
    phone.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    expect(phone.locator(".bath-bar")).to_contain_text("look in now")
    expect(phone).to_have_title(re.compile("^LOOK IN NOW · "))
    # the clock on the page is told the same by the catalogue
    expect(phone.locator("[data-say]")).to_have_text("Look in now")
    assert phone.evaluate("notices") == [["Acid bath: look in now", "bath in White tub, 1 in it"]]
    assert phone.evaluate("tones") == 2
    # asked twice more, it does not ring again; silenced, it stays on the screen
    for _ in range(2):
        with phone.expect_response("**/workbench/due/"):
            phone.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    assert phone.evaluate("[tones, notices.length]") == [2, 1]
    phone.locator(".bath-bar").get_by_role("button", name="Stop the ringing").click()
    expect(phone.locator(".bath-bar")).to_be_visible()
    # silenced for the look, not for the bath: overdue it rings again
    phone.unroute_all(behavior="wait")
    phone.route("**/workbench/due/", hours_on(5))
    phone.evaluate("(() => { const real = Date.now; Date.now = () => real() + 25000; })()")
    phone.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    expect(phone.locator(".bath-bar.late")).to_be_visible()
    phone.wait_for_function("() => tones === 6")
    assert phone.evaluate("notices.map(([title]) => title)")[-1].startswith("Acid bath overdue")
    phone.unroute_all(behavior="wait")


def test_refused_or_missing_notices_leave_bar_and_sound(phone: Page) -> None:
    refused = EARS.replace('this.permission = "granted"', 'this.permission = "denied"')
    phone.add_init_script(refused)
    start_one(phone)
    phone.get_by_role("button", name="Notify me on this machine").click()
    expect(phone.locator("[data-alarm-say]")).to_have_text("The browser was told not to.")
    phone.route("**/workbench/due/", hours_on(5))
    phone.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    expect(phone.locator(".bath-bar.late")).to_be_visible()
    assert phone.evaluate("[tones, notices.length]") == [4, 0]
    phone.unroute_all(behavior="wait")


def test_the_times_outlast_the_catalogue_itself(
    request: pytest.FixtureRequest, new_browser, own_folder: Path, watch, tmp_path: Path
) -> None:
    first = start(tmp_path, "--data", str(own_folder))
    request.addfinalizer(lambda: first.stop(signal.SIGKILL))
    watch.base = first.base
    phone = new_browser(base_url=first.base, viewport=PHONE, color_scheme="light")
    phone.goto(first.link)
    start_one(phone)
    clock = phone.locator("[data-clock]")
    before = [clock.get_attribute(name) for name in ("data-due", "data-late")]
    phone.goto("about:blank")
    assert first.stop() == 0
    again = start(tmp_path, "--data", str(own_folder))
    try:
        watch.base = again.base
        phone.goto(again.link)
        phone.goto(f"{again.base}/workbench/")
        clock = phone.locator("[data-clock]")
        assert [clock.get_attribute(name) for name in ("data-due", "data-late")] == before
        expect(phone.locator("[data-left]")).to_have_text(re.compile(r"^1[0-5] min$"))
        phone.goto("about:blank")
    finally:
        if again.stop() != 0:
            again.stop(signal.SIGKILL)
            pytest.fail(again.log.read_text())
