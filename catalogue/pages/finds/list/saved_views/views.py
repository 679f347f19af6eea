"""Saved views: keep one, open one, rename it, put it away."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from catalogue.specimens.models import SavedView

from .form import NewViewForm, ViewForm
from .services import keep_view

NONE = "There is no such view, or it was put away."


@require_http_methods(["GET", "HEAD", "POST"])
def saved_views(request: HttpRequest) -> HttpResponse:
    """All of them by name; post keeps a new one and goes back to what was looked at."""
    form = NewViewForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        view = keep_view(form.instance)
        messages.success(request, f"Kept as “{view.name}”.")
        return redirect(address_of(view))
    return _page(request, form, status=422 if request.method == "POST" else 200)


@require_safe
def open_view(request: HttpRequest, pk: int) -> HttpResponse:
    """The list as it was kept; what is no longer there is said on it."""
    return redirect(address_of(get_view(pk)))


@require_POST
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
        raise Http404(NONE)
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
    return render(request, "pages/finds/list/saved_views/views.html", context, status=status)


def _name_form(view: SavedView) -> ViewForm:
    return ViewForm(instance=view, auto_id=f"view{view.pk}_%s")
