"""The facts of care beside their second source (`second_source.csv`): what rows must say, what is missing.

A line names a table, the keys of one or more rows (joined by ``;``), the words that stand in each of them
(joined by ``|``; ``column: cell`` for a cell that decides something) and where else they are told. Pure.
"""

import csv
import re
from collections.abc import Iterator, Mapping
from pathlib import Path

from catalogue.care.care_tables import CARE_FACTS

Rows = Mapping[str, str]

SECOND = (Path(__file__).parent / "second_source.csv").read_text(encoding="utf-8")
CHECKS = list(csv.DictReader(SECOND.splitlines()))
# What names a row, where it is not the column `key`.
NAMED_BY = {
    "acts": ("act", "gate"),
    "decision": ("condition", "growth", "look"),
    "grading": ("grade", "kinds"),
    "kit": ("name",),
    "storage": ("kind",),
    "weak_acids": ("name",),
}
# Cells that decide something by themselves: each must stand in a line, whole.
DECIDES = {
    "acts": ("answer",),
    "decision": ("recommended", "allowed", "forbidden"),
    "gates": ("stops", "override", "then_plain"),
    "grading": ("extent_from",),
    "growth_kept": ("method", "stage"),
    "kit": ("softness", "rough", "where", "bore_from_mm", "bore_to_mm"),
    "methods": ("effort", "groups", "logs_as"),
    "bath_steps": ("part",),
    "mixture_limits": ("wt_pct",),
    "safety": ("part",),
    "treatments": ("waits", "again"),
    "weak_acids": ("g_per_mol", "takes", "g_per_l"),
}
TABLES = (
    *("acts", "bath_steps", "decision", "gates", "grading", "growth_kept", "kit", "methods"),
    *(
        "mixture_limits",
        "safety",
        "standing_cautions",
        "storage",
        "treatments",
        "visitor_hazards",
        "weak_acids",
    ),
)
# A word that turns a sentence round, and so may not stand where no line looks.
TURNS = re.compile(
    r"\d|\b(?:never|not|no|nor|don't|doesn't|without|only|nothing|nobody|nobody's|at once|first|before|until|"
    r"cold|wet|always|ask|report|call)\b",
    re.IGNORECASE,
)
FIGURES_OF_THE_BATH = re.compile(r"\{\w+\}")
NO_FACT = {"source", "basis", "rests_on"}
# Columns of which every sentence is a caution, a reason or what to do.
PROSE = frozenset({"words", "mind", "caution", "reason", "advice", "look_for", "leaves"})
# Tables whose every word of such a column is looked at.
WORD_FOR_WORD = frozenset(
    {
        *("acts", "bath_steps", "gates", "mixture_limits", "safety", "standing_cautions", "storage"),
        "visitor_hazards",
    }
)
SENTENCE = re.compile(r"[^.;!?\s](?:[^.;!?]|[.](?=\d))*[.;!?]?")
DECIDING = sorted({column for each in DECIDES.values() for column in each})
CELL = re.compile(rf"(?:{'|'.join(DECIDING)}): ")
SEEN = "\x00"


def rows_now(table: str) -> dict[str, str]:
    """The words of every row as the table has them: ``column: cell`` a line, by the row's key."""
    named = NAMED_BY.get(table, ("key",))
    found = {}
    for row in csv.DictReader(CARE_FACTS.text(table).splitlines()):
        cells = (f"{name}: {cell}" for name, cell in row.items() if name not in (*named, *NO_FACT))
        found["/".join(row[name] for name in named)] = "\n".join(cells)
    return found


def parts_by_key(table: str) -> dict[str, list[str]]:
    """What must stand in each row."""
    found: dict[str, list[str]] = {}
    for check in CHECKS:
        if check["table"] == table:
            for key in check["key"].split(";"):
                found.setdefault(key, []).extend(filter(None, check["says"].split("|")))
    return found


def complaints(table: str, rows: Rows) -> Iterator[str]:
    """What is wrong with rows of a table beside their lines: gone, changed, or looked at by no line."""
    wanted = parts_by_key(table)
    yield from (f"{key}: no such row" for key in wanted.keys() - rows.keys())
    for key, words in rows.items():
        parts = wanted.get(key, [])
        yield from (f"{key}: it doesn't say {part!r}" for part in parts if not _stands(part, words))
        yield from (f"{key}: {said!r} stands unchecked" for said in unchecked(table, words, parts))


def _stands(part: str, words: str) -> bool:
    """A cell that decides stands whole, on its line; other words anywhere."""
    return part in (words.split("\n") if CELL.match(part) else words)


def unchecked(table: str, words: str, parts: list[str]) -> Iterator[str]:
    """Sentences of a row that no line looks at, or only beside what turns them round."""
    for line in words.split("\n"):
        column, _, cell = line.partition(": ")
        if column in DECIDES.get(table, ()):
            if line not in parts:
                yield line
            continue
        left = list(cell)
        for part in parts:
            for found in re.finditer(re.escape(part), cell):
                left[found.start() : found.end()] = SEEN * len(part)
        for found in SENTENCE.finditer(cell):
            rest = FIGURES_OF_THE_BATH.sub("", "".join(left[found.start() : found.end()]))
            overlooked = re.search(r"\w{4}", rest) if table in WORD_FOR_WORD else SEEN not in rest
            if TURNS.search(rest) or (column in PROSE and overlooked):
                yield found[0]
