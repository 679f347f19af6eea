"""The bench on other rooms' pages."""

from typing import Any

from django import template
from django.utils.safestring import SafeString, mark_safe

from catalogue.care.decision import Done, done_so_far
from catalogue.care.piece_facts import Knowledge, know
from catalogue.care.safety import STANDING_CAUTIONS
from catalogue.common.drawings.silhouette import silhouette
from catalogue.common.models import HouseSettings
from catalogue.pages.parts.cards import outline_kind
from catalogue.specimens.models import Specimen

register = template.Library()


@register.inclusion_tag("pages/workbench/may_be_done.html")
def what_may_be_done(find: Specimen, *, folded: bool = False) -> dict[str, Any]:
    """What may be done to a find. No query where looks, reports, lettering and treatments are prefetched.

    `folded`: under a summary of those words, with the cautions of its shelf beside it.
    """
    known = know(find)
    return {"find": find, "known": known, "folded": folded, **advice_for(known)}


def advice_for(known: Knowledge) -> dict[str, Any]:
    """The advice and what was done of it. No query where the find's treatments are prefetched, else one."""
    decision = known.decision
    return {"decision": decision, "done": done_so_far(decision, known.find.treatments.all())}


@register.filter
def done_of(done: dict[str, Done], key: str) -> Done | None:
    """What is on record of one way of treating; None for nothing."""
    return done.get(key) if done else None


@register.simple_tag
def standing_caution(key: str) -> str:
    """A caution that stands on several pages, by its key in the table."""
    return STANDING_CAUTIONS[key]


@register.simple_tag
def emergency_lines() -> str:
    """The owner's own numbers; empty until they are filled in. One query."""
    return HouseSettings.current().emergency_lines


@register.simple_tag
def outline(find: Specimen) -> SafeString:
    """A drawing of its kind, for a piece without a picture."""
    return mark_safe(silhouette(outline_kind(find)))  # drawn from a kind of our own list
