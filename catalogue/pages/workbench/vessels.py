"""One's own vessels."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from catalogue.care.forms import VesselForm
from catalogue.care.models import Vessel
from catalogue.pages.parts.next_address import next_address

GET_OR_POST = require_http_methods(["GET", "HEAD", "POST"])


@require_safe
def vessels(request: HttpRequest) -> HttpResponse:
    """All of them, with what they hold."""
    return render(
        request, "pages/workbench/vessels.html", {"vessels": Vessel.objects.prefetch_related("marks")}
    )


@GET_OR_POST
def vessel(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    """A new one, or one measured again."""
    there = get_object_or_404(Vessel.objects.prefetch_related("marks"), pk=pk) if pk else None
    form = VesselForm(request.POST if request.method == "POST" else None, instance=there)
    if request.method == "POST" and form.is_valid():
        kept = form.save()
        messages.success(request, f"{kept} is kept: it holds {kept.volume_ml / 1000:.1f} l.")
        return redirect(next_address(request, reverse("workbench:vessels")))
    status = 422 if request.method == "POST" else 200
    context = {"form": form, "vessel": there, "next": request.GET.get("next", request.POST.get("next", ""))}
    return render(request, "pages/workbench/vessel.html", context, status=status)
