"""What a file would bring, shown before anything is saved."""

from dataclasses import dataclass

import dating
from catalogue.pages.parts.table_marks import CodeShown, MarkShown, codes_shown, marks_shown
from catalogue.specimens.maker_file import MakerFile, read_maker_file, would_change
from catalogue.specimens.models import Maker
from catalogue.specimens.queries import catalogue_axis
from catalogue.specimens.tables import mark_row


@dataclass(frozen=True, slots=True)
class Brought:
    """The maker of a file as the page shows it; `changes`: finds dated otherwise (None: too many to try)."""

    read: MakerFile
    marks: list[MarkShown]
    codes: list[CodeShown]
    changes: int | None


def brought(content: bytes, same: Maker | None) -> Brought:
    """The file read and tried out, then taken back. Raises MakerFileError."""
    read = read_maker_file(content)
    marks = [mark_row(mark) | {"id": f"file-mark-{n}"} for n, mark in enumerate(read.marks)]
    codes = read.code_rows()
    ref = dating.reference().with_own(marks=marks, date_codes=codes)
    return Brought(
        read,
        marks_shown([ref.marks[row["id"]] for row in marks], ref, catalogue_axis()),
        codes_shown([ref.date_codes[row["id"]] for row in codes], ref),
        would_change(read_maker_file(content), in_place_of=same),
    )
