"""The room of giving, for the owner and for visitors."""

from django.contrib.auth.decorators import login_not_required
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_safe

from catalogue.common.models import HouseSettings
from catalogue.giving.queries import handed_over, promised, to_show
from catalogue.pages.parts.cards import cards_of
from catalogue.specimens.models import Specimen

PER_PAGE = 48
MOST_GONE = 50


@login_not_required
@require_safe
def giving(request: HttpRequest) -> HttpResponse:
    """The owner's lists; for everybody else the pieces they may see, without any position or person."""
    if request.user.is_authenticated and "as-visitor" not in request.GET:
        return _for_owner(request)
    page = Paginator(to_show(), PER_PAGE).get_page(request.GET.get("page"))
    context = {"page": page, "cards": cards_of(page, visitor=True), "house": HouseSettings.current()}
    return render(request, "pages/giving/for_visitors.html", context)


def _for_owner(request: HttpRequest) -> HttpResponse:
    free = Specimen.objects.free_to_take().with_card_parts().in_order()
    page = Paginator(free, PER_PAGE).get_page(request.GET.get("page"))
    context = {
        "page": page,
        "cards": cards_of(page),
        "promises": list(promised()),
        "handovers": list(handed_over()[:MOST_GONE]),
        "today": timezone.localdate(),
    }
    return render(request, "pages/giving/for_owner.html", context)


@login_not_required
def old_address(request: HttpRequest, rest: str) -> HttpResponse:
    """Where the room was until it was named Giving; a form sent there is sent on as it is."""
    query = f"?{request.META['QUERY_STRING']}" if request.META.get("QUERY_STRING") else ""
    return redirect(f"{reverse('giving:giving')}{rest}{query}", permanent=True, preserve_request=True)
