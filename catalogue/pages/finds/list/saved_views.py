"""Saved views of the list (saved searches): keep one under a name, open it, rename it, put it away."""

from dataclasses import dataclass
from typing import Any

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from catalogue.common.forms import HouseModelForm
from catalogue.common.forms.idempotency_key import kept_once
from catalogue.common.text import is_storable
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.specimens.models import SavedView

# Where one was in the list, not how one looked at it.
NOT_KEPT = ("page", "tick", "all", "csrfmiddlewaretoken")


def kept_part(query: str) -> str:
    """What is kept of an address: everything chosen, nothing empty, nothing of where one was in it."""
    asked = QueryDict(query.removeprefix("?"), mutable=True)
    for key in list(asked):
        values = [value for value in asked.getlist(key) if value and is_storable(value)]
        if key in NOT_KEPT or not values:
            del asked[key]
        else:
            asked.setlist(key, values)
    return asked.urlencode()


class ViewForm(HouseModelForm):
    """A name for what is looked at now."""

    use_required_attribute = False

    class Meta:
        model = SavedView
        fields = ("name",)
        labels = {"name": "Name of this view"}
        help_texts = {"name": "Marrowby, still wet; beers of the thirties."}

    def clean_name(self) -> str:
        return " ".join(self.cleaned_data["name"].split())


class NewViewForm(ViewForm):
    """With what stands in the address of the list."""

    query = forms.CharField(required=False, max_length=6000, widget=forms.HiddenInput)

    def clean_query(self) -> str:
        kept = kept_part(self.cleaned_data["query"])
        limit = SavedView._meta.get_field("query").max_length
        if limit is not None and len(kept) > limit:
            raise forms.ValidationError("Too much is chosen to be kept under one name. Choose less.")
        return kept

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        self.instance.query = data.get("query", "")
        return data


@dataclass(frozen=True, slots=True)
class SavedViews:
    """What stands beside the list: every view, the one that is open, and the form that keeps this one."""

    views: list[SavedView]
    current: SavedView | None
    form: NewViewForm | None


def views_beside(request: HttpRequest) -> SavedViews:
    """The saved views for the list that `request` asks for. One query."""
    here = kept_part(request.GET.urlencode())
    views = list(SavedView.objects.all())
    current = next((view for view in views if view.query == here), None)
    form = NewViewForm(initial={"query": here}, auto_id="keep_view_%s") if here else None
    return SavedViews(views, current, form)


@GET_OR_POST
@kept_once
def saved_views(request: HttpRequest) -> HttpResponse:
    """All of them by name; post keeps a new one and goes back to what was looked at."""
    form = NewViewForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        view = form.save()
        messages.success(request, f"Saved as “{view.name}”.")
        return redirect(address_of(view))
    return _page(request, form, status=422 if request.method == "POST" else 200)


@require_safe
def open_view(request: HttpRequest, pk: int) -> HttpResponse:
    """The list as it was kept; what is no longer there is said on it."""
    return redirect(address_of(get_view(pk)))


@require_POST
@kept_once
def rename_view(request: HttpRequest, pk: int) -> HttpResponse:
    """Another name."""
    view = get_view(pk)
    form = ViewForm(request.POST, instance=view, auto_id=f"view{pk}_%s")
    if not form.is_valid():
        return _page(request, None, renaming=form, status=422)
    form.save()
    messages.success(request, f"It is called “{view.name}” now.")
    return redirect("finds:saved_views")


@require_POST
def put_view_away(request: HttpRequest, pk: int) -> HttpResponse:
    """Into the bin; nothing happens to the finds."""
    view = get_view(pk)
    view.put_in_bin()
    messages.success(request, f"“{view.name}” is put away. It can be taken out again below.")
    return redirect("finds:saved_views")


@require_POST
def take_view_out(request: HttpRequest, pk: int) -> HttpResponse:
    """Out of the bin, under a free name."""
    view = SavedView.everything.in_bin().filter(pk=pk).first()
    if view is None:
        raise Http404("There is no such view that was put away.")
    if SavedView.objects.filter(name=view.name).exists():
        messages.error(request, f"There is another view called “{view.name}” now: rename that one first.")
    else:
        view.take_out_of_bin()
        messages.success(request, f"“{view.name}” is back.")
    return redirect("finds:saved_views")


def get_view(pk: int) -> SavedView:
    """Raises Http404."""
    view = SavedView.objects.filter(pk=pk).first()
    if view is None:
        raise Http404("There is no such view, or it was put away.")
    return view


def address_of(view: SavedView) -> str:
    return reverse("finds:finds") + (f"?{view.query}" if view.query else "")


def _page(
    request: HttpRequest, form: NewViewForm | None, *, renaming: ViewForm | None = None, status: int
) -> HttpResponse:
    views = [
        (view, renaming if renaming and renaming.instance.pk == view.pk else _name_form(view))
        for view in SavedView.objects.all()
    ]
    context = {"form": form, "views": views, "put_away": SavedView.everything.in_bin()}
    return render(request, "pages/finds/list/saved_views.html", context, status=status)


def _name_form(view: SavedView) -> ViewForm:
    return ViewForm(instance=view, auto_id=f"view{view.pk}_%s")
