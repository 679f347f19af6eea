"""A draft of a find's story by plain rules: words and numbers in, a few sentences out.

It says only what is on record, and how sure that is. Only what a visitor may read belongs in it: no person,
no shelf, no position, since the story goes with the piece.
"""

import re
from dataclasses import dataclass
from itertools import filterfalse

UNDATED = ("", "not yet dated", "the evidence disagrees")
YEARS_IN = re.compile(r"one of (.+)")


@dataclass(frozen=True, slots=True)
class Facts:
    """What is on record of a find, in words already; an empty one is not known."""

    what: str
    colour: str = ""
    contents: str = ""
    product: str = ""
    bottler: str = ""
    town: str = ""
    maker: str = ""
    maker_likely: bool = False
    mark: str = ""
    made: str = ""
    age: str = ""
    lettering: tuple[str, ...] = ()
    came_up: str = ""
    lay: str = ""
    depth_m: float | None = None
    lie: str = ""
    found_with: str = ""
    treated: tuple[str, ...] = ()
    look: str = ""


def draft(facts: Facts) -> str:
    """Up to four short paragraphs: the piece, its making, the seabed, the work since."""
    paragraphs = (_piece(facts), _making(facts), _seabed(facts), _work(facts))
    return "\n\n".join(" ".join(filterfalse(_empty, sentences)) for sentences in paragraphs if any(sentences))


def _piece(facts: Facts) -> list[str]:
    colour = f"The glass is {facts.colour}." if facts.colour and not _says(facts.what, facts.colour) else ""
    return [f"{_what(facts)}.", colour, _trade(facts), _marked_for(facts), _read(facts)]


def _what(facts: Facts) -> str:
    """Its name with an article; its first letter small, unless that word is a name or initials."""
    first = facts.what.split(" ")[0].casefold()
    names = f"{facts.product} {facts.bottler} {facts.town} {facts.maker}".casefold().split()
    small = facts.what[:2].istitle() and first not in names
    return with_article(facts.what[:1].lower() + facts.what[1:] if small else facts.what)


def with_article(words: str) -> str:
    """ "An aqua bottle", "A flask"; by the first letter, and the numbers that sound otherwise."""
    sound = re.match(r"(?i)(hour|honest|[aeio]|u(?!ni|se|ti)|8|11\b|18\b)", words)
    return f"{'An' if sound else 'A'} {words}"


def _trade(facts: Facts) -> str:
    held = facts.product or facts.contents
    if facts.product and facts.contents and not _says(facts.product, facts.contents):
        held = f"{facts.product} ({facts.contents})"
    if held and facts.bottler:
        return f"It held {held}, filled by {facts.bottler}."
    if held:
        return f"It held {held}."
    return f"It was filled by {facts.bottler}." if facts.bottler else ""


def _marked_for(facts: Facts) -> str:
    if not facts.town:
        return ""
    return f"It is marked for {facts.town}, where it was sold; the glass may have been made elsewhere."


def _read(facts: Facts) -> str:
    if not facts.lettering:
        return ""
    quoted = [f"“{' '.join(text.replace('/', ' ').split())}”" for text in facts.lettering]
    return f"On it one reads {listed(quoted)}."


def _making(facts: Facts) -> list[str]:
    made = made_in(facts.made)
    years = f"made {made}" if made else ""
    by = f"by {facts.maker}" if facts.maker else ""
    if not years and not by:
        return []
    sure = "It was likely made" if facts.maker_likely else "It was made"
    sentence = f"{sure} {by}" if by else f"It was {years}"
    if by and years:
        sentence += f", {made}"
    because = f"; the mark reads {facts.mark}" if facts.mark and by else ""
    age = f"That makes it {facts.age}." if facts.age and years else ""
    return [f"{sentence}{because}.", age]


def made_in(words: str) -> str:
    """The phrase of the date so that it follows "made": "in one of the years 1926, 1936 or 1946"."""
    if words in UNDATED:
        return ""
    sure = words.removeprefix("probably ")
    probably = "probably " if sure != words else ""
    if found := YEARS_IN.fullmatch(sure):
        return f"{probably}in one of the years {listed(found[1].split(', '), 'or')}"
    if re.fullmatch(r"\d{4}( or later)?", sure):
        return f"{probably}in {sure}"
    return probably + sure


def _seabed(facts: Facts) -> list[str]:
    lay = [
        f"{facts.depth_m:g} m down" if facts.depth_m else "",
        facts.lie,
        f"in {facts.lay}" if facts.lay else "",
    ]
    where = ", ".join(filterfalse(_empty, lay))
    if where and facts.came_up:
        first = f"It lay {where}, and came up {facts.came_up}."
    else:
        first = f"It lay {where}." if where else f"It came up {facts.came_up}." if facts.came_up else ""
    beside = f"Beside it lay {facts.found_with.rstrip('.')}." if facts.found_with else ""
    return [first, beside]


def _work(facts: Facts) -> list[str]:
    done = f"Since then: {', '.join(facts.treated)}." if facts.treated else ""
    return [done, "Some of its sea growth was kept." if facts.look == "growth" else ""]


def listed(words: list[str], last: str = "and") -> str:
    """ "a", "a and b", "a, b and c"."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def _says(text: str, words: str) -> bool:
    """Whether a text has the first of these words already."""
    return words.split()[0].casefold() in text.casefold()


def _empty(text: str) -> bool:
    return not text
