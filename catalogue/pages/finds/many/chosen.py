"""Which finds were chosen: ticked, typed, pasted, scanned, or all of a choice in the list."""

from dataclasses import dataclass, field
from datetime import timedelta

from django.http import HttpRequest, QueryDict
from django.utils import timezone

from catalogue.common.text import is_storable
from catalogue.pages.finds.list.filters import FindFilters
from catalogue.pages.finds.list.saved_views import NOT_KEPT
from catalogue.pages.parts.next_address import next_address
from catalogue.specimens.models import BatchAct, Specimen
from catalogue.specimens.named_finds import finds_named
from catalogue.specimens.number_list import MOST_NUMBERS

# Chosen and never acted on: dropped after so long.
KEPT_CHOSEN = timedelta(days=7)


@dataclass(slots=True)
class ChosenFinds:
    """Keys in the order of choice, the bin's among them; and what of it can't be followed, in sentences."""

    keys: list[int] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)
    # Nothing leaves these out: too many, or none.
    final: bool = False


def chosen_by(request: HttpRequest) -> ChosenFinds:
    """Read the posted choice. A few queries."""
    data = request.POST
    named = finds_named(data.get("numbers", ""), also=data.getlist("find"))
    chosen = ChosenFinds(wrong=named.complaints(but_bin=True), final=bool(named.too_many))
    keys = [*_added_to(data.get("to", "")), *named.all_keys()]
    if query := data.get("choice"):
        filters = _filters_of(QueryDict(query.removeprefix("?")))
        if filters is None:
            chosen.wrong.append(
                "That choice can't be followed here: open it in the list of finds, and choose there."
            )
            chosen.final = True
            return chosen
        keys += filters.qs.in_order().values_list("pk", flat=True)[: MOST_NUMBERS + 1]
    chosen.keys = list(dict.fromkeys(keys))
    if len(chosen.keys) > MOST_NUMBERS:
        chosen.wrong.append(
            f"More than {MOST_NUMBERS:,} finds are chosen: narrow the choice, and do it in parts."
        )
        chosen.final = True
    elif not chosen.keys and not chosen.wrong:
        chosen.wrong.append("Choose at least one piece.")
        chosen.final = True
    return chosen


def _filters_of(asked: QueryDict) -> FindFilters | None:
    """The list narrowed by an address; None where it can't be followed.

    It comes within a field of a form, so what it holds is read here for the first time.
    """
    if not _followed(asked):
        return None
    filters = FindFilters(asked, queryset=Specimen.objects.all())
    filters.qs  # noqa: B018  (reading it checks the form)
    return None if filters.complaints() else filters


def _followed(asked: QueryDict) -> bool:
    """Whether each word of an address is one that the list knows: what it leaves out would choose more."""
    known = {*NOT_KEPT, "sort", "view", "col", "to"}
    for name in FindFilters.base_filters:
        known |= {name, f"{name}_from", f"{name}_to"}
    return set(asked) <= known and all(is_storable(value) for name in asked for value in asked.getlist(name))


def _added_to(written: str) -> list[int]:
    """The finds of a choice that more are added to."""
    known = written.isascii() and written.isdigit() and len(written) < 19
    batch = BatchAct.objects.filter(pk=int(written)).first() if known else None
    return list(batch.finds) if batch else []


def keep_chosen(request: HttpRequest, keys: list[int]) -> BatchAct:
    """Write the choice down, so that its page has an address; what was chosen a week ago is dropped."""
    BatchAct.objects.filter(done_at=None, at__lt=timezone.now() - KEPT_CHOSEN).delete()
    return BatchAct.objects.create(finds=keys, back=next_address(request, ""))
