"""Template tag for the page of a record: the way to who changed what of it."""

from django import template
from django.db.models import Model
from django.utils.html import format_html
from django.utils.safestring import SafeString

from catalogue.pages.parts.history_kinds import history_address

register = template.Library()


@register.simple_tag
def history_link(record: Model) -> SafeString:
    """ "Who changed what", leading to its history. No query."""
    return format_html('<a class="no-print" href="{}">Who changed what</a>', history_address(record))
