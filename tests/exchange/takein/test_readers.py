"""Cells read out of every format, judged by other programs; files that are refused, each in one sentence."""

import datetime
import io
import zipfile

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import Workbook
from openpyxl.styles import Protection
from python_calamine import CalamineWorkbook

from catalogue.exchange.takein.packed import MOST_UNPACKED
from catalogue.exchange.takein.read_any import read_sheet
from catalogue.exchange.takein.sheet import ReadSheet, SheetRefused, column_letters, tidy_cell
from catalogue.exchange.takeout.ods_file import ODS_TYPE, write_ods
from catalogue.exchange.takeout.rows import FindRow
from catalogue.exchange.takeout.xlsx_file import NOT_IN_XML

from .sheets import csv_of, xlsx_of

ROWS: list[list[object]] = [["What", "Ort"], ["jar; “tall”", "Köln"], ["a,b", "line\nline"]]
READ = [("jar; “tall”", "Köln"), ("a,b", "line\nline")]
CONTENT = (
    '<?xml version="1.0"?>{before}<office:document-content'
    ' xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0"'
    ' xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0"'
    ' xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0"><office:body><office:spreadsheet>{tables}'
    "</office:spreadsheet></office:body></office:document-content>"
)


MANIFEST_TEXT = '<manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0"/>'


def ods(rows: str, *, before: str = "", manifest: str = "") -> bytes:
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w", zipfile.ZIP_DEFLATED) as archive:
        tables = f'<table:table table:name="Finds">{rows}</table:table>'
        archive.writestr("mimetype", ODS_TYPE, compress_type=zipfile.ZIP_STORED)
        archive.writestr("content.xml", CONTENT.format(before=before, tables=tables))
        archive.writestr("META-INF/manifest.xml", manifest or MANIFEST_TEXT)
    return data.getvalue()


def cell(text: str, said: str = "") -> str:
    return f"<table:table-cell {said}><text:p>{text}</text:p></table:table-cell>"


def row(*cells: str, said: str = "") -> str:
    return f"<table:table-row {said}>{''.join(cells)}</table:table-row>"


TYPED = 'office:value-type="string"'
HEAD = row(cell("What", TYPED), cell("Height", TYPED))


def cells_of(sheet: ReadSheet) -> list[tuple[str, ...]]:
    return [each.cells for each in sheet.rows]


def why(name: str, data: bytes) -> str:
    with pytest.raises(SheetRefused) as refused:
        read_sheet(name, data)
    return str(refused.value)


@pytest.mark.parametrize("sign", [",", ";", "\t", "|"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
def test_csv_in_every_usual_way(sign: str, encoding: str) -> None:
    sheet = read_sheet("finds.csv", csv_of(ROWS, sign, encoding))
    assert sheet.headings == ("What", "Ort") and cells_of(sheet) == READ


def test_xlsx_gives_numbers_days_and_stored_results() -> None:
    data = xlsx_of(
        [
            ["What", "Height", "On", "At", "Yes"],
            ["Jar", 240.50, datetime.date(2019, 8, 3), datetime.datetime(2019, 8, 3, 14, 5), True],
            [None, 0.1 + 0.2, None, None, False],
        ]
    )
    assert cells_of(read_sheet("f.xlsx", data)) == [
        ("Jar", "240.5", "2019-08-03", "2019-08-03 14:05", "yes"),
        ("", "0.3", "", "", "no"),
    ]


def test_row_numbers_are_those_of_the_sheet_under_a_title_and_blank_rows() -> None:
    data = xlsx_of([["My bottles"], [], ["What", "Height"], [], ["Jar", 1], [], ["Ink", 2]])
    sheet = read_sheet("f.xlsx", data)
    assert sheet.headings == ("What", "Height") and [each.number for each in sheet.rows] == [5, 7]
    assert read_sheet("f.csv", b"What\nJar\n\nInk\n").rows[1].number == 4


def test_the_first_sheet_with_something_in_it_is_read_and_said() -> None:
    book = Workbook()
    book.create_sheet("Finds").append(["What", "Height"])
    book["Finds"].append(["Jar", 1])
    data = io.BytesIO()
    book.save(data)
    sheet = read_sheet("f.xlsx", data.getvalue())
    assert sheet.notes == ("Of 2 sheets the first with something in it was read: Finds.",)


def test_ods_gives_values_not_looks_and_counts_repeats() -> None:
    data = ods(
        HEAD
        + row(
            cell("Jar"),
            cell("24 cm", 'office:value-type="float" office:value="240.5"'),
            '<table:table-cell table:number-columns-repeated="16382"/>',
        )
        + row("<table:table-cell/>", said='table:number-rows-repeated="1048000"')
        + row(
            "<table:table-cell><office:annotation><text:p>note</text:p></office:annotation>"
            '<text:p>Ink<text:s text:c="2"/>b</text:p><text:p>two</text:p></table:table-cell>',
            cell("3.8.19", 'office:value-type="date" office:date-value="2019-08-03"'),
        )
        + row("<table:covered-table-cell><text:p>hidden</text:p></table:covered-table-cell>", cell("x"))
    )
    sheet = read_sheet("f.ods", data)
    assert [(each.number, *each.cells) for each in sheet.rows] == [
        (2, "Jar", "240.5"),
        (1_048_003, "Ink  b\ntwo", "2019-08-03"),
        (1_048_004, "", "x"),
    ]


TEXTS = st.text(st.characters(codec="utf-8"), max_size=30)


@given(st.lists(st.tuples(TEXTS, TEXTS), min_size=1, max_size=4))
def test_what_ods_writes_another_program_reads_and_we_read_back(texts: list[tuple[str, str]]) -> None:
    data = io.BytesIO()
    rows = [FindRow(number=str(at), what=what, notes=notes) for at, (what, notes) in enumerate(texts)]
    write_ods(rows, data, public=False)
    read = read_sheet("f.ods", data.getvalue())
    at = [read.headings.index(name) for name in ("What it is", "Notes")]
    plain = [tuple(tidy_cell(NOT_IN_XML.sub("", text)) for text in pair) for pair in texts]
    assert [tuple(each.cells[place] for place in at) for each in read.rows] == plain


def test_another_program_reads_our_ods() -> None:
    data = io.BytesIO()
    write_ods(
        [FindRow(number="2024.1.1", what="=SUM(1)", height_mm=None, notes="a  b\nc")], data, public=False
    )
    data.seek(0)
    rows = CalamineWorkbook.from_filelike(data).get_sheet_by_name("Finds").to_python()
    said = dict(zip(*rows, strict=True))
    assert (said["Number"], said["What it is"], said["Notes"]) == ("2024.1.1", "=SUM(1)", "a  b\nc")


def test_another_program_reads_the_same_cells_out_of_xlsx_and_ods() -> None:
    xlsx = xlsx_of([["What", "Height"], ["Jar", 240.5], ["Ink", "24 cm"]])
    for name, data in (("f.xlsx", xlsx), ("f.ods", ods(HEAD + row(cell("Jar", TYPED), cell("x", TYPED))))):
        theirs = CalamineWorkbook.from_filelike(io.BytesIO(data)).get_sheet_by_index(0).to_python()
        ours = [tuple(each.cells) for each in read_sheet(name, data).rows]
        assert ours == [tuple(str(value) for value in each) for each in theirs[1:]]


DOCTYPE = '<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b SYSTEM "file:///etc/passwd">]>'


def with_part(data: bytes, name: str, text: bytes) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for each in old.namelist():
            new.writestr(each, text if each == name else old.read(each))
        if name not in old.namelist():
            new.writestr(name, text)
    return out.getvalue()


def locked() -> bytes:
    book = Workbook()
    book.active["A1"].protection = Protection(locked=True)
    data = io.BytesIO()
    book.save(data)
    data = bytearray(data.getvalue())
    # the flag of encryption in the first entry and in the list at the end
    data[6] |= 1
    data[data.rindex(b"PK\x01\x02") + 8] |= 1
    at = data.find(b"PK\x01\x02")
    data[at + 8] |= 1
    return bytes(data)


XLSX = xlsx_of([["What", "Height"], ["Jar", 1]])
FORMULA = with_part(
    XLSX,
    "xl/worksheets/sheet1.xml",
    b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData><row r="1">'
    b'<c r="A1" t="inlineStr"><is><t>What</t></is></c><c r="B1"><f>SUM(1)</f></c></row></sheetData>'
    b"</worksheet>",
)
WIDE: list[list[object]] = [[f"h{at}" for at in range(300)], ["x"] * 300]


@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("f.csv", b"", "is empty"),
        ("f.csv", b" \r\n,,\r\n", "is empty"),
        ("f.csv", b"What,Height\n", "only headings"),
        ("f.xlsx", xlsx_of([]), "is empty"),
        ("f.xlsx", xlsx_of([["What", "Height"]]), "only headings"),
        ("f.ods", ods(""), "is empty"),
        ("f.ods", ods(HEAD), "only headings"),
        ("f.csv", csv_of(WIDE), "more than 200 columns"),
        ("f.xlsx", xlsx_of(WIDE), "more than 200 columns"),
        ("f.csv", b"What,Height\n" + b"Jar,1\n" * 100_000, "more than 20,000 rows"),
        ("f.csv", b"What,Height\nJar," + b"x" * 1_048_576, "Row 2"),
        ("f.ods", ods(HEAD + row(cell("x" * 1_048_576))), "Row 2, column A holds 1,048,576 letters"),
        ("f.csv", b"Town,What, town\na,b,c\n", "Columns A and C are both headed"),
        ("f.csv", b"What,,Height\na,b,c\n", "Row 2 has something in column B, which has no heading"),
        ("f.csv", b",What,Height\na,b,c\n", "column A, which has no heading"),
        ("f.csv", XLSX, "This is a zip or a newer spreadsheet"),
        ("f.xlsx", b"What,Height\nJar,1\n", "no spreadsheet"),
        ("f.xlsx", ods(HEAD), "no XLSX"),
        ("f.ods", XLSX, "no ODS"),
        ("f.xlsx", b"\xd0\xcf\x11\xe0" + b"\0" * 600, "locked with a password"),
        ("f.xlsx", locked(), "locked with a password"),
        ("f.ods", ods(HEAD, manifest="<m><manifest:encryption-data/></m>"), "locked with a password"),
        ("f.xls", b"\xd0\xcf\x11\xe0", "save it as XLSX"),
        ("f.docx", XLSX, "doesn't end in .csv"),
        ("f.xlsx", XLSX[:-200], "no spreadsheet"),
        ("f.xlsx", XLSX[:300] + b"!!" + XLSX[302:], "damaged"),
        ("f.xlsx", with_part(XLSX, "xl/workbook.xml", f"{DOCTYPE}<workbook/>".encode()), "unfolds itself"),
        ("f.xlsx", with_part(XLSX, "xl/worksheets/sheet1.xml", b"<worksheet><x>"), "damaged"),
        ("f.ods", ods(HEAD + row(cell("&a;")), before=DOCTYPE), "unfolds itself"),
        ("f.ods", ods(HEAD + "<unclosed>"), "damaged"),
        ("f.xlsx", FORMULA, "The formula in cell B1 has no stored result"),
        ("f.xlsx", xlsx_of([["What", "Height"], ["Jar", "#REF!"]]), "Row 2, column B shows the error #REF!"),
        (
            "f.ods",
            ods(HEAD + row(cell("Jar"), said='table:number-rows-repeated="900000000"')),
            "repeated without end",
        ),
        ("f.ods", ods(HEAD + row(cell("Jar"), said='table:number-rows-repeated="90000"')), "20,000 rows"),
        (
            "f.ods",
            ods(HEAD + row(cell("Jar", 'table:number-columns-repeated="9000"'))),
            "more than 200 columns",
        ),
        ("f.csv", "What\x81,Height\nJar,1".encode("latin-1"), "letters can't be read"),
    ],
)
def test_bad_files_are_refused_in_one_sentence(name: str, data: bytes, said: str) -> None:
    sentence = why(name, data)
    assert said in sentence and sentence.endswith(".") and len(sentence) < 200


def test_a_zip_bomb_is_not_unpacked() -> None:
    data = io.BytesIO()
    with (
        zipfile.ZipFile(data, "w", zipfile.ZIP_DEFLATED) as archive,
        archive.open("xl/workbook.xml", "w") as part,
    ):
        for _ in range(MOST_UNPACKED // 1024 // 1024 + 1):
            part.write(b"\0" * 1024 * 1024)
    assert len(data.getvalue()) < 1024 * 1024 and "unpacks to more than 250 MB" in why(
        "f.xlsx", data.getvalue()
    )


def test_a_cell_at_the_far_corner_costs_nothing() -> None:
    book = Workbook()
    book.active.append(["What", "Height"])
    book.active.append(["Jar", 1])
    book.active.cell(1_048_576, 1, "Ink")
    data = io.BytesIO()
    book.save(data)
    sheet = read_sheet("f.xlsx", data.getvalue())
    assert [each.number for each in sheet.rows] == [2, 1_048_576]


@given(st.binary(max_size=400), st.sampled_from(["f.csv", "f.xlsx", "f.ods"]))
def test_whatever_the_bytes_are_it_is_a_sheet_or_a_sentence(data: bytes, name: str) -> None:
    try:
        read_sheet(name, data)
    except SheetRefused as refused:
        assert str(refused).endswith(".")


@given(st.data())
def test_a_spreadsheet_with_bytes_changed_is_a_sheet_or_a_sentence(data: st.DataObject) -> None:
    name, whole = data.draw(st.sampled_from([("f.xlsx", XLSX), ("f.ods", ods(HEAD + row(cell("Jar"))))]))
    broken = bytearray(whole)
    for _ in range(data.draw(st.integers(1, 5))):
        broken[data.draw(st.integers(0, len(broken) - 1))] = data.draw(st.integers(0, 255))
    try:
        read_sheet(name, bytes(broken))
    except SheetRefused as refused:
        assert str(refused).endswith(".")


def test_columns_are_lettered_as_spreadsheets_do() -> None:
    assert [column_letters(at) for at in (0, 25, 26, 51, 52, 701, 702)] == [
        "A",
        "Z",
        "AA",
        "AZ",
        "BA",
        "ZZ",
        "AAA",
    ]
