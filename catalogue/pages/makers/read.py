"""Read a mark: what stands on the glass, how it was understood, and whose mark it may be, while one types."""

from dataclasses import dataclass, field
from urllib.parse import urlencode

from django.http import HttpResponse, QueryDict
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_safe

import dating
from catalogue.common.limits import EARLIEST_YEAR
from catalogue.pages.parts.choices import region_words
from catalogue.pages.parts.htmx import HtmxRequest
from catalogue.pages.parts.table_marks import Ranking, ranking
from catalogue.specimens.reading.value import (
    LONGEST_LETTERS,
    SIDES,
    Reading,
    arrangements,
    frames,
    symbols,
)
from catalogue.specimens.tables import current_reference
from catalogue.specimens.year_words import year_typed

LONGEST_TYPED = 400
PARTS = ("letters", *SIDES)


@dataclass(slots=True)
class DividedText:
    """A reading for the dating service, the words left over, and the address that says it part by part."""

    text: str
    mark: Reading
    rest: str
    years: tuple[int | None, int | None] | None
    parts: QueryDict
    trouble: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class PhraseBesides:
    """One phrase, what it says, and the way to dating with it where it points to something."""

    words: str
    says: str
    language: str
    address: str
    act: str


@require_safe
def read_mark(request: HtmxRequest) -> HttpResponse:
    """The page, or for a live change only its answer."""
    reference = current_reference()
    this_year = timezone.localdate().year
    read = divide(request.GET, reference, this_year)
    found, trouble = _found(read, reference, this_year)
    address = carried(read)
    beside = read.mark.beside if read.mark.was_read else {}
    context: dict[str, object] = {
        "read": read,
        "found": found,
        "trouble": read.trouble.get("text") or trouble,
        "beside": [(SIDES[side], chars or "nothing") for side, chars in beside.items()],
        "carried": address,
        "says": phrases_besides(read.text or read.rest, address),
        "correct": read.parts.urlencode() + (f"&{urlencode({'rest': read.rest})}" if read.rest else ""),
    }
    if request.htmx:
        return render(request, "pages/makers/read/answer.html", context)
    context |= {
        "given": request.GET,
        "frames": frames(),
        "symbols": symbols(reference.symbols),
        "arrangements": arrangements(),
        "sides": [(side, words, request.GET.get(side, "")) for side, words in SIDES.items()],
    }
    return render(request, "pages/makers/read/read.html", context)


def carried(read: DividedText) -> str:
    """The reading as an address for dating the bottle or recording it."""
    parts = read.mark.query()
    years = read.years or (None, None)
    parts += [(key, str(year)) for key, year in zip(("after", "before"), years, strict=True) if year]
    if read.text or read.rest:
        parts.append(("inscription", read.text or read.rest))
    return urlencode(parts)


def _found(read: DividedText, reference: dating.Reference, this_year: int) -> tuple[Ranking | None, str]:
    if not read.mark.was_read:
        return None, ""
    try:
        return ranking(read.mark, reference, read.years, this_year), ""
    except dating.CaseError as error:
        return None, f"This can't be read as a mark: {error.message}."


def divide(query: QueryDict, reference: dating.Reference, this_year: int) -> DividedText:
    """Read an address. `text` is the whole inscription; letters and sides said apart from it win over it."""
    parts = query.copy()
    text = parts.get("text", "").strip()[:LONGEST_TYPED]
    rest = parts.get("rest", "").strip()[:LONGEST_TYPED]
    # corrected by hand: the text is not divided anew
    if text and not any(parts.get(key, "").strip() for key in PARTS):
        rest = _divide_text(text, parts, reference)
    parts.pop("text", None)
    trouble = _too_long(query)
    years = _years(query, this_year, trouble)
    return DividedText(text, Reading.of_query(parts, reference), rest, years, parts, trouble)


def _too_long(query: QueryDict) -> dict[str, str]:
    """What is longer than is read of it, said before the answer of what was read: nothing is cut unsaid."""
    longest = {"text": LONGEST_TYPED, "letters": LONGEST_LETTERS, "rest": LONGEST_TYPED}
    for key, most in longest.items():
        if (typed := len(query.get(key, "").strip())) > most:
            return {"text": f"{typed:,} letters are too many for one mark; the first {most} were taken."}
    return {}


def _divide_text(text: str, parts: QueryDict, reference: dating.Reference) -> str:
    """Put the parts of an inscription into the address; returns what is left of it."""
    read = dating.parse_inscription(text, reference)
    letters, rest = read.letters, read.rest
    if not letters and rest == text and " " not in text and any(c.isalpha() for c in text):
        letters, rest = text, ""  # one word alone is taken for the mark
    parts["letters"] = letters
    for side in SIDES:
        if getattr(read, side):
            parts[side] = getattr(read, side)
    if read.ampersand and not parts.get("arrangement"):
        parts["arrangement"] = "with-ampersand"
    if not letters and read.digits:
        rest = " / ".join(filter(None, (read.digits, rest)))
    return rest


def _years(query: QueryDict, this_year: int, trouble: dict[str, str]) -> tuple[int | None, int | None] | None:
    found: dict[str, int | None] = {"from": None, "to": None}
    for key in found:
        typed = query.get(key, "").strip()
        found[key] = year_typed(typed, this_year)
        if typed and found[key] is None:
            trouble[key] = f"Give a year from {EARLIEST_YEAR} to {this_year}."
    low, high = found["from"], found["to"]
    if low and high and low > high:
        trouble["to"] = "This is before the first year."
        return None
    return None if low is high is None else (low, high)


def phrases_besides(text: str, carried: str) -> list[PhraseBesides]:
    """The phrases of a text; ``carried`` is the address of what was read so far. No query."""
    return [_shown(phrase, carried) for phrase in dating.phrases_in(text)]


def _shown(phrase: dating.Phrase, carried: str) -> PhraseBesides:
    words = phrase.words if "#" not in phrase.words and "@" not in phrase.words else ""
    if phrase.feature:
        return PhraseBesides(
            words, phrase.says, phrase.language, _dating(carried, f=phrase.feature), "Date with it"
        )
    if phrase.region:
        where = region_words(phrase.region)
        act = f"Take it as made or sold in {where}"
        return PhraseBesides(words, phrase.says, phrase.language, _dating(carried, region=phrase.region), act)
    return PhraseBesides(words, phrase.says, phrase.language, "", "")


def _dating(carried: str, **more: str) -> str:
    return f"{reverse('date:date')}?{carried}{'&' if carried else ''}{urlencode(more)}"
