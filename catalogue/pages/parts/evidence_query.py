"""Evidence in the query string of an address: /date/ keeps all that was said there, so that a link shares it.

Years known from elsewhere are several, each with what, when and who says so. The keys of the second are
numbered (`after2`, `before2`, `why2` …), so that none can slip into another.
"""

from dataclasses import dataclass, field
from typing import Any

from django.http import QueryDict

from catalogue.common.forms.fields import as_edtf, why_not_years
from catalogue.common.limits import EARLIEST_YEAR, too_many_letters
from catalogue.specimens.evidence import FIRED_LABEL, GHOST_NOTE
from catalogue.specimens.reading.value import LONGEST_LETTERS, Reading
from catalogue.specimens.year_words import year_typed
from dating import Reference, edtf

LONGEST_ANSWER = 60
LONGEST_KNOWN_WORDS = 200
GHOST = "ghost"  # the answer “a stain where a fired label was”, beside the features of the tables
INSCRIPTION = "inscription"
MOST_KNOWN = 6
YOURS = "your own word"
KNOWN_KEYS = ("why", "after", "before", "when", "source")


@dataclass(slots=True)
class KnownRead:
    """One row: what was typed, its keys in the address, and what the dating service gets of it."""

    number: int
    typed: dict[str, str]
    row: dict[str, Any] = field(default_factory=dict)
    trouble: str = ""

    @property
    def keys(self) -> tuple[str, ...]:
        return tuple(key_of(name, self.number) for name in KNOWN_KEYS)

    @property
    def suffix(self) -> str:
        return "" if self.number == 1 else str(self.number)

    @property
    def words(self) -> str:
        """How a person says it back."""
        years = self.row.get("edtf") or f"{self.row.get('from') or ''}–{self.row.get('to') or ''}"
        return f"{self.row['what']}: {years}"


@dataclass(slots=True)
class QueryEvidence:
    """What the address says of a bottle in hand; `trouble` names what could not be taken, by its key."""

    case: dict[str, Any] = field(default_factory=dict)
    features: list[str] = field(default_factory=list)
    doubtful: set[str] = field(default_factory=set)
    ghost: bool = False
    cannot_tell: list[str] = field(default_factory=list)
    mark: Reading = Reading()
    known: list[KnownRead] = field(default_factory=list)
    text: str = ""
    trouble: dict[str, str] = field(default_factory=dict)

    @property
    def sound_known(self) -> list[KnownRead]:
        return [known for known in self.known if known.row]

    def certainty(self, feature: str) -> str:
        return "doubtful" if feature in self.doubtful else "certain"


def read_query(query: QueryDict, reference: Reference, this_year: int) -> QueryEvidence:
    """Read an address. What makes no sense is left out and named, never an error."""
    out = QueryEvidence(case={"this_year": this_year})
    out.text = query.get(INSCRIPTION, "").strip()[:400]
    chosen = [value for key in query if key == "f" or key.startswith("f-") for value in query.getlist(key)]
    for name in chosen:
        if name == GHOST:
            out.ghost = True
        elif name in reference.features:
            if name not in out.features:
                out.features.append(name)
        elif name:
            out.trouble["f"] = "One of the answers is not in the tables any more; it was left out."
    out.doubtful = {name for name in query.getlist("doubt") if name in out.features}
    out.cannot_tell = [name[:LONGEST_ANSWER] for name in query.getlist("skip")][:200]
    out.mark = Reading.of_query(query, reference)
    if (typed := len(query.get("letters", "").strip())) > LONGEST_LETTERS:
        out.trouble["letters"] = (
            f"Letters: {typed} are too many for a mark; the first {LONGEST_LETTERS} were taken."
        )
    for key, values, label in (
        ("contents", reference.contents, "It held"),
        ("region", reference.regions, "Made or sold in"),
    ):
        value = query.get(key, "").strip()
        if value in values:
            out.case[key] = value
        elif value:
            out.trouble[key] = f"{label}: “{value[:LONGEST_ANSWER]}” is not known. Choose one of the list."
    _years(query, out, this_year)
    out.case["features"] = [{"id": name, "certainty": out.certainty(name)} for name in out.features]
    if out.ghost and not any(name.startswith(FIRED_LABEL) for name in out.features):
        out.case["features"].append({"id": FIRED_LABEL, "certainty": "doubtful", "note": GHOST_NOTE})
    if out.mark.was_read:
        out.case["marks"] = [out.mark.case()]
    if out.cannot_tell:
        out.case["asked"] = out.cannot_tell
    return out


def _years(query: QueryDict, out: QueryEvidence, this_year: int) -> None:
    out.known = read_known(query, this_year)
    for known in out.known:
        if known.trouble:
            out.trouble[f"known{known.number}"] = known.trouble
    if out.sound_known:
        out.case["known"] = [known.row for known in out.sound_known]
    typed = query.get("recovered", "").strip()
    if recovered := year_typed(typed, this_year):
        out.case["recovered"] = recovered
    elif typed:
        out.trouble["recovered"] = f"Came up in: give a year from {EARLIEST_YEAR} to {this_year}."


def key_of(name: str, number: int) -> str:
    """The key of a part of the row with that number."""
    return name if number == 1 else f"{name}{number}"


def read_known(query: QueryDict, this_year: int) -> list[KnownRead]:
    """The rows of an address that say anything; one that makes no sense has its trouble and no row."""
    rows = []
    for number in range(1, MOST_KNOWN + 1):
        typed = {name: _typed(query, key_of(name, number)) for name in KNOWN_KEYS}
        if typed["after"] or typed["before"] or typed["when"]:
            rows.append(_known_row(KnownRead(number, typed), this_year))
    return rows


def _typed(query: QueryDict, key: str) -> str:
    return query.get(key, "").strip()


def _known_row(known: KnownRead, this_year: int) -> KnownRead:
    typed = known.typed
    longest = max(len(typed["why"]), len(typed["source"]))
    if longest > LONGEST_KNOWN_WORDS:
        known.trouble = f"{too_many_letters(longest, LONGEST_KNOWN_WORDS)}."
        return known
    row: dict[str, Any] = {"what": typed["why"] or "known from elsewhere", "source": typed["source"] or YOURS}
    if typed["when"]:
        if typed["after"] or typed["before"]:
            known.trouble = "Give the years in one way: not before and not after, or as written."
            return known
        row["edtf"] = as_edtf(typed["when"])
        try:
            known.trouble = why_not_years(edtf.parse(row["edtf"]))
        except edtf.EdtfError as error:
            known.trouble = f"Years as written: {error}."
        known.row = {} if known.trouble else row
        return known
    for name, key, words in (("after", "from", "Not before"), ("before", "to", "Not after")):
        year = year_typed(typed[name], this_year)
        if typed[name] and year is None:
            known.trouble = f"{words}: give a year from {EARLIEST_YEAR} to {this_year}."
            return known
        row[key] = year
    if row["from"] and row["to"] and row["from"] > row["to"]:
        known.trouble = "Not after is earlier than not before. Swap them."
        return known
    known.row = row
    return known
