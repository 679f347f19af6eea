"""Everything the find's page shows, gathered once."""

from typing import Any

from catalogue.care.cautions import CAUTIONS, DEFER
from catalogue.care.forms import ConditionForm, TreatmentForm, damage_forms
from catalogue.common.models import HouseSettings
from catalogue.giving.services import BY_ONE_TAP
from catalogue.pages.parts.cards import outline_of
from catalogue.pages.parts.dated import dated_now, stored
from catalogue.pages.parts.history_line import history_of
from catalogue.photos.queries import gallery_of
from catalogue.sites.queries import place_for_visitors
from catalogue.specimens.models import Maker, Specimen

from .forms import MatchForm, MoveForm, OpinionForm, PartForm
from .marks import read_marks
from .provenance import provenance_of

MOST_OWN_MAKERS = 60


def owners_page(find: Specimen, *, look_next: bool = False, **forms: Any) -> dict[str, Any]:
    """The context of the owner's page; `forms` are bound ones to show again with their errors."""
    dated = dated_now(find, look_next=look_next)
    marks = read_marks(find, dated.marks)
    opinions = list(find.opinions.all())
    gallery = gallery_of(find)
    return {
        "find": find,
        "dated": dated,
        "marks": marks,
        "provenance": provenance_of(find),
        "gallery": gallery,
        "outline": outline_of(find) if not gallery.photos else "",
        "history": history_of(find),
        "opinions": [opinion for opinion in opinions if opinion.current],
        "earlier_opinions": [opinion for opinion in opinions if not opinion.current],
        "promise": next((p for p in find.promises.all() if not p.ended), None),
        "handover": next((h for h in find.handovers.all() if not h.came_back_on), None),
        "twins": twins_of(find),
        "parts": parts_of(find),
        "stages": Specimen.Stage,
        "plain_standings": BY_ONE_TAP,
        "values": opinion_values(marks),
        "cautions": CAUTIONS,
        "defer": DEFER,
        "move_form": MoveForm(initial={"place": find.place_id}),
        "match_form": MatchForm(find=find),
        "part_form": PartForm(),
        "opinion_form": OpinionForm(find=find),
        "condition_form": ConditionForm(),
        "damages": damage_forms(),
        "treatment_form": TreatmentForm(find=find),
        **forms,
    }


def visitors_page(find: Specimen) -> dict[str, Any]:
    """What somebody else sees: nothing of where it stands, who had it in hand, or how it was worked on.

    Town and site are told apart on purpose: the distance between them would give a hidden place away.
    """
    gallery = gallery_of(find, visitor=True)
    return {
        "find": find,
        "house": HouseSettings.current(),
        "dated": stored(find),
        "marks": read_marks(find),
        "gallery": gallery,
        "outline": outline_of(find) if not gallery.photos else "",
        "lay": place_for_visitors(find.where_found),
    }


def twins_of(find: Specimen) -> list[Specimen]:
    """The pieces that match it. No query where it has none."""
    if not find.twin_group_id:
        return []
    twins = Specimen.objects.filter(twin_group=find.twin_group_id).exclude(pk=find.pk)
    return list(twins.only("number", "what", "made_words").in_order())


def parts_of(find: Specimen) -> list[Specimen]:
    """The other records under the same number: its stopper, or the bottle that a stopper belongs to."""
    same = Specimen.objects.filter(
        number_year=find.number_year, number_ordinal=find.number_ordinal, number_piece=find.number_piece
    ).exclude(pk=find.pk)
    return list(same.only("number", "what", "number_part").order_by("number_part"))


def opinion_values(marks: list) -> list[str]:
    """Makers to choose from when an opinion is typed: the likely ones, then one's own."""
    likely = [candidate.name for mark in marks for candidate in mark.candidates if candidate.maker]
    own = Maker.objects.own().values_list("name", flat=True)[:MOST_OWN_MAKERS]
    return list(dict.fromkeys([*likely, *own]))
