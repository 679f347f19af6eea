"""Links to the same page with something about it changed."""

from typing import Any

from django import template
from django.http import QueryDict

register = template.Library()


@register.simple_tag(takes_context=True)
def same_address(context: dict[str, Any], **changes: object) -> str:
    """The query string of this page with `changes`; a value of None or "" leaves that key out.

    Anything but a change of page goes back to the first page.
    """
    query: QueryDict = context["request"].GET.copy()
    if "page" not in changes:
        query.pop("page", None)
    for key, value in changes.items():
        if value in (None, ""):
            query.pop(key, None)
        else:
            query[key] = str(value)
    return f"?{query.urlencode()}"
