"""Words of the trade that explain themselves at a touch, without script: a button and its popover.

`{% explain text %}` writes a text and marks each term of it, once on a page; not inside of a button, a link,
a label or a summary. `{% meant %}…{% endmeant %}` writes what stands in it and, behind one touch, what its
terms mean: for forms, where the words are names of choices.
"""

import re
from html import unescape
from weakref import WeakKeyDictionary

from django import template
from django.http import HttpRequest
from django.utils.html import conditional_escape, format_html, format_html_join
from django.utils.safestring import SafeString, mark_safe

from catalogue.common.words.trade_terms import TradeTerm, trade_terms

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
