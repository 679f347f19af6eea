"""Template tag for every row that names a find: what speaks against acts with it, on one line.

The line is read from the find itself (`care.stored_flags`), so that it costs no query.
"""

from collections.abc import Mapping
from typing import Any

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString

from catalogue.care.acts import hazards_of
from catalogue.care.safety import visitor_words
from catalogue.care.stored_flags import read
from catalogue.specimens.models import Specimen

register = template.Library()
WHOLE_LINE = '<span class="hazard-line"><b>Careful:</b> {}</span>'
ONE_WORD = '<span class="hazard-line"><b>Careful</b><span class="unseen">: {}</span></span>'


@register.simple_tag(takes_context=True)
def hazard_line(context: Mapping[str, Any], find: Specimen, *, short: bool = False) -> SafeString:
    """ "Careful: sealed, munition or part of one". To a visitor only what protects a visitor. No query.

    `short`: one word is seen, where there is no room for more; all is read out.
    """
    if not find.care_flags:
        return SafeString("")
    flags = read(find.care_flags)
    words = [gate.name for gate in hazards_of(flags)] if context.get("is_owner") else visitor_words(flags)
    if not words:
        return SafeString("")
    line = ONE_WORD if short else WHOLE_LINE
    return format_html(line, ", ".join(words))
