"""The story's part of a find's page."""

from typing import Any

from django import template

from catalogue.pages.finds.story.offered import offer_for
from catalogue.specimens.models import Specimen

register = template.Library()


@register.inclusion_tag("pages/finds/story/offered.html", takes_context=True)
def story_form(context: template.Context, find: Specimen) -> dict[str, Any]:
    """The owner's form, starting from the story or from a draft. No query on the find's page."""
    dated = context.get("dated")
    age = "" if dated is None or getattr(dated, "conflicts", ()) else dated.age
    return {"find": find, "offer": offer_for(find, age=age), "csrf_token": context.get("csrf_token")}
