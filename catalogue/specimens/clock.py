"""Clock skew: a machine whose clock is behind what is already written down here, or far ahead of it.

A laptop whose battery died says it is 2015, and a bottle that came up last summer would have come up in the
future. The year to reckon with is then that of the latest day that is written down, and the owner is told.
"""

from datetime import date, timedelta

from django.utils import timezone

from catalogue.common.localisation import day_words
from catalogue.sites.models import Dive

from .models import Specimen

# A day's difference is no wrong clock: time zones, and a dive that is entered the evening before.
TOLERANCE = timedelta(days=1)
# Longer than a winter without a dive: a year in which nothing at all was written down is worth a look.
LONG_PAUSE = timedelta(days=366)
_latest_seen: date | None = None


def this_year() -> int:
    """The year to reckon with: the clock's, unless that is behind what `look` saw."""
    later = ahead_of_clock()
    return later.year if later else timezone.localdate().year


def today() -> date:
    """The day to reckon coming days from: the clock's, unless that is behind what `look` saw."""
    return ahead_of_clock() or timezone.localdate()


def ahead_of_clock() -> date | None:
    """The latest day that `look` saw, where the clock is behind it. Asks nothing of the database."""
    if _latest_seen and _latest_seen - TOLERANCE > timezone.localdate():
        return _latest_seen
    return None


def look() -> None:
    """See what the latest day is that is written down. Two queries."""
    global _latest_seen
    _latest_seen = latest_day()


def latest_day() -> date | None:
    """The latest day of a dive, or on which a find was entered; None where there are neither."""
    dived = Dive._base_manager.order_by("-date").values_list("date", flat=True).first()
    entered = Specimen.everything.order_by("-pk").values_list("created", flat=True).first()
    days = [day for day in (dived, entered and timezone.localtime(entered).date()) if day]
    return max(days, default=None)


def doubt() -> str | None:
    """What is said on a form that gives a number where the clock may be ahead; the number's year stays.

    Nothing was written down for more than a year. Silent from the first save on; asks the database only then.
    """
    today = timezone.localdate()
    if _latest_seen is None or today - _latest_seen <= LONG_PAUSE:
        return None
    latest = latest_day()
    if latest is None or today - latest <= LONG_PAUSE:
        return None
    now, then = (day_words(day) for day in (today, latest))
    return (
        f"This machine's clock says {now}; the latest thing here is of {then}. If it isn't {now}, set "
        "the clock before you save: the year goes into the number, and a number is never changed."
    )


def sentence() -> str | None:
    """What the owner is told where the clock is behind, as it is the cause of much that looks wrong."""
    later = ahead_of_clock()
    if later is None:
        return None
    today, then = (day_words(day) for day in (timezone.localdate(), later))
    return (
        f"This machine's clock is wrong: it says {today}, and something here is of {then}. Set the clock: "
        "today's date goes into whatever you save."
    )


def check() -> list[str]:
    """The start check of the clock."""
    look()
    said = sentence()
    return [said] if said else []
