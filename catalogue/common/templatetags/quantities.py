"""Sizes and masses as a page shows them: in the units that the owner set."""

from decimal import Decimal
from typing import Any

from django import template

from catalogue.common.models import HouseSettings
from catalogue.common.quantities import LENGTH, MASS, Units, in_words

register = template.Library()


@register.simple_tag(takes_context=True)
def length(context: template.Context, mm: Decimal | float, give_or_take: str = "") -> str:
    """A length in words; one query for a whole page.

    `give_or_take` is the error of one measured in a picture, " ± 1.2", in mm whatever the units.
    """
    units = _units_of(context)
    if give_or_take:
        plain = in_words(mm, LENGTH, Units.METRIC).removesuffix(" mm")
        beside = f"{plain}{give_or_take} mm"
        return beside if units is Units.METRIC else f"{in_words(mm, LENGTH, units)} ({beside})"
    return in_words(mm, LENGTH, units)


@register.simple_tag(takes_context=True)
def mass(context: template.Context, g: Decimal | float) -> str:
    """A mass in words; one query for a whole page."""
    return in_words(g, MASS, _units_of(context))


def _units_of(context: Any) -> Units:
    """Asked once for a page, and not at all where the page has the settings: kept in its outermost layer."""
    house = context.get("house")
    if isinstance(house, HouseSettings):
        return Units(house.units)
    root: dict[str, Any] = context.dicts[0]
    if "units_shown" not in root:
        root["units_shown"] = Units(HouseSettings.current().units)
    return Units(root["units_shown"])
