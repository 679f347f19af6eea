"""Positions as a page shows them."""

from decimal import Decimal

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString

from catalogue.common.positions import position_words

register = template.Library()


@register.simple_tag
def position(latitude: Decimal | float, longitude: Decimal | float) -> SafeString:
    """Both ways: degrees and minutes, and decimal degrees to copy."""
    return format_html(
        "{} <span class='quiet'>({}, {})</span>",
        position_words(float(latitude), float(longitude)),
        f"{float(latitude):.6f}",
        f"{float(longitude):.6f}",
    )
