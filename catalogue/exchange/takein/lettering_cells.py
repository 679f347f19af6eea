"""Cells that list several things: inscriptions, signs of making, opinions, each as the catalogue writes it or
as people do."""

import re
from collections.abc import Mapping
from datetime import date
from typing import Any

from catalogue.common.text import folded
from catalogue.exchange.mark_cells import mark_from_cell
from catalogue.exchange.takeout.columns import PARTED_BY
from catalogue.specimens.models import Inscription, Opinion
from catalogue.specimens.models.words import Certainty, Where
from catalogue.specimens.reading.value import LONGEST_LETTERS, Reading
from dating import Reference

from .cell_words import CellRefused
from .row_said import OpinionSaid

_LABELS = {
    "where": {folded(str(label)): key for key, label in Where.choices},
    "how": {folded(str(label)): key for key, label in Inscription.How.choices},
    "says": {folded(str(label)): key for key, label in Inscription.Says.choices},
}
_OPINION = re.compile(r"(?P<about>\w+): (?P<value>.*) \((?P<on>\d{4}-\d{2}-\d{2})\)", re.DOTALL)
_ABOUTS = {folded(str(label)): key for key, label in Opinion.About.choices}
_CERTAIN = {folded(str(label)): key for key, label in Certainty.choices}


def inscriptions_of(cell: str) -> list[dict[str, str]]:
    """Rows of lettering; " | " parts two, a line's end is a line break on the glass. Raises CellRefused."""
    found = []
    for part in cell.split(PARTED_BY):
        about, text = _told_before(part)
        text = " / ".join(line.strip() for line in text.split("\n") if line.strip())
        if not text:
            continue
        if len(text) > 1000:
            raise CellRefused(f"an inscription of {len(text):,} letters is too long, 1,000 go in")
        found.append({**_PLAIN, **about, "text": text})
    return found


_PLAIN = {
    "where": Where.BODY.value,
    "how": Inscription.How.EMBOSSED.value,
    "says": Inscription.Says.OTHER.value,
}


def _told_before(part: str) -> tuple[dict[str, str], str]:
    """ "body, embossed, bottler: QUILL" is told apart only where each word before the colon is known."""
    before, colon, text = part.partition(": ")
    about: dict[str, str] = {}
    if not colon:
        return {}, part.strip()
    for word in before.split(","):
        plain = folded(word)
        kind = next((kind for kind, labels in _LABELS.items() if kind not in about and plain in labels), "")
        if not kind:
            return {}, part.strip()
        about[kind] = _LABELS[kind][plain]
    return about, text.strip()


def mark_of(cell: str) -> dict[str, Any]:
    """A mark's letters as typed. Raises CellRefused for what is too long to be letters."""
    letters = " ".join(cell.split())
    if len(letters) > LONGEST_LETTERS:
        raise CellRefused(f"{len(letters)} letters are too many for a mark, {LONGEST_LETTERS} go in")
    return {"letters": letters}


Strange = list[tuple[str, str]]


def marks_of(
    cell: str, reference: Reference, *, before: list[dict[str, Any]] | None
) -> tuple[list[dict[str, Any]], Strange]:
    """Marks as the catalogue writes them part by part, after those of the cells `before`; then those with a
    sign that no mark on record has, in words, and which sign. Raises CellRefused."""
    found = list(before or ())
    strange: Strange = []
    for part in cell.split(PARTED_BY):
        try:
            mark = mark_from_cell(part.strip())
        except ValueError as error:
            raise CellRefused(
                f"“{part.strip()[:60]}” can't be read as a mark: {error}".rstrip(".")
            ) from error
        known = (("symbol", reference.symbols), ("frame", reference.frames))
        odd = next((mark[name] for name, words in known if mark[name] and mark[name] not in words), "")
        if odd:
            strange.append((Reading(**mark).in_words(), f"no mark on record has “{odd}”"))
        else:
            found.append(mark)
    return found, strange


def features_of(cell: str, terms: Mapping[str, str]) -> list[dict[str, str]]:
    """Signs of making by their terms; `terms`: key by folded term. Raises CellRefused."""
    found = []
    for part in re.split(r" \| |\n|; ", cell):
        about, _, term = part.rpartition(": ")
        key = terms.get(folded(part)) or terms.get(folded(term))
        if key is None:
            raise CellRefused(f"“{part.strip()[:60]}” is no sign of making that the tables have")
        words = [word.strip() for word in about.split(",")] if terms.get(folded(part)) is None else []
        sure = _CERTAIN.get(folded(words[-1])) if words else None
        note = ", ".join(words[:-1] if sure else words)
        found.append({"feature": key, "certainty": sure or Certainty.CERTAIN.value, "note": note[:200]})
    if len({each["feature"] for each in found}) < len(found):
        raise CellRefused("the same sign of making is named twice")
    return found


def opinions_of(cell: str, makers: Mapping[str, tuple[int, str]]) -> list[OpinionSaid]:
    """ "maker: Brackwater (2024-06-01) | made: 1930s (…)". Raises CellRefused."""
    found = []
    for part in cell.split(PARTED_BY):
        read = _OPINION.fullmatch(part.strip())
        about = _ABOUTS.get(folded(read["about"])) if read else None
        if not read or about is None:
            raise CellRefused(
                f"“{part.strip()[:60]}” can't be read as an opinion: maker: its name (2024-06-01)"
            )
        maker = None
        if about == Opinion.About.MAKER:
            if folded(read["value"]) not in makers:
                raise CellRefused(f"no maker on record is called “{read['value'][:60]}”")
            maker = makers[folded(read["value"])][0]
        try:
            on = date.fromisoformat(read["on"])
        except ValueError:
            raise CellRefused(f"“{read['on']}” is no day of the calendar") from None
        found.append(OpinionSaid(about, read["value"][:200], on, maker))
    return found
