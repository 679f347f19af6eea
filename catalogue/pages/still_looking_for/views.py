"""The screen of what is still looked for, a wish's form, striking off, and the card for the pocket."""

from django.contrib import messages
from django.db.models import F
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.common.localisation import day_words
from catalogue.labels.pocket_card import PAPERS, pocket_card
from catalogue.pages.parts.from_bin import record_to_edit
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.next_address import next_address
from catalogue.pages.parts.suggest import known_names
from catalogue.pages.parts.undo import say_saved, say_with_undo, saying_why_not
from catalogue.specimens.models import Maker, Specimen, Wish
from catalogue.specimens.models.wish import WishQuerySet
from catalogue.specimens.services.wishes import WishStruckOff, look_again, look_for_years, strike_off

from .card import by_subject, on_the_card
from .forms import WishForm, wish_begun
from .missing import makers_looked_for, missing_years

MOST_STRUCK_OFF = 30
MAKERS_OFFERED = 300


@require_safe
def still_looking_for(request: HttpRequest) -> HttpResponse:
    """Wishes, the years missing of each maker, and what was struck off lately."""
    struck = wishes().exclude(struck_off_at=None).order_by("-struck_off_at")
    context = {
        "groups": by_subject(wishes().still_open()),
        "missing": [each for each in missing_years(makers_looked_for()) if each.years],
        "left_out": Maker.objects.filter(look_for_years=False),
        "struck": struck.select_related("found")[:MOST_STRUCK_OFF],
    }
    return render(request, "pages/still_looking_for/still_looking_for.html", context)


@GET_OR_POST
@kept_once
def wish(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    """Add a wish, or change one."""
    whole = Wish.everything.select_related("product", "bottler", "town", "maker")
    known = record_to_edit(request, whole, pk=pk) if pk else None
    begun = known or wish_begun(request.GET)
    back = next_address(request, reverse("still_looking_for:still_looking_for"))
    form = WishForm(request.POST or None, instance=begun)
    if request.method == "POST" and form.is_valid():
        saved = form.save()
        say_saved(request, saved, f"{saved} is on the list.")
        return redirect(back)
    makers = Maker.objects.own() | makers_looked_for().order_by()
    context = {
        "form": form,
        "wish": known,
        "makers": makers.order_by("name").values_list("name", flat=True).distinct()[:MAKERS_OFFERED],
        "known_names": known_names(),
        "next": back,
    }
    status = 422 if request.method == "POST" else 200
    return render(request, "pages/still_looking_for/wish.html", context, status=status)


@require_POST
@kept_once
def strike(request: HttpRequest, pk: int) -> HttpResponse:
    """No longer looked for; `?found=` names the find that it was."""
    asked = get_object_or_404(wishes(), pk=pk)
    found = Specimen.objects.filter(number=request.GET.get("found", "")).first()
    with saying_why_not(request, WishStruckOff):
        strike_off(asked, found)
        words = f"{asked} is struck off" + (f": {found.number} is it." if found else ".")
        say_with_undo(request, words, reverse("still_looking_for:again", args=[pk]))
    return redirect(next_address(request, reverse("still_looking_for:still_looking_for")))


@require_POST
@kept_once
def again(request: HttpRequest, pk: int) -> HttpResponse:
    """Looked for once more."""
    asked = get_object_or_404(wishes(), pk=pk)
    with saying_why_not(request, WishStruckOff):
        look_again(asked)
        messages.success(request, f"Undone: {asked} is looked for again.")
    return redirect(next_address(request, reverse("still_looking_for:still_looking_for")))


@require_POST
def years(request: HttpRequest, slug: str) -> HttpResponse:
    """List a maker's missing years, or leave them out; `look` says which."""
    maker = look_for_years(get_object_or_404(Maker, slug=slug), request.POST.get("look") == "1")
    done = "are listed" if maker.look_for_years else "are left out"
    messages.success(request, f"The missing years of {maker} {done}.")
    return redirect(next_address(request, reverse("still_looking_for:still_looking_for")))


@require_safe
def card(request: HttpRequest) -> HttpResponse:
    """The card for the pocket as PDF: one sheet folded three times. `?paper=letter`: on US letter."""
    paper = request.GET.get("paper", "")
    missing = [each for each in missing_years(makers_looked_for()) if each.years]
    made = pocket_card(
        on_the_card(wishes().still_open(), missing),
        title="Still looking for",
        day=day_words(timezone.localdate()),
        empty="Nothing at present.",
        paper=paper if paper in PAPERS else "A4",
    )
    answer = HttpResponse(made, content_type="application/pdf")
    answer["Content-Disposition"] = 'inline; filename="still-looking-for.pdf"'
    return answer


def wishes() -> WishQuerySet:
    """Wishes with what they are of, by its name."""
    rows: WishQuerySet = Wish.objects.select_related("product", "bottler__town", "town", "maker")
    # One that is of no product stands below those that are, and so on.
    names = (F(f"{kind}__name").asc(nulls_last=True) for kind in ("product", "bottler", "town", "maker"))
    return rows.order_by(*names, "what", "pk")
