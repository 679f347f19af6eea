"""Clock skew: a machine whose clock is behind what is already written down here.

A laptop whose battery died says it is 2015, and a bottle that came up last summer would have come up in the
future. The year to reckon with is then that of the latest day that is written down, and the owner is told.
"""

from datetime import date, timedelta

from django.utils import timezone
from django.utils.formats import date_format

from catalogue.sites.models import Dive

from .models import Specimen

# A day's difference is no wrong clock: time zones, and a dive that is entered the evening before.
TOLERANCE = timedelta(days=1)
_year_by_what_is_written = 0


def this_year() -> int:
    """The year to reckon with: the clock's, unless `look` found that to be behind."""
    return max(timezone.localdate().year, _year_by_what_is_written)


def look() -> date | None:
    """The latest day that is written down, where the clock is behind it; from then on `this_year` heeds it.

    Two queries.
    """
    global _year_by_what_is_written
    latest = latest_day()
    behind = latest is not None and latest - TOLERANCE > timezone.localdate()
    _year_by_what_is_written = latest.year if latest and behind else 0
    return latest if behind else None


def latest_day() -> date | None:
    """The latest day of a dive, or on which a find was entered; None where there are neither."""
    dived = Dive._base_manager.order_by("-date").values_list("date", flat=True).first()
    entered = Specimen.everything.order_by("-pk").values_list("created", flat=True).first()
    days = [day for day in (dived, entered and timezone.localtime(entered).date()) if day]
    return max(days, default=None)


def warnings() -> list[str]:
    """The start check of the clock: a sentence where it is behind, that names it as the cause."""
    latest = look()
    if latest is None:
        return []
    today, later = (date_format(day, "j F Y") for day in (timezone.localdate(), latest))
    return [
        f"This machine's clock is wrong: it says {today}, and something here is of {later}. Set the clock: "
        "today's date goes into whatever you save."
    ]
