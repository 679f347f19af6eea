"""QR codes: size, quiet zone, reading back."""

import pytest

from catalogue.labels.qr import DOTS_PER_MM, QrDoesNotFit, fit_qr, modules, runs

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
