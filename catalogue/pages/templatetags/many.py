"""The acts on many finds, for the bar below each list."""

from collections.abc import Iterable

from django import template

from catalogue.pages.finds.many.menu import MENU, MenuAct

register = template.Library()


@register.simple_tag
def many_acts() -> Iterable[MenuAct]:
    """Each act in the order of the bar."""
    return MENU.values()
