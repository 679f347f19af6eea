"""The quiet meter of what a record still lacks."""

from collections.abc import Sequence
from typing import Any

from django import template

from catalogue.pages.finds.unfinished.helps import helps as helps_of
from catalogue.pages.finds.unfinished.missing import Fact, facts_of, lacking
from catalogue.photos.queries import Gallery
from catalogue.specimens.models import Specimen

register = template.Library()


@register.inclusion_tag("pages/finds/unfinished/meter.html")
def meter(facts: Sequence[Fact], helps: Sequence[str]) -> dict[str, Any]:
    """Bars for the seven facts, what is missing, and what would help most."""
    missing = lacking(facts)
    return {"facts": facts, "lacking": missing, "there": len(facts) - len(missing), "helps": helps}


@register.inclusion_tag("pages/finds/unfinished/meter.html")
def meter_of(find: Specimen, gallery: Gallery) -> dict[str, Any]:
    """The meter on a find's own page; its years are dated there already. No query."""
    facts = facts_of(find, pictured=bool(gallery.photos))
    return meter(facts, helps_of(find, {photo.role for photo in gallery.photos}))
