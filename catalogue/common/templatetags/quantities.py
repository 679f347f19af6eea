"""Sizes and masses as a page shows them: in the units that the owner set."""

from decimal import Decimal

from django import template

from catalogue.common.quantities import LENGTH, MASS, in_words
from catalogue.common.shown_units import (
    about,
    said,
    said_in_figures,
    said_with_error,
    unit_shown,
    units_shown,
)

register = template.Library()


@register.simple_tag
def length(mm: Decimal | float, error_mm: float | str = "") -> str:
    """A length in words; `error_mm` is how far one measured in a picture may be off, "" for another."""
    return said_with_error(float(mm), error_mm, LENGTH) if isinstance(error_mm, float) else said(mm, LENGTH)


@register.simple_tag
def rough_length(mm: float) -> str:
    """A length that is only worked out, in words: to what a rule shows."""
    return about(mm, LENGTH)


@register.simple_tag
def exact_length(mm: float) -> str:
    """A measured length, or its error, in figures without parts."""
    return said_in_figures(mm, LENGTH)


@register.simple_tag
def mass(g: Decimal | float) -> str:
    """A mass in words."""
    return said(g, MASS)


@register.simple_tag
def rough_mass(g: float) -> str:
    """A mass that is only worked out, in words: to what a scale shows."""
    return about(g, MASS)


@register.simple_tag
def typed_mass(g: Decimal) -> str:
    """A mass as its box says it, which reads back as it is stored."""
    return in_words(g, MASS, units_shown())


@register.simple_tag
def mass_unit() -> str:
    """The unit of a bare number in a box."""
    return unit_shown(MASS)
