"""A filled-in form, as a browser sends it."""

from collections.abc import Iterable
from typing import Any

SETS = ("readings", "lettering", "known")


def filled(
    *,
    readings: Iterable[dict[str, Any]] = (),
    lettering: Iterable[dict[str, Any]] = (),
    known: Iterable[dict[str, Any]] = (),
    **fields: Any,
) -> dict[str, Any]:
    """The form's data: its own fields, and rows of each set."""
    data: dict[str, Any] = {
        "what": "aqua soda bottle",
        "stage": "wet",
        "act": "save",
        "made-asked": "1",
        **fields,
    }
    for name, rows in zip(SETS, (readings, lettering, known), strict=True):
        rows = list(rows)
        data |= {f"{name}-TOTAL_FORMS": str(len(rows)), f"{name}-INITIAL_FORMS": "0"}
        for number, row in enumerate(rows):
            data |= {f"{name}-{number}-{key}": value for key, value in row.items()}
    return data


def reading(**fields: Any) -> dict[str, Any]:
    """A mark reading on the base."""
    return {"where": "base", "certainty": "certain", **fields}
