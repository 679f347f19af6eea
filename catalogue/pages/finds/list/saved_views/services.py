"""Keeping a view."""

from django.http import QueryDict

from catalogue.specimens.models import SavedView

# Where one was in the list, not how one looked at it.
NOT_KEPT = ("page", "tick", "csrfmiddlewaretoken")


def kept_part(query: str) -> str:
    """What is kept of an address: everything chosen, nothing empty, nothing of where one was in it."""
    asked = QueryDict(query.removeprefix("?"), mutable=True)
    for key in list(asked):
        values = [value for value in asked.getlist(key) if value and "\x00" not in value]
        if key in NOT_KEPT or not values:
            del asked[key]
        else:
            asked.setlist(key, values)
    return asked.urlencode()


def keep_view(view: SavedView) -> SavedView:
    """Save a view; where one of that name lies in the bin, that one stays there."""
    view.query = kept_part(view.query)
    view.save()
    return view
