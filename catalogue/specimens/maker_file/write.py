"""Write a maker as a file."""

import json
from typing import Any

from catalogue.specimens.models import Maker, OwnCode, OwnMark
from catalogue.specimens.tables import code_row, mark_row

from .names import FORMAT, VERSION

YEAR_COLUMNS = ("used_from", "used_to", "valid_from", "valid_to")
FLAGS = ("from_circa", "to_circa")


def write_maker_file(maker: Maker) -> str:
    """The maker with its works, marks and codes as JSON. Seven queries."""
    marks = list(maker.own_marks.all())
    # keys of this catalogue mean nothing in another: marks and codes are numbered anew
    names = {mark.key: f"mark-{n}" for n, mark in enumerate(marks, 1)}
    codes = maker.own_codes.select_related("bottler", "product", "works").prefetch_related("marks")
    whole = {
        "format": FORMAT,
        "version": VERSION,
        "maker": {
            "name": maker.name,
            "place": maker.place,
            "country": maker.country,
            "from": maker.from_year,
            "to": maker.to_year,
            "source": maker.source,
        },
        "works": [
            {
                "name": works.name,
                "town": ", ".join(filter(None, (works.town.name, works.town.region))) if works.town else "",
                "from": works.from_year,
                "to": works.to_year,
            }
            for works in maker.works.select_related("town")
        ],
        "marks": [_mark(mark, maker, names) for mark in marks],
        "codes": [_code(code, n, names) for n, code in enumerate(codes, 1)],
    }
    return json.dumps(whole, ensure_ascii=False, indent=1) + "\n"


def _mark(mark: OwnMark, maker: Maker, names: dict[str, str]) -> dict[str, Any]:
    mark.maker = maker  # spares a query for each
    return _plain(mark_row(mark) | {"id": names[mark.key]})


def _code(code: OwnCode, number: int, names: dict[str, str]) -> dict[str, Any]:
    row = code_row(code, ())
    its_marks = [names[key] for key in row["mark_ids"].split(";") if key in names]
    return _plain(row | {"id": f"code-{number}", "mark_ids": ";".join(its_marks)})


def _plain(row: dict[str, str]) -> dict[str, Any]:
    """Years as numbers, yes and no as such."""
    out: dict[str, Any] = dict(row)
    for name in YEAR_COLUMNS:
        if name in out:
            out[name] = int(out[name]) if out[name] else None
    for name in FLAGS:
        if name in out:
            out[name] = out[name] == "true"
    return out
