"""One more empty row, asked for by a button where no script runs."""

from django.http import QueryDict

from catalogue.common.forms.rows import MOST_ROWS

from .sheet import KNOWN, LETTERING, READINGS

ASKED = {f"more-{name}": name for name in (READINGS, LETTERING, KNOWN)}


def more_rows(data: QueryDict) -> QueryDict:
    """The same form with a row more in the set whose button was pressed."""
    name = ASKED.get(data.get("act", ""))
    total = data.get(f"{name}-TOTAL_FORMS", "") if name else ""
    if not total.isdecimal() or len(total) > 3 or int(total) >= MOST_ROWS:
        return data
    changed = data.copy()
    changed[f"{name}-TOTAL_FORMS"] = str(int(total) + 1)
    return changed
