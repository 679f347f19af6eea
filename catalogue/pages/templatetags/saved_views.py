"""Saved views beside the list of finds."""

from typing import Any

from django import template

from catalogue.pages.finds.list.saved_views.form import NewViewForm
from catalogue.pages.finds.list.saved_views.services import kept_part
from catalogue.specimens.models import SavedView

register = template.Library()


@register.inclusion_tag("pages/finds/list/saved_views/beside.html", takes_context=True)
def saved_views(context: template.Context) -> dict[str, Any]:
    """Links to the views, and the form that keeps this one. One query."""
    here = kept_part(context["request"].GET.urlencode())
    views = list(SavedView.objects.all())
    return {
        "views": views,
        "here": here,
        "known": next((view for view in views if view.query == here), None),
        "form": NewViewForm(initial={"query": here}, auto_id="keep_view_%s") if here else None,
        "csrf_token": context.get("csrf_token"),
    }
