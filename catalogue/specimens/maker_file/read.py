"""Read a maker's file: data only, nothing in it is ever run, and nothing is saved here."""

import json
from dataclasses import dataclass, field

import dating
from catalogue.specimens.models import Maker, OwnCode, OwnMark, Works
from catalogue.specimens.tables import code_row, mark_row

from .errors import MakerFileError
from .fields import items, mapping, row_of, text
from .names import CODE, FORMAT, MAKER, MARK, PASSED_OVER, VERSION, WORKS

MAKER_FILE_BYTES = 200_000  # bytes; the longest maker of the published tables would need a tenth of it
MAKER_FILE_ROWS = {"works": 50, "marks": 100, "codes": 100}
TOP = {"format", "version", "maker", "works", "marks", "codes"}


@dataclass(slots=True)
class CodeRead:
    """An unsaved code and the names it is bound to."""

    code: OwnCode
    marks: list[OwnMark]
    bottler: str = ""
    product: str = ""
    works: str = ""


@dataclass(slots=True)
class MakerFile:
    """What a file holds, as unsaved rows."""

    maker: Maker
    works: list[tuple[Works, str]] = field(default_factory=list)  # with the town as written
    marks: list[OwnMark] = field(default_factory=list)
    codes: list[CodeRead] = field(default_factory=list)

    def code_rows(self) -> list[dict[str, str]]:
        """The codes in the columns of the tables, before anything is saved."""
        return [
            code_row(read.code, ())
            | {"bottler": read.bottler, "product": read.product, "works": read.works, "id": f"code-{n}"}
            for n, read in enumerate(self.codes, 1)
        ]


def read_maker_file(content: bytes) -> MakerFile:
    """The maker in the file; raises MakerFileError with one sentence and the key path."""
    if len(content) > MAKER_FILE_BYTES:
        raise MakerFileError(f"the file is larger than {MAKER_FILE_BYTES // 1000} kB, which no maker needs")
    top = mapping(_json(content), "", TOP)
    if top.get("format") != FORMAT:
        raise MakerFileError(f"this is not a maker's file: “{FORMAT}” is expected here", "format")
    if top.get("version") != VERSION or isinstance(top.get("version"), bool):
        raise MakerFileError(f"only version {VERSION} of the format is understood", "version")
    given = mapping(top.get("maker"), "maker", set(MAKER))
    maker = row_of(Maker, given, MAKER, "maker")
    maker.name, maker.country = " ".join(maker.name.split()), maker.country.upper()
    out = MakerFile(maker)
    _works(top.get("works"), out)
    ids = _marks(top.get("marks"), out)
    _codes(top.get("codes"), out, ids)
    _joins(out)
    return out


def _json(content: bytes) -> object:
    def refuse(word: str) -> None:
        raise ValueError(f"{word} is no value of a file")

    try:
        return json.loads(content.decode("utf-8-sig"), parse_constant=refuse)
    except UnicodeDecodeError as error:
        raise MakerFileError("this is not a text file in UTF-8") from error
    except json.JSONDecodeError as error:
        raise MakerFileError(f"this is not JSON: line {error.lineno} can't be read") from error
    except (ValueError, RecursionError) as error:
        raise MakerFileError("this is not a maker's file: a value in it can't be read") from error


def _works(value: object, out: MakerFile) -> None:
    for n, item in enumerate(items(value, "works", MAKER_FILE_ROWS["works"])):
        at = f"works[{n}]"
        given = mapping(item, at, {*WORKS, *PASSED_OVER["works"]})
        works = row_of(Works, given, WORKS, at)
        if works.name.casefold() in {other.name.casefold() for other, _ in out.works}:
            raise MakerFileError("these works are there twice", f"{at}.name")
        out.works.append((works, text(given.get("town"), f"{at}.town")))


def _marks(value: object, out: MakerFile) -> dict[str, OwnMark]:
    ids: dict[str, OwnMark] = {}
    for n, item in enumerate(items(value, "marks", MAKER_FILE_ROWS["marks"])):
        at = f"marks[{n}]"
        given = mapping(item, at, {*MARK, *PASSED_OVER["marks"]})
        mark = row_of(OwnMark, given, MARK, at)
        name = text(given.get("id"), f"{at}.id")
        if name in ids:
            raise MakerFileError(f"“{name}” is there twice", f"{at}.id")
        if name:
            ids[name] = mark
        mark.maker = out.maker
        out.marks.append(mark)
    return ids


def _codes(value: object, out: MakerFile, ids: dict[str, OwnMark]) -> None:
    known_works = {works.name.casefold() for works, _ in out.works}
    for n, item in enumerate(items(value, "codes", MAKER_FILE_ROWS["codes"])):
        at = f"codes[{n}]"
        given = mapping(item, at, {*CODE, *PASSED_OVER["codes"]})
        code = row_of(OwnCode, given, CODE, at)
        named = [name.strip() for name in text(given.get("mark_ids"), f"{at}.mark_ids", 4000).split(";")]
        for name in filter(None, named):
            if name not in ids:
                raise MakerFileError(f"there is no mark “{name[:40]}” in this file", f"{at}.mark_ids")
        bound = {key: text(given.get(key), f"{at}.{key}") for key in ("bottler", "product", "works")}
        if bound["works"] and bound["works"].casefold() not in known_works:
            raise MakerFileError("these works are not among those of the file", f"{at}.works")
        out.codes.append(CodeRead(code, [ids[name] for name in named if name], **bound))


def _joins(out: MakerFile) -> None:
    """Whether the rows could join the tables, one by one so that a refusal names its own."""
    for n, mark in enumerate(out.marks):
        _join(f"marks[{n}]", marks=[mark_row(mark) | {"id": "own-new"}])
    for n, row in enumerate(out.code_rows()):
        _join(f"codes[{n}]", date_codes=[row])


def _join(at: str, **rows: list[dict[str, str]]) -> None:
    try:
        dating.reference().with_own(**rows)
    except dating.ReferenceError as error:
        raise MakerFileError(error.message, f"{at}.{error.field}") from error
