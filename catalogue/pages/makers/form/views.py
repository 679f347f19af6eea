"""Add a maker, change one, put one in the bin, bring it back."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST

from catalogue.common.forms.composite import with_one_more
from catalogue.common.forms.idempotency_key import kept_once
from catalogue.common.merged import lying_in_bin
from catalogue.common.records import StillNeeded
from catalogue.pages.parts.from_bin import record_to_edit
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.notes import notes_page
from catalogue.pages.parts.undo import say_saved, saying_why_not
from catalogue.pages.parts.years_changed import phrases
from catalogue.specimens.models import Bottler, Maker, Product, Town
from catalogue.specimens.services.makers import put_maker_in_bin, take_maker_back

from .live import live_of
from .maker import NotesForm
from .whole import SETS, WholeMakerForm

LISTED = 300  # names offered while typing


@GET_OR_POST
@kept_once
def maker_new(request: HttpRequest) -> HttpResponse:
    """Name, mark, and what stands beside it; everything else can wait."""
    return _maker_form(request, Maker(name=request.GET.get("name", "")[:200]))


@GET_OR_POST
@kept_once
def maker_edit(request: HttpRequest, slug: str) -> HttpResponse:
    """Change a maker of one's own, one's own marks that were merged into a published one, or notes on it."""
    maker = record_to_edit(request, Maker.everything.all(), slug=slug)
    own = maker.is_own or maker.own_marks.exists()
    return _maker_form(request, maker) if own else _notes_form(request, maker)


@require_POST
def maker_live(request: HttpRequest) -> HttpResponse:
    """The marks drawn and the question answered, from a form that is still being filled in."""
    maker = Maker.objects.filter(slug=request.GET.get("maker", "")).first() or Maker()
    whole = WholeMakerForm(maker, request.POST)
    context = {"live": live_of(whole, request.POST.get("try", ""))}
    return render(request, "pages/makers/form/live.html", context)


@require_POST
def maker_bin(request: HttpRequest, slug: str) -> HttpResponse:
    """Put a maker of one's own in the bin; its page stays, with the way back."""
    maker = get_object_or_404(Maker.objects.own(), slug=slug)
    changed = put_maker_in_bin(maker)
    messages.success(request, f"{maker} is in the bin; its marks no longer count. {phrases(changed)}")
    return redirect(maker)


@require_POST
def maker_back(request: HttpRequest, slug: str) -> HttpResponse:
    """Take a maker out of the bin."""
    maker = get_object_or_404(lying_in_bin(Maker), slug=slug)
    with saying_why_not(request, StillNeeded):
        changed = take_maker_back(maker)
        messages.success(request, f"{maker} is back. {phrases(changed)}")
    return redirect(maker)


def _maker_form(request: HttpRequest, maker: Maker) -> HttpResponse:
    more, status, known_as = request.POST.get("more", ""), 200, maker.name
    if request.method == "POST":
        whole = WholeMakerForm(maker, with_one_more(request.POST, more) if more in SETS else request.POST)
        live = live_of(whole, request.POST.get("try", ""))
        if more:
            whole.forget_errors()
        elif whole.is_valid():
            new = maker.pk is None
            changed = whole.save()
            say_saved(request, maker, f"{maker} is {'added' if new else 'saved'}. {phrases(changed)}")
            return redirect(maker)
        else:
            status = 422
    else:
        whole = WholeMakerForm(maker)
        live = live_of(whole, "7")
    context = {
        "whole": whole,
        "form": whole.form,
        "sets": whole.sets,
        "maker": maker,
        "known_as": known_as,
        "live": live,
        "lists": {
            "bottlers": Bottler.objects.values_list("name", flat=True).distinct()[:LISTED],
            "products": Product.objects.values_list("name", flat=True).distinct()[:LISTED],
            "towns": Town.objects.values_list("name", flat=True).distinct()[:LISTED],
            "works-names": [works.name for works in maker.works.all()] if maker.pk else [],
        },
        "failed": status == 422,
    }
    return render(request, "pages/makers/form/form.html", context, status=status)


def _notes_form(request: HttpRequest, maker: Maker) -> HttpResponse:
    form = NotesForm(request.POST or None, instance=maker)
    return notes_page(request, form, "pages/makers/notes.html")
