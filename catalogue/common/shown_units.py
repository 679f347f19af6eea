"""In which units this house shows sizes and masses: the one place that every page, print and message asks.

The setting is asked once for a page, and again for the next: a page must not be half in inches.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from decimal import Decimal
from typing import Any

from django.core.signals import request_finished, request_started
from django.db.models.signals import post_save
from django.dispatch import receiver

from catalogue.common.models import HouseSettings
from catalogue.common.quantities import Quantity, Units, as_read, in_figures, roughly, unit_word, with_error

# Within a request: empty, or what the setting was when first asked. Outside one: None, nothing is kept.
_asked: ContextVar[list[Units] | None] = ContextVar("units_of_this_request", default=None)


def units_shown() -> Units:
    """Metric, or inches and ounces. One query a request, none where nothing asks."""
    kept = _asked.get()
    if kept:
        return kept[0]
    units = Units(HouseSettings.current().units)
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


@receiver(post_save, sender=HouseSettings)
def _forget(**_: Any) -> None:
    if (kept := _asked.get()) is not None:
        kept.clear()
