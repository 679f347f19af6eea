"""The filter panel and the chips of what is chosen, ready for the page."""

from collections import Counter
from dataclasses import dataclass

from django.http import HttpRequest, QueryDict

from .facets import FACETS, Choice
from .filters import FindFilters
from .spans import SPANS

SHORT = 8


@dataclass(frozen=True, slots=True)
class Group:
    """One filter with its choices; `more` are folded away."""

    key: str
    label: str
    choices: list[Choice]
    more: list[Choice]
    open: bool


@dataclass(frozen=True, slots=True)
class Chip:
    """Something chosen, and the address without it."""

    label: str
    value: str
    without: str


def panel(filters: FindFilters, counts: dict[str, Counter]) -> list[Group]:
    """Every filter that has something to choose, `counts` (of `counts_beside`) beside its choices."""
    groups = []
    for facet in FACETS:
        chosen = filters.chosen(facet)
        choices = facet.choices(counts[facet.key], chosen)
        if not choices:
            continue
        short = _most_numerous(choices)
        more = [choice for choice in choices if choice not in short]
        groups.append(Group(facet.key, facet.label, short, more, bool(chosen)))
    return groups


def _most_numerous(choices: list[Choice]) -> list[Choice]:
    """What stays in sight: everything chosen, and the choices with most finds, in their own order."""
    ranked = sorted(choices, key=lambda choice: (not choice.chosen, -choice.count))
    kept = max(SHORT, sum(choice.chosen for choice in choices))
    # one folded away alone would save no room
    kept = len(choices) if len(choices) == kept + 1 else kept
    return [choice for choice in choices if choice in ranked[:kept]]


def chips(request: HttpRequest, filters: FindFilters) -> list[Chip]:
    """One for each thing chosen, the search included."""
    found = []
    if filters.words:
        found.append(Chip("Search", filters.words, without(request, "q", filters.words)))
    for facet in FACETS:
        for written, label in filters.chosen(facet).values():
            found.append(Chip(facet.label, label, without(request, facet.key, written)))
    for kind in SPANS:
        if span := filters.spans[kind.key]:
            found.append(Chip(kind.label, kind.words(span), without(request, kind.key)))
    return found


def without(request: HttpRequest, key: str, value: str = "") -> str:
    """The address without one choice of a filter, or without all that a filter has."""
    query: QueryDict = request.GET.copy()
    query.pop("page", None)
    if not value or key == "q":
        for each in (key, f"{key}_from", f"{key}_to"):
            query.pop(each, None)
    else:
        query.setlist(key, [word for word in query.getlist(key) if word != value])
    return f"?{query.urlencode()}" if query else "?"
