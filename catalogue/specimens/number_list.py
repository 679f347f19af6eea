"""Catalogue numbers as people give them: lists, ranges, a spreadsheet's column, what a scanner reads. Pure.

`2026.0.1-26`, `2026.0.1 to 2026.0.26`, `2026-14-3`, the address on a label whatever machine it names; parted
by blanks, commas, semicolons or lines. Labels, moves and acts on many finds all ask this one parser.
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

MOST_NUMBERS = 10_000  # finds in one act, or labels in one file: more is a slip of the paste
_SHAPE = re.compile(r"(\d{4})[.](\d{1,6})[.](\d{1,6})([a-z]?)")
_DASHED = re.compile(r"(\d{4})-(\d{1,6})-(\d{1,6})([a-z]?)")
_RANGE = re.compile(r"(\d{4}[.]\d{1,6}[.]\d{1,6}[a-z]?)(?:-|[.]{2,3})(\d[\d.]*[a-z]?)")
_ADDRESS = re.compile(r"(?:https?:/*)?[^\s/]*/(?:f|finds)/([^/?#\s]+)/?(?:[?#].*)?")
# A dash, or "to", with blanks about it belongs to the range that it stands in.
_WIDE_DASH = re.compile(r"(?<=[0-9a-z])[ \t]*-[ \t]*(?=\d)|(?<=[0-9a-z])[ \t]+to[ \t]+(?=\d)")
_DASHES = dict.fromkeys(map(ord, "‐‑‒–—−"), "-") | {ord("…"): "..."}
# What spreadsheets, scanners and copied pages bring along unseen.
_UNSEEN = dict.fromkeys(map(ord, "\ufeff\u200b\u200e\u200f\u2060\x00"), None) | {0xA0: " ", 0x1D: " "}
_PARTED = re.compile(r"[\s,;|]+")
AS_ON_LABEL = "write it as on its label, 2026.14.3"


@dataclass(frozen=True, slots=True)
class NumberMistake:
    """A word that can't be followed: where it stands, and what to do."""

    line: int
    word: str
    why: str

    def words(self, *, lines: bool) -> str:
        """ "Line 3, “2026.x”: …"; without the line where only one was typed."""
        short = self.word if len(self.word) <= 40 else f"{self.word[:39]}…"
        return f"{f'Line {self.line}, ' if lines else ''}“{short}”: {self.why}."


@dataclass(frozen=True, slots=True)
class NumberRun:
    """Whole pieces `first` to `last` of one series, or one number with its part; no part in between."""

    year: int
    ordinal: int
    first: int
    last: int
    part: str = ""

    def numbers(self) -> Iterator[str]:
        """Each number as it is stored."""
        for piece in range(self.first, self.last + 1):
            yield f"{self.year:04}.{self.ordinal}.{piece}{self.part}"


@dataclass(frozen=True, slots=True)
class NumberList:
    """What was understood, in the order typed, and what was not; `lines` that were typed on."""

    runs: tuple[NumberRun, ...]
    mistakes: tuple[NumberMistake, ...]
    lines: int

    @property
    def count(self) -> int:
        """How many numbers are named, before doubles are taken out. Expands nothing."""
        return sum(run.last - run.first + 1 for run in self.runs)

    def numbers(self) -> list[str]:
        """Each number once, in the order typed."""
        return list(dict.fromkeys(number for run in self.runs for number in run.numbers()))

    def complaints(self, most: int = 5) -> list[str]:
        """A sentence for each of the first mistakes, and how many more there are."""
        said = [each.words(lines=self.lines > 1) for each in self.mistakes[:most]]
        if left := len(self.mistakes) - len(said):
            said.append(f"{left} more {'is' if left == 1 else 'are'} no numbers either.")
        return said


def read_numbers(text: str) -> NumberList:
    """Read what was typed, pasted or scanned. Nothing of it is lost: what is no number is a mistake."""
    runs: list[NumberRun] = []
    mistakes: list[NumberMistake] = []
    lines = text.translate(_UNSEEN).translate(_DASHES).splitlines()
    for at, line in enumerate(lines, 1):
        for typed in _PARTED.split(_WIDE_DASH.sub("-", line.lower())):
            word = typed.strip("\"'()[]<>#:").rstrip(".\"')]")
            if not word:
                continue
            run = _run_of(word)
            if isinstance(run, NumberRun):
                runs.append(run)
            else:
                mistakes.append(NumberMistake(at, word, run))
    return NumberList(tuple(runs), tuple(mistakes), len(lines))


def _run_of(word: str) -> NumberRun | str:
    """The run that one word names, or why it names none."""
    if found := _ADDRESS.fullmatch(word):
        word = found[1]
    if found := _SHAPE.fullmatch(word) or _DASHED.fullmatch(word):
        year, ordinal, piece = int(found[1]), int(found[2]), int(found[3])
        return NumberRun(year, ordinal, piece, piece, found[4])
    if found := _RANGE.fullmatch(word):
        return _range_of(found[1], found[2])
    return f"this is no number; {AS_ON_LABEL}"


def _range_of(begins: str, ends: str) -> NumberRun | str:
    begin = _SHAPE.fullmatch(begins)
    if begin is None:
        return f"this is no number; {AS_ON_LABEL}"
    year, ordinal, first = int(begin[1]), int(begin[2]), int(begin[3])
    if end := _SHAPE.fullmatch(ends):
        if (int(end[1]), int(end[2])) != (year, ordinal):
            return "a range stays within one dive; write one range for each"
        last, parts = int(end[3]), begin[4] + end[4]
    elif ends.isdigit() and len(ends) <= 6:
        last, parts = int(ends), begin[4]
    else:
        return f"where does this range end? Write {year:04}.{ordinal}.{first}-{first + 9}"
    if parts:
        return "a range counts whole pieces; write the parts one by one"
    if last < first:
        return f"this range runs backwards; write {year:04}.{ordinal}.{last}-{first}"
    return NumberRun(year, ordinal, first, last)


def as_ranges(numbers: Iterable[str]) -> str:
    """Numbers as short as they can be typed: "2026.0.1-26, 2026.0.30"; what follows on is one range."""
    runs: list[NumberRun] = []
    for number in numbers:
        found = _SHAPE.fullmatch(number)
        if found is None:
            raise ValueError(number)
        year, ordinal, piece = int(found[1]), int(found[2]), int(found[3])
        before = runs[-1] if runs else None
        if (
            before
            and not (found[4] or before.part)
            and (before.year, before.ordinal, before.last + 1) == (year, ordinal, piece)
        ):
            runs[-1] = NumberRun(year, ordinal, before.first, piece)
        else:
            runs.append(NumberRun(year, ordinal, piece, piece, found[4]))
    return ", ".join(_written(run) for run in runs)


def _written(run: NumberRun) -> str:
    begins = f"{run.year:04}.{run.ordinal}.{run.first}{run.part}"
    return begins if run.first == run.last else f"{begins}-{run.last}"
