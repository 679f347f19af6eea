"""Merging a town with another: choose it, see what moves, do it; undone from the page of the one kept."""

from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST

from catalogue.common.forms import HouseForm
from catalogue.common.forms.idempotency_key import kept_once
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.undo import say_with_undo
from catalogue.specimens.models import Merge, Town
from catalogue.specimens.services.merging import MergeError, merge_towns, undo_merge, what_moves


class MergeForm(HouseForm):
    """The town that the other one is taken into."""

    into = forms.ModelChoiceField(
        queryset=Town.objects.none(),
        label="The same town as",
        empty_label="choose a town",
        help_text="Its name, region and position stay; pieces and bottlers move to it.",
    )

    def __init__(self, data: Any, *, gone: Town) -> None:
        super().__init__(data)
        into = self.fields["into"]
        assert isinstance(into, forms.ModelChoiceField)
        into.queryset = Town.objects.exclude(pk=gone.pk).order_by("name", "region")


@GET_OR_POST
@kept_once
def merge(request: HttpRequest, slug: str) -> HttpResponse:
    """Without `into` the question; with it, asked by GET, what would move; posted, it is done."""
    gone = get_object_or_404(Town, slug=slug)
    posted = request.method == "POST"
    asked = request.POST if posted else request.GET
    form = MergeForm(asked if "into" in asked else None, gone=gone)
    page: dict[str, Any] = {"form": form, "gone": gone}
    if form.is_valid():
        kept = form.cleaned_data["into"]
        try:
            if posted:
                made = merge_towns(kept, gone)
                back = reverse("towns:merge_undo", args=[made.pk])
                say_with_undo(request, f"{gone} is merged into {kept}.", back)
                return redirect(kept)
            page |= {"kept": kept, "moving": what_moves(kept, gone)}
        except MergeError as why:
            form.add_error("into", str(why))
    return render(request, "pages/towns/merge.html", page, status=422 if posted else 200)


@require_POST
@kept_once
def undo(request: HttpRequest, pk: int) -> HttpResponse:
    """The merged town is there again, with what moved."""
    made = get_object_or_404(Merge, pk=pk)
    try:
        gone = undo_merge(made)
    except MergeError as why:
        messages.error(request, str(why))
        return redirect("towns:towns")
    messages.success(request, f"Undone: {gone} is a town of its own again.")
    return redirect(gone)
