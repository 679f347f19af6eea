"""When a find came up."""

from dating import edtf

from .models import Specimen


def recovered_year(find: Specimen) -> int | None:
    """The year it came up: its dive's, else the last year that "recovered about" allows."""
    if find.dive_id:
        return find.dive.date.year
    if not find.recovered_edtf:
        return None
    try:
        return edtf.parse(find.recovered_edtf).latest
    except edtf.EdtfError:
        return None
