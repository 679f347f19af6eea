"""QR codes: size, quiet zone, reading back."""

import io
import xml.etree.ElementTree as ElementTree

import pytest
import zxingcpp
from PIL import Image, ImageDraw

from catalogue.labels.page import Page
from catalogue.labels.qr import DOTS_PER_MM, QUIET_MODULES, QrDoesNotFit, fit_qr, modules, qr_svg, runs
from tests.labels.rendering import pages

ADDRESS = "http://192.168.1.20:8000/f/2026.14.3"


def test_thirty_six_bytes_at_level_m_are_version_3():
    assert len(modules(ADDRESS)) == 29  # ISO/IEC 18004: version 3-M holds 42 bytes, 2-M 26


def test_a_module_is_a_whole_number_of_printer_dots():
    for space in (12.6, 15.9, 20.0, 24.4, 60.0):
        plan = fit_qr(ADDRESS, space)
        dots = plan.module_mm * DOTS_PER_MM
        assert dots == pytest.approx(round(dots)) and 4 <= round(dots) <= 7
        assert plan.side_mm == pytest.approx(37 * plan.module_mm)
        assert plan.side_mm <= space + 1e-9


def test_too_little_room_is_said_with_both_sizes():
    with pytest.raises(QrDoesNotFit, match="needs 12.5 mm .* has 12.4 mm") as caught:
        fit_qr(ADDRESS, 12.4)
    assert caught.value.needs_mm == pytest.approx(12.53, abs=0.01)


@pytest.mark.parametrize(("text", "why"), [("", "needs a text"), ("x" * 3000, "can't hold 3000")])
def test_no_text_and_too_much_text_are_refused(text, why):
    with pytest.raises(ValueError, match=why):
        fit_qr(text, 50)


def test_runs_join_neighbours():
    assert runs((bytes([1, 1, 0, 1]), bytes([0, 0, 1, 1]))) == [(0, 0, 2), (3, 0, 1), (2, 1, 2)]


@pytest.mark.parametrize("text", [ADDRESS, "http://192.168.1.20:8000/pair/" + "k" * 43, "Flasche Größe 瓶"])
def test_the_svg_is_read_back(text):
    root = ElementTree.parse(io.StringIO(qr_svg(text, 'Pair "a" <phone>'))).getroot()
    title, _ground, path = root
    assert title.text == 'Pair "a" <phone>'
    side = int(root.get("viewBox").split()[2])
    picture = Image.new("L", (side * 4, side * 4), 255)
    pen = ImageDraw.Draw(picture)
    for square in path.get("d").split("M")[1:]:
        at, rest = square.split("h", 1)
        x, y = map(int, at.split())
        length = int(rest.split("v")[0])
        pen.rectangle([x * 4, y * 4, (x + length) * 4 - 1, y * 4 + 3], fill=0)
    (code,) = zxingcpp.read_barcodes(picture)
    assert code.text == text


def test_the_svg_has_no_style_and_takes_no_markup():
    svg = qr_svg("a", "</title><script>x</script>")
    assert "style" not in svg and "<script" not in svg


def test_every_module_on_paper_is_where_the_code_has_it():
    plan = fit_qr(ADDRESS, 20)
    page = Page("A6", "one code")
    page.qr(plan, 30, 40)
    picture = pages(page.done())[0]
    dots = round(plan.module_mm * DOTS_PER_MM)
    left, top = (round(mm * DOTS_PER_MM) for mm in (30, 40))
    for y, row in enumerate([bytes(29)] * QUIET_MODULES + list(plan.rows)):
        for x, dark in enumerate(bytes(QUIET_MODULES) + row):
            middle = (left + x * dots + dots // 2, top + y * dots + dots // 2)
            assert (picture.getpixel(middle) < 128) == bool(dark), (x, y)
