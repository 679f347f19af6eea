"""The address of the list without what says nothing, and with names that were typed as what they name.

A form that is sent without script says every field, also the empty ones.
"""

from dataclasses import dataclass

from django.http import QueryDict

from .facets import FACETS
from .row_facets import RowFacet

TYPED_NAME = "_named"  # behind a filter's key: a name typed beside its choices
MOST_MEANT = 20


@dataclass(frozen=True, slots=True)
class TidyAddress:
    """The query to ask instead, and what of the address could not be followed, in sentences."""

    query: str
    complaints: list[str]


def tidied(asked: QueryDict) -> TidyAddress | None:
    """The address that says the same in fewer words; None where it says nothing in vain."""
    kept = QueryDict(mutable=True)
    for key, values in asked.lists():
        if said := [value for value in values if value]:
            kept.setlist(key, said)
    complaints: list[str] = []
    for facet in FACETS:
        typed = kept.pop(f"{facet.key}{TYPED_NAME}", [])
        if not typed or not isinstance(facet, RowFacet) or not facet.one:
            continue
        name = " ".join(str(typed[-1]).replace("\x00", "").split())[:200]
        meant = facet.rows_named(name) if name else []
        if not meant:
            complaints.append(f"No {facet.one} is called “{name[:60]}”, so that choice was left out.")
        elif len(meant) > MOST_MEANT:
            complaints.append(f"{len(meant)} are called like “{name[:60]}”: type more of the name.")
        else:
            kept.setlist(facet.key, list(dict.fromkeys([*kept.getlist(facet.key), *meant])))
    if kept == asked:
        return None
    kept.pop("page", None)
    return TidyAddress(f"?{kept.urlencode()}" if kept else "", complaints)
