"""Days and times as the viewer's own place writes them: from Accept-Language, by Django's table of formats.

The screen is English, so English speakers get the month as a word, in their order; anybody else gets the
figures of their own place, which mix no two languages. What machines read stays ISO (`date:"c"`).
"""

from collections.abc import Callable
from contextvars import ContextVar
from dataclasses import dataclass
from datetime import date, datetime, time

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.utils.cache import patch_vary_headers
from django.utils.dateformat import format as written
from django.utils.dateformat import time_format
from django.utils.formats import get_format
from django.utils.translation import get_supported_language_variant
from django.utils.translation.trans_real import parse_accept_lang_header


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
