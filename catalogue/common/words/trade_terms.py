"""The words of the trade (pontil, flash, crizzling) and what each means: `trade_terms.csv`.

A term is found by any of its forms; where two begin at one letter, the longer one is meant. On a page they
explain themselves at a touch, without script: a button and its popover. `{% explain text %}` writes a text
and marks each term of it, once on a page; not inside of a button, a link, a label or a summary.
`{% meant %}…{% endmeant %}` writes what stands in it and, behind one touch, what its terms mean: for forms,
where the words are names of choices.
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache, cached_property
from html import unescape
from pathlib import Path
from weakref import WeakKeyDictionary

from django import template
from django.http import HttpRequest
from django.utils.html import conditional_escape, format_html, format_html_join
from django.utils.safestring import SafeString, mark_safe

from dating.facts import BASIS_WORDS, Cells, FactFolder, Grounds, keyed

TRADE_FACTS = FactFolder(Path(__file__).resolve().parent)
TERM_COLUMNS = ("term", "forms", "marked", "words")


@dataclass(frozen=True, slots=True)
class TradeTerm:
    """A term, its other forms (plurals, other names), and its meaning in one or two plain sentences.

    `marked`: it is explained where it stands in a sentence; else only in a list of what words mean, since
    most people know it.
    """

    term: str
    forms: tuple[str, ...]
    marked: bool
    words: str
    grounds: Grounds

    @property
    def key(self) -> str:
        """The term as it may stand in an address or as a name of an element."""
        return re.sub(r"[^a-z]+", "-", self.term.lower()).strip("-")

    @property
    def source_words(self) -> str:
        """Who said so; what nobody published says that it has no source."""
        if self.grounds.sources:
            return "; ".join(source.words for source in self.grounds.sources)
        return f"{BASIS_WORDS[self.grounds.basis]}, no source"


class TermTable:
    """The terms by their name, and how they are found in a text."""

    def __init__(self, terms: Iterable[TradeTerm]) -> None:
        self.terms: Mapping[str, TradeTerm] = {term.term: term for term in terms}

    @property
    def in_order(self) -> list[TradeTerm]:
        """The terms from A to Z."""
        return sorted(self.terms.values(), key=lambda term: term.term.lower())

    @cached_property
    def _by_form(self) -> dict[str, TradeTerm]:
        return {form.lower(): term for term in self.terms.values() for form in (term.term, *term.forms)}

    @cached_property
    def _pattern(self) -> re.Pattern[str]:
        forms = sorted(map(re.escape, self._by_form), key=lambda form: -len(form))
        return re.compile(rf"(?<![\w-])(?:{'|'.join(forms)})(?![\w-])", re.IGNORECASE)

    def found_in(self, text: str) -> Iterator[tuple[int, int, TradeTerm]]:
        """Each place in a text where a term stands: its first and its end, and the term."""
        for found in self._pattern.finditer(text):
            yield found.start(), found.end(), self._by_form[found[0].lower()]


def read_term(cells: Cells) -> TradeTerm:
    """One row of trade_terms.csv. Raises ReferenceError."""
    words = cells.text("words", needed=True)
    if not words.endswith(".") or words.count(". ") > 1:
        raise cells.refuse("words", "is one or two whole sentences")
    return TradeTerm(
        cells.text("term", needed=True),
        cells.several("forms"),
        cells.yes("marked"),
        words,
        cells.grounds(TRADE_FACTS.sources),
    )


def term_table(rows: Iterable[Cells]) -> TermTable:
    """The table of these rows; no form may mean two terms. Raises ReferenceError."""
    seen: set[str] = set()

    def read(cells: Cells) -> TradeTerm:
        term = read_term(cells)
        for form in (term.term, *term.forms):
            if form.lower() in seen:
                raise cells.refuse("forms", f"“{form}” is there twice")
            seen.add(form.lower())
        return term

    return TermTable(keyed(rows, read, "term").values())


@cache
def trade_terms() -> TermTable:
    """The table that the catalogue carries."""
    return term_table(TRADE_FACTS.rows("trade_terms", TERM_COLUMNS))


register = template.Library()

# What never begins a line: a button would let it.
CLINGS = ".,;:!?)”"
# A term is told where it stands first; what was told already goes with the page, which is one request.
_told: WeakKeyDictionary[HttpRequest, set[str]] = WeakKeyDictionary()


@register.simple_tag(takes_context=True)
def explain(context: template.Context, text: object) -> SafeString:
    """A text, escaped, with the terms in it that this page has not told yet, each with what it means."""
    words = str(text)
    told = _told_on(context)
    parts: list[SafeString] = []
    done = 0
    for start, end, term in trade_terms().found_in(words):
        if not term.marked or term.term in told:
            continue
        told.add(term.term)
        parts.append(conditional_escape(words[done:start]))
        done = len(words) - len(words[end:].lstrip(CLINGS))
        parts.append(_marked(words[start:end], term, words[end:done]))
    return mark_safe("".join([*parts, conditional_escape(words[done:])]))  # every part of it is escaped


@register.tag
def meant(parser: template.base.Parser, token: template.base.Token) -> "MeantNode":
    """What stands between the tags, then what its terms mean."""
    within = parser.parse(("endmeant",))
    parser.delete_first_token()
    return MeantNode(within)


class MeantNode(template.Node):
    """See `meant`."""

    def __init__(self, within: template.base.NodeList) -> None:
        self.within = within

    def render(self, context: template.Context) -> SafeString:
        """The part itself, then its terms in the order of the table."""
        shown = self.within.render(context)
        words = unescape(re.sub(r"<[^>]*>", " ", shown))
        used = {term.term for _, _, term in trade_terms().found_in(words)}
        rows = [(term.term, term.words) for term in trade_terms().terms.values() if term.term in used]
        if not rows:
            return shown
        return shown + format_html(
            '<details class="meant no-print"><summary>What these words mean</summary><dl>{}</dl></details>',
            format_html_join("", "<div><dt>{}</dt><dd>{}</dd></div>", rows),
        )


def _told_on(context: template.Context) -> set[str]:
    """The terms that this page has told; a template without a request tells each text by itself."""
    request = getattr(context, "request", None)
    return _told.setdefault(request, set()) if request is not None else set()


def _marked(shown: str, term: TradeTerm, after: str) -> SafeString:
    """The term as it stands in the text, what it means, of which no paper shows anything, and what clings."""
    return format_html(
        '<span class="clings"><button type="button" class="term" popovertarget="term-{key}">{shown}</button>'
        '<span class="term-says" id="term-{key}" popover>'
        '<strong class="term-name">{term}</strong> {words}</span>{after}</span>',
        key=term.key,
        shown=shown,
        term=term.term[:1].upper() + term.term[1:],
        words=term.words,
        after=after,
    )
