"""Finds taken out in open formats: which ones, whole or for others' eyes, and the file itself."""

from dataclasses import dataclass

from django import forms
from django.http import HttpRequest, HttpResponse, HttpResponseBase, QueryDict, StreamingHttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from catalogue.common.forms.plain_errors import PlainErrors
from catalogue.exchange.takeout.formats import OPEN_FORMATS, taken_out
from catalogue.exchange.takeout.rows import keys_of
from catalogue.pages.finds.list.filters import FindFilters
from catalogue.pages.finds.list.saved_views import kept_part
from catalogue.specimens.models import Specimen

HOLDS_ALL, HOLDS_PUBLIC = "whole", "public"
# What the form says itself, and what an address of the list says of how it is shown.
NOT_CHOSEN_BY = ("format", "holds", "sort", "view", "col")


class OpenFormatForm(PlainErrors, forms.Form):
    """Which format, and whether what is private comes along. It writes nothing."""

    format = forms.ChoiceField(
        label="Format",
        choices=[(each.key, each.label) for each in OPEN_FORMATS.values()],
        error_messages={
            "required": "Choose a format.",
            "invalid_choice": "There is no such format: choose one of these.",
        },
    )
    holds = forms.ChoiceField(
        label="What it holds",
        choices=[
            (HOLDS_ALL, "everything, for yourself"),
            (HOLDS_PUBLIC, "what visitors may see, to pass on"),
        ],
        help_text="For yourself: also where things lay, shelves and notes. To pass on: only pieces that "
        "visitors see; hidden sites are left out, rounded ones stay rounded.",
        error_messages={"required": "Choose one.", "invalid_choice": "Choose one of these two."},
    )


@dataclass(frozen=True, slots=True)
class FindsAsked:
    """The part of the address that narrows, in the list's own words, and the finds it leaves."""

    query: str
    filters: FindFilters

    @property
    def pairs(self) -> list[tuple[str, str]]:
        """For the form that asks for the file: what else its address has to say."""
        return [(key, value) for key, values in QueryDict(self.query).lists() for value in values]


@require_safe
def take_out(request: HttpRequest) -> HttpResponse:
    """The formats to choose from, for all finds or those that the list was narrowed to."""
    asked = _choice_of(request)
    form = OpenFormatForm(initial={"format": "xlsx", "holds": HOLDS_ALL})
    return _page(request, asked, form)


@require_safe
def take_out_file(request: HttpRequest) -> HttpResponseBase:
    """The file, sent while it is written; an address that can't be followed gives the page and its reason."""
    asked, form = _choice_of(request), OpenFormatForm(request.GET)
    if not form.is_valid() or asked.filters.complaints():
        return _page(request, asked, form, status=422)
    chosen = OPEN_FORMATS[form.cleaned_data["format"]]
    public = form.cleaned_data["holds"] == HOLDS_PUBLIC
    keys = keys_of(asked.filters.qs, public=public)
    answer = StreamingHttpResponse(taken_out(keys, chosen, public=public), content_type=chosen.content_type)
    name = f"finds-{timezone.localdate().isoformat()}{'-public' if public else ''}.{chosen.ending}"
    answer["Content-Disposition"] = f'attachment; filename="{name}"'
    return answer


def _choice_of(request: HttpRequest) -> FindsAsked:
    said = QueryDict(kept_part(request.GET.urlencode()), mutable=True)
    for key in NOT_CHOSEN_BY:
        said.pop(key, None)
    filters = FindFilters(said, queryset=Specimen.objects.all())
    filters.qs  # noqa: B018  (reading it checks the form)
    return FindsAsked(said.urlencode(), filters)


def _page(
    request: HttpRequest, asked: FindsAsked, form: OpenFormatForm, *, status: int = 200
) -> HttpResponse:
    finds = asked.filters.qs
    context = {
        "form": form,
        "asked": asked,
        "complaints": asked.filters.complaints(),
        "narrowed": asked.filters.narrowed,
        "count": finds.count(),
        "public_count": finds.for_visitors().count(),
        "formats": OPEN_FORMATS.values(),
    }
    return render(request, "pages/safekeeping/take_out.html", context, status=status)
