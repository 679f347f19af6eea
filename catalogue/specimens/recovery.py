"""When a find came up."""

from django.utils import timezone

from dating import edtf

from .models import Specimen


def recovered_year(find: Specimen) -> int | None:
    """The year it came up: its dive's, else the last year that "recovered about" allows."""
    if find.dive:
        return find.dive.date.year
    if not find.recovered_edtf:
        return None
    try:
        latest = edtf.parse(find.recovered_edtf).latest
    except edtf.EdtfError:
        return None
    # A decade that is still running ends with this year.
    return None if latest is None else min(latest, timezone.localdate().year)
