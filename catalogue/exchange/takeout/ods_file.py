"""Finds as ODS (ISO/IEC 26300), one table: the XML of it is written row by row into a zip.

Numbers stand as numbers, days as days; text is text whatever it begins with, so nothing needs an apostrophe.
"""

import re
import zipfile
from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import IO

from .columns import SheetCell, columns_for
from .rows import FindRow
from .xml_text import XML_DECLARATION, Markup, element

ODS_TYPE = "application/vnd.oasis.opendocument.spreadsheet"
_NAMESPACE = "urn:oasis:names:tc:opendocument:xmlns:"
_BEGIN = (
    f'{XML_DECLARATION}<office:document-content xmlns:office="{_NAMESPACE}office:1.0" '
    f'xmlns:table="{_NAMESPACE}table:1.0" xmlns:text="{_NAMESPACE}text:1.0" office:version="1.2">'
    '<office:body><office:spreadsheet><table:table table:name="Finds">'
)
_END = "</table:table></office:spreadsheet></office:body></office:document-content>\n"
_MANIFEST = (
    f'{XML_DECLARATION}<manifest:manifest xmlns:manifest="{_NAMESPACE}manifest:1.0" manifest:version="1.2">'
    f'<manifest:file-entry manifest:full-path="/" manifest:version="1.2" manifest:media-type="{ODS_TYPE}"/>'
    '<manifest:file-entry manifest:full-path="content.xml" manifest:media-type="text/xml"/>'
    "</manifest:manifest>\n"
)


def write_ods(rows: Iterable[FindRow], target: IO[bytes], *, public: bool) -> None:
    """Write the spreadsheet; memory stays flat."""
    columns = columns_for(public=public)
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as archive:
        # First and stored, so that the kind of the file is seen in its first bytes (OpenDocument, part 2).
        archive.writestr("mimetype", ODS_TYPE, compress_type=zipfile.ZIP_STORED)
        archive.writestr("META-INF/manifest.xml", _MANIFEST)
        with archive.open("content.xml", "w") as content:
            content.write(_BEGIN.encode())
            content.write(_row([_cell(column.heading) for column in columns]))
            for row in rows:
                content.write(_row([_cell(column.cell(row)) for column in columns]))
            content.write(_END.encode())


def _row(cells: list[Markup]) -> bytes:
    return element("table:table-row", *cells).encode("utf-8", errors="replace")


def _cell(value: SheetCell) -> Markup:
    if value is None or value == "":
        return Markup("<table:table-cell/>")
    if isinstance(value, date):
        said = {"office:value-type": "date", "office:date-value": value.isoformat()}
        return element("table:table-cell", element("text:p", value.isoformat()), attributes=said)
    if isinstance(value, int | float | Decimal):
        text = f"{value.normalize():f}" if isinstance(value, Decimal) else str(value)
        said = {"office:value-type": "float", "office:value": text}
        return element("table:table-cell", element("text:p", text), attributes=said)
    # A line's end of two signs, as browsers send it, is one for XML.
    text = value.replace("\r\n", "\n").replace("\r", "\n")
    lines = [_paragraph(line) for line in text.split("\n")]
    return element("table:table-cell", *lines, attributes={"office:value-type": "string"})


# A run of spaces of which XML would make one, or a space at either end, which it would drop.
_SPACES = re.compile(r"\t|^ +| +$|(?<= ) +")


def _paragraph(line: str) -> Markup:
    """A line; what XML doesn't keep of its spaces and tabs stands as elements."""
    held: list[str] = []
    at = 0
    for found in _SPACES.finditer(line):
        held.append(line[at : found.start()])
        tab = found[0] == "\t"
        held.append(Markup("<text:tab/>" if tab else f'<text:s text:c="{len(found[0])}"/>'))
        at = found.end()
    return element("text:p", *held, line[at:])
