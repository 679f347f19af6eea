"""Spreadsheets read back by the csv module and by openpyxl, hostile cells among them."""

import csv
import datetime
import io
from decimal import Decimal

import pytest
from openpyxl import load_workbook

from catalogue.exchange.takeout.columns import FIND_COLUMNS
from catalogue.exchange.takeout.formats import OPEN_FORMATS, taken_out
from catalogue.exchange.takeout.rows import PUBLIC_FIELDS, FindRow, keys_of, rows_of
from catalogue.specimens.models import Inscription, Specimen
from catalogue.specimens.services import Parts
from tests import factories

HOSTILE = '=HYPERLINK("http://example.org","+1")'


def bytes_of(key: str, *, public: bool = False) -> bytes:
    keys = keys_of(Specimen.objects.all(), public=public)
    return b"".join(taken_out(keys, OPEN_FORMATS[key], public=public))


def csv_rows(**how: bool) -> list[dict[str, str]]:
    text = bytes_of("csv", **how).decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text, newline="")))


def xlsx_rows(**how: bool) -> list[dict[str, object]]:
    sheet = load_workbook(io.BytesIO(bytes_of("xlsx", **how)))["Finds"]
    heads, *rows = sheet.iter_rows()
    names = [cell.value for cell in heads]
    return [dict(zip(names, row, strict=True)) for row in rows]


@pytest.fixture
def bottle(db) -> Specimen:
    """One find with something in nearly every column, some of it hostile."""
    site = factories.site(
        latitude=Decimal("-44.341667"),
        longitude=Decimal("-75.92"),
        water_body="Velmoor Sound",
        show_as="exact",
    )
    bottler = factories.bottler(town=factories.town("Inchgate"))
    return factories.find(
        "Soda, aqua; “tall”",
        Parts(
            readings=[factories.reading("B?", right="6")],
            inscriptions=[Inscription(text="QUILL / & SONS", where="body", says="bottler")],
        ),
        dive=factories.dive(site),
        town=factories.town(region="Velshire", country="GB"),
        bottler=bottler,
        height_mm=Decimal("240.0"),
        mass_g=Decimal("512.5"),
        notes=HOSTILE,
        story="first line\nsecond, “quoted” line",
        where_on_site="@ the ledge",
        place=factories.place("Third shelf", factories.place()),
        shared=True,
    )


def test_csv_is_utf8_with_a_mark_and_reads_back(bottle: Specimen) -> None:
    assert bytes_of("csv").startswith(b"\xef\xbb\xbf")
    [row] = csv_rows()
    assert row["Number"] == bottle.number and row["What it is"] == "Soda, aqua; “tall”"
    assert (row["Height, mm"], row["Mass, g"]) == ("240", "512.5")
    assert (row["Latitude, °"], row["Longitude, °"]) == ("-44.341667", "-75.92")
    assert row["Came up on"] == "2024-06-01"
    assert (row["Town"], row["Region of the town"], row["Country of the town"]) == (
        "Marrowby",
        "Velshire",
        "GB",
    )
    assert row["Town of the bottler"] == "Inchgate"
    assert row["Inscriptions"] == "body, embossed, bottler: QUILL / & SONS"
    assert "6 at the right" in row["Maker's marks as read"]
    assert row["Place"] == bottle.place.path and row["Story"] == "first line\nsecond, “quoted” line"
    assert row["Made (EDTF)"] == bottle.made_edtf


def test_no_cell_of_csv_is_run(bottle: Specimen) -> None:
    [row] = csv_rows()
    assert row["Notes"] == f"'{HOSTILE}" and row["Where on the site"] == "'@ the ledge"
    numbers = {column.heading for column in FIND_COLUMNS if column.name in ("latitude", "longitude")}
    assert not [head for head, text in row.items() if text[:1] in "=+-@\t\r" and text and head not in numbers]


def test_xlsx_has_numbers_days_and_text(bottle: Specimen) -> None:
    [row] = xlsx_rows()
    assert (row["Height, mm"].value, row["Height, mm"].data_type) == (240, "n")
    assert row["Latitude, °"].value == pytest.approx(-44.341667)
    assert row["Came up on"].is_date and row["Came up on"].value.date() == datetime.date(2024, 6, 1)
    assert row["Story"].value == "first line\nsecond, “quoted” line"


def test_no_cell_of_xlsx_is_a_formula(bottle: Specimen) -> None:
    [row] = xlsx_rows()
    assert (row["Notes"].value, row["Notes"].data_type) == (HOSTILE, "s")
    assert row["Notes"].quotePrefix and row["Where on the site"].quotePrefix and not row["Story"].quotePrefix
    assert [cell for cell in row.values() if cell.data_type == "f"] == []


def test_what_xml_and_a_cell_cannot_hold(db) -> None:
    texts = [Inscription(text="é\x01" + "\U0001f41a" * 900) for _ in range(30)]
    factories.find(parts=Parts(inscriptions=texts), notes="a\x0bb\ufffe")
    [row] = xlsx_rows()
    assert row["Notes"].value == "ab"
    text = row["Inscriptions"].value
    assert text.endswith("[…]") and len(text.encode("utf-16-le")) // 2 <= 32_767


def test_days_before_the_format_counts_are_text(bottle: Specimen) -> None:
    Specimen.objects.get().dive.__class__.objects.update(date=datetime.date(1899, 12, 31))
    assert xlsx_rows()[0]["Came up on"].value == "1899-12-31"


def test_public_holds_only_what_visitors_see(bottle: Specimen) -> None:
    factories.find("Private flask")
    [row] = csv_rows(public=True)
    assert "Private flask" not in bytes_of("csv", public=True).decode()
    assert {"Notes", "Place", "Came up on", "Where on the site", "Standing"}.isdisjoint(row)
    assert row["Site"] == "Heron Ledge" and row["Story"]


def test_every_column_is_a_field_and_every_field_has_a_column(bottle: Specimen) -> None:
    fields = set(FindRow.__dataclass_fields__)
    assert {column.name for column in FIND_COLUMNS} == fields
    assert len({column.heading for column in FIND_COLUMNS}) == len(FIND_COLUMNS)
    [row] = rows_of([bottle.pk], public=True)
    blank = FindRow(number="", what="")
    for name in fields - PUBLIC_FIELDS:
        assert getattr(row, name) == getattr(blank, name), name


@pytest.mark.parametrize("public", [False, True])
def test_queries_do_not_grow_with_the_finds(bottle: Specimen, django_assert_max_num_queries, public) -> None:
    factories.site("Tallow Cove")
    for count in range(40):
        factories.find(f"Flask {count}", shared=True, dive=bottle.dive)
    keys = keys_of(Specimen.objects.all(), public=public)
    # finds, inscriptions, readings; features, opinions and four to see whether the tables have changed, or
    # the hidden sites' names and captions
    with django_assert_max_num_queries(9):
        assert len(list(rows_of(keys, public=public))) == 41


def test_what_went_into_the_bin_meanwhile_is_left_out(bottle: Specimen) -> None:
    keys = keys_of(Specimen.objects.all(), public=False)
    bottle.put_in_bin()
    assert list(rows_of(keys, public=False)) == []
