"""Form widget for a country: a short list of those in the tables, and a line for any other."""

from typing import Any

from django import forms
from django.utils.html import format_html
from django.utils.safestring import SafeString

import dating
from catalogue.specimens.countries import country_code
from dating.places import alike

from .choices import usual_regions

OTHER = "-other"


class CountrySelect(forms.Select):
    """A select of the countries with rows of their own; another one is typed, by its name or two letters."""

    def optgroups(self, name: str, value: list[str], attrs: dict[str, Any] | None = None) -> list[Any]:
        """The options shown: every country would weigh more than the rest of the page."""
        shown = {"", *usual_regions(), *value}
        return [group for group in super().optgroups(name, value, attrs) if group[1][0]["value"] in shown]

    def value_from_datadict(self, data: Any, files: Any, name: str) -> Any:
        """What was typed comes before what was chosen."""
        typed = str(data.get(name + OTHER) or "").strip()
        return country_typed(typed) if typed else super().value_from_datadict(data, files, name)

    def render(self, name: str, value: Any, attrs: Any = None, renderer: Any = None) -> SafeString:
        """The select and the line beside it."""
        typed = value if value and country_typed(value) not in dating.reference().regions else ""
        line = format_html(
            '<label for="id_{0}{1}">Or another country</label>'
            '<input type="text" name="{0}{1}" id="id_{0}{1}" value="{2}" maxlength="60">',
            name,
            OTHER,
            typed,
        )
        return super().render(name, value, attrs, renderer) + line


def country_typed(text: str) -> str:
    """The code of a country by its name or letters; what is none stays as it is, for the field to refuse."""
    code = country_code(text)
    return text if code is None else alike(code)
