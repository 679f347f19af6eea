"""Localisation: days, times, sizes and masses as whoever reads them writes them, and their template tags.

Days and times by Accept-Language, by Django's table of formats. The screen is English, so English speakers
get the month as a word, in their order; anybody else gets the figures of their own place, which mix no two
languages. What machines read stays ISO (`date:"c"`). A filter is empty where there is no day.

Sizes and masses in the units that the owner set: the one place that every page, print and message asks. The
setting is asked once for a page, and again for the next: a page must not be half in inches.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from datetime import date, datetime, time
from decimal import Decimal
from typing import Any

from django import template
from django.apps import apps
from django.conf import settings
from django.core.signals import request_finished, request_started
from django.db.models.signals import post_save
from django.dispatch import receiver
from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.utils.cache import patch_vary_headers
from django.utils.dateformat import format as written
from django.utils.dateformat import time_format
from django.utils.formats import get_format
from django.utils.translation import get_supported_language_variant
from django.utils.translation.trans_real import parse_accept_lang_header

from catalogue.common.quantities import (
    LENGTH,
    MASS,
    Quantity,
    Units,
    as_read,
    in_figures,
    in_words,
    roughly,
    unit_word,
    with_error,
)

register = template.Library()


@dataclass(frozen=True, slots=True)
class DateFormats:
    """Django's format letters: a day, a day without its year, a time of day."""

    day: str
    short: str
    clock: str


BRITISH = DateFormats(settings.DATE_FORMAT, "j M", "H:i")
AMERICAN = DateFormats("M j, Y", "M j", "g:i A")
MONTH_FIRST = {"en-us", "en-ph"}

_here: ContextVar[DateFormats] = ContextVar("viewer_dates", default=BRITISH)


def formats_of(accept_language: str) -> DateFormats:
    """The formats of the first language of the header that Django knows; else the house's own."""
    for code, _ in parse_accept_lang_header(accept_language):
        if code in MONTH_FIRST:
            return AMERICAN
        if code == "en" or code.startswith("en-"):
            return BRITISH
        try:
            known = get_supported_language_variant(code)
        except LookupError:
            continue
        day = str(get_format("SHORT_DATE_FORMAT", lang=known))
        return DateFormats(day, day, str(get_format("TIME_FORMAT", lang=known)))
    return BRITISH


class ViewerDates:
    """Middleware: what is written while a request is answered is written for whoever asked."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        token = _here.set(formats_of(request.headers.get("Accept-Language", "")))
        try:
            response = self.get_response(request)
        finally:
            _here.reset(token)
        patch_vary_headers(response, ["Accept-Language"])
        return response


def day_words(day: date | datetime, *, year: bool = True) -> str:
    """A day: "12 Nov 2026", "Nov 12, 2026", "12.11.2026". A moment is told by the clock of this place."""
    here = _here.get()
    if isinstance(day, datetime):
        day = _local(day)
    return written(day, here.day if year else here.short)


def month_words(day: date) -> str:
    """ "June 2024": no nearer than its month; written alike wherever it is read."""
    return written(day, "F Y")


def clock_words(moment: datetime | time, *, seconds: bool = False) -> str:
    """A time of day: "14:30", "2:30 PM"; to the second "14:30:05", "2:30:05 PM"."""
    if isinstance(moment, datetime):
        moment = _local(moment)
    clock = _here.get().clock
    if seconds:
        clock = "g:i:s A" if "A" in clock else "H:i:s"
    return time_format(moment, clock)


def _local(moment: datetime) -> datetime:
    return timezone.localtime(moment) if timezone.is_aware(moment) else moment


@register.filter
def day(value: date | None) -> str:
    """A day with its year: "12 Nov 2026"."""
    return day_words(value) if value else ""


@register.filter
def day_of_year(value: date | None) -> str:
    """A day of this year: "12 Nov"."""
    return day_words(value, year=False) if value else ""


@register.filter
def clock(value: datetime | time | None) -> str:
    """A time of day: "14:30"."""
    return clock_words(value) if value is not None and value != "" else ""


@register.filter
def weekday(value: date | None) -> str:
    """A day of the week and its date: "Thursday, 12 Nov 2026"."""
    return f"{value:%A}, {day_words(value)}" if value else ""


@register.filter
def clock_to_the_second(value: datetime | time | None) -> str:
    """A time of day with its seconds, which tell pictures apart: "14:30:05"."""
    return clock_words(value, seconds=True) if value else ""


@register.filter
def moment(value: datetime | None) -> str:
    """A day with its time: "12 Nov 2026, 14:30"."""
    return f"{day_words(value)}, {clock_words(value)}" if value else ""


@register.filter
def moment_of_year(value: datetime | None) -> str:
    """A day of this year with its time: "12 Nov, 14:30"."""
    return f"{day_words(value, year=False)}, {clock_words(value)}" if value else ""


# Within a request: empty, or what the setting was when first asked. Outside one: None, nothing is kept.
_asked: ContextVar[list[Units] | None] = ContextVar("units_of_this_request", default=None)


def units_shown() -> Units:
    """Metric, or inches and ounces. One query a request, none where nothing asks."""
    kept = _asked.get()
    if kept:
        return kept[0]
    # by its name: models stand on limits, whose words stand on this
    settings_row: Any = apps.get_model("common", "HouseSettings")
    units = Units(settings_row.current().units)
    if kept is not None:
        kept.append(units)
    return units


@contextmanager
def one_setting() -> Iterator[None]:
    """Within it the setting is asked once, as within a request: for what is written outside of one."""
    token = _asked.set([])
    try:
        yield
    finally:
        _asked.reset(token)


def said(stored: Decimal | float, kind: Quantity) -> str:
    """A stored quantity as a page says it: "83 mm", "3 1/4""."""
    return as_read(stored, kind, units_shown())


def about(stored: float, kind: Quantity) -> str:
    """What is only worked out, to what a rule or a scale shows: "36 mm", "1 7/16""."""
    return roughly(stored, kind, units_shown())


def said_with_error(stored: float, error: float, kind: Quantity) -> str:
    """A size measured in a picture with how far it may be off: "83 ± 1.2 mm"."""
    return with_error(stored, error, kind, units_shown())


def said_in_figures(stored: float, kind: Quantity) -> str:
    """Without parts, as a measured size and its error stand side by side: "160.0 mm", "6.30""."""
    return in_figures(stored, kind, units_shown())


def unit_shown(kind: Quantity) -> str:
    """The unit that a bare number has: "mm", "in"."""
    return unit_word(kind, units_shown())


@receiver(request_started)
def _begin(**_: Any) -> None:
    _asked.set([])


@receiver(request_finished)
def _end(**_: Any) -> None:
    _asked.set(None)


@receiver(post_save, sender="common.HouseSettings")
def _forget(**_: Any) -> None:
    if (kept := _asked.get()) is not None:
        kept.clear()


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
