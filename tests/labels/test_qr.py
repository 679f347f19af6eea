"""QR codes: size, quiet zone, reading back."""

import cv2
import numpy
import pytest
import segno
from segno import consts

from catalogue.common.qr_code import modules, runs
from catalogue.labels.qr import DOTS_PER_MM, QrDoesNotFit, fit_qr

ADDRESS = "http://192.168.1.20:8000/f/2026.14.3"


def test_thirty_six_bytes_at_level_m_are_version_3():
    assert len(modules(ADDRESS)) == 29  # ISO/IEC 18004: version 3-M holds 42 bytes, 2-M 26


@pytest.mark.parametrize(
    ("text", "level"),
    [(ADDRESS, "Q"), ("T-12", "H"), ("2026.14.3", "H"), ("http://siltbox.local:8000/f/2026.14.3", "M")],
)
def test_all_but_the_data_is_as_another_writer_has_it(text, level):
    # segno: finders, timing, alignment, and the format that tells level and mask. Data may be cut into
    # numbers and letters in more than one way; two readers judge it.
    ours, fitting = modules(text), []
    size = (len(ours) - 17) // 4
    for mask in range(8):
        code = segno.make("1", error=level, boost_error=False, version=size, mask=mask)
        kinds = code.matrix_iter(border=0, verbose=True)
        told = [
            (row, column, kind)
            for row, line in enumerate(kinds)
            for column, kind in enumerate(line)
            if kind not in (consts.TYPE_DATA_DARK, consts.TYPE_DATA_LIGHT)
            # It counts one module too many as format: row 8 has eight of them at the right (ISO/IEC 18004).
            and (row, column) != (8, len(ours) - 9)
        ]
        assert len(told) > 200 and len(ours) == code.symbol_size(border=0)[0]
        if all(ours[row][column] == code.matrix[row][column] for row, column, _ in told):
            fitting.append(mask)
    assert len(fitting) == 1


def test_a_tag_is_written_module_by_module_as_another_writer_does():
    masks = [segno.make("T-12", error="h", micro=False, mask=mask) for mask in range(8)]
    assert modules("T-12") in [tuple(bytes(row) for row in code.matrix) for code in masks]


@pytest.mark.parametrize("text", [ADDRESS, "T-12", "2026.14.3", "2025.0.1b"])
def test_a_second_reader_reads_them_blurred(text):
    rows = numpy.array([list(row) for row in modules(text)], dtype=numpy.uint8)
    picture = numpy.kron(1 - numpy.pad(rows, 4), numpy.full((4, 4), 255, dtype=numpy.uint8))
    picture = cv2.GaussianBlur(picture, (5, 5), 1.2)
    assert cv2.QRCodeDetector().detectAndDecode(picture)[0] == text


def test_the_number_alone_is_the_smallest_code():
    assert len(modules("2026.14.3")) == 21  # ISO/IEC 18004: version 1


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
