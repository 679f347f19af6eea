"""Sketches of how a bottle was made, beside the words that name it."""

from django import template
from django.utils.safestring import SafeString, mark_safe

from catalogue.common.drawings.making_sketch import making_sketch as drawn

register = template.Library()


@register.simple_tag
def making_sketch(feature: str) -> SafeString:
    """The sketch of a feature, or nothing; the words stand beside it."""
    return mark_safe(drawn(feature))  # drawn from numbers of our own: nothing that was typed is in it
