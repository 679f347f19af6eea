"""Words of the house in templates: a chance, and what stands where nothing is recorded."""

from django import template

from catalogue.common import words

register = template.Library()


@register.filter
def sure(chance: float) -> str:
    """A chance from 0 to 1: "90 % sure"."""
    return words.sure(chance)


@register.filter
def or_not_recorded(value: object) -> object:
    """The value, or the house's words for a gap. Nought is a value."""
    return words.GAP_WORDS if value is None or value == "" else value
