"""When it came up, where no dive is on record: as people write it, kept as EDTF."""

import re

from django import forms
from django.utils import timezone

from catalogue.common.limits import EARLIEST_YEAR, or_the_clock
from dating import edtf

_DECADE = re.compile(r"^(?:the\s+)?(\d{3})0'?s$")
_ABOUT = re.compile(r"^(?:about|around|circa|ca\.?|c\.?)\s*(\d{4})$")
_SPAN = re.compile(r"^(\d{4})\s*(?:-|–|to)\s*(\d{4})$")


def as_edtf(text: str) -> str:
    """ "about 1995" as 1995~, "the 1990s" as 199X, "1990 to 1995" as 1990/1995; anything else as typed."""
    typed = " ".join(text.lower().split())
    if found := _DECADE.match(typed):
        return f"{found[1]}X"
    if found := _ABOUT.match(typed):
        return f"{found[1]}~"
    if found := _SPAN.match(typed):
        return f"{found[1]}/{found[2]}"
    return text.strip()


class YearsField(forms.CharField):
    """Years of the past as people or EDTF write them; gives EDTF. Anything finer is refused with why."""

    way = "Write a year, about 1930, the 1930s, or 1926 to 1931."

    def clean(self, value: str) -> str:
        written = as_edtf(super().clean(value) or "")
        if not written:
            return ""
        try:
            read = edtf.parse(written)
        except edtf.EdtfError as error:
            raise forms.ValidationError(f"That is not a date that can be read: {error}. {self.way}") from None
        this_year = timezone.localdate().year
        if read.earliest is not None and read.earliest > this_year:
            raise forms.ValidationError(f"That is in the future. Check the year{or_the_clock()}.")
        if (read.latest or read.earliest or this_year) < EARLIEST_YEAR:
            raise forms.ValidationError(f"That is before {EARLIEST_YEAR}. Check the year.")
        return written


class RecoveredField(YearsField):
    """When it came up."""

    way = "Write a year, about 1995, the 1990s, or 1990 to 1995."
