"""Positions as a page shows them."""

from decimal import Decimal

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString

from catalogue.common.positions import LATITUDE, LONGITUDE, in_minutes

register = template.Library()


@register.simple_tag
def position(latitude: Decimal | float, longitude: Decimal | float) -> SafeString:
    """Both ways: degrees and minutes, and decimal degrees to copy."""
    return format_html(
        "{}, {} <span class='quiet'>({}, {})</span>",
        in_minutes(float(latitude), LATITUDE),
        in_minutes(float(longitude), LONGITUDE),
        f"{float(latitude):.6f}",
        f"{float(longitude):.6f}",
    )
