"""Template filter: a probability as "90 % sure"."""

from django import template

from catalogue.common import chances

register = template.Library()


@register.filter
def sure(probability: float) -> str:
    """ "90 % sure" of a probability from 0 to 1."""
    return chances.sure(probability)
