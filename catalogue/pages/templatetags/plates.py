"""Words for the pages of plates and of measuring."""

from django import forms, template

register = template.Library()


@register.filter
def share_of(per_cent: float, whole: float) -> float:
    """So many per cent of a whole, for drawing."""
    return round(per_cent * float(whole) / 100, 3)


@register.filter
def words(text: str) -> list[str]:
    """A text of names parted by blanks."""
    return text.split()


@register.filter
def value_of(form: forms.Form, name: str) -> object:
    """What a form shows in one of its fields."""
    return form[name].value()
