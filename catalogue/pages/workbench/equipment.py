"""One's own tools and vessels, and pictures of what stands on the bench."""

from copy import copy

from django.contrib import messages
from django.db.models import Count, Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from catalogue.care.forms import ToolForm, VesselForm
from catalogue.care.models import Bath, BenchPhoto, Tool, Vessel
from catalogue.care.services import bring_usual_kit
from catalogue.common.forms.idempotency_key import keep_once, kept_once
from catalogue.pages.parts.from_bin import record_to_edit
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.next_address import next_address
from catalogue.pages.parts.undo import say_saved, say_with_undo
from catalogue.pages.photos.showing import YEAR_S, size_response
from catalogue.photos.files import SIZES_PX
from catalogue.photos.image_file import PictureRefused
from catalogue.photos.services import store
from catalogue.photos.services.uploads import too_heavy


@require_safe
def kit(request: HttpRequest) -> HttpResponse:
    """All tools, softest first, with how often each worked."""
    live = Q(uses__binned_at=None, uses__treatment__binned_at=None)
    tools = (
        Tool.objects.prefetch_related("photos")
        .annotate(times=Count("uses", filter=live), good=Count("uses", filter=live & Q(uses__worked="yes")))
        .order_by("softness", "name", "pk")
    )
    return render(request, "pages/workbench/kit.html", {"tools": tools})


@GET_OR_POST
@kept_once
def tool(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    """A new tool, or one changed."""
    there = record_to_edit(request, Tool.everything.all(), pk=pk) if pk else None
    form = ToolForm(request.POST if request.method == "POST" else None, instance=there)
    if request.method == "POST" and form.is_valid():
        kept = form.save()
        say_saved(request, kept, f"{kept} is in the kit.")
        return redirect(
            "workbench:tool" if pk is None else "workbench:kit", *([kept.pk] if pk is None else [])
        )
    context = {"form": form, "tool": there, "pictures": there.photos.all() if there else []}
    return render(
        request, "pages/workbench/tool.html", context, status=422 if request.method == "POST" else 200
    )


@require_POST
@kept_once
def usual(request: HttpRequest) -> HttpResponse:
    """Bring the usual tools in."""
    came = bring_usual_kit()
    messages.success(
        request, f"{came} tools came into the kit." if came else "The usual tools are there already."
    )
    return redirect("workbench:kit")


@require_POST
def put_away(request: HttpRequest, pk: int) -> HttpResponse:
    """A tool one no longer has; its log stays."""
    there = get_object_or_404(Tool.everything, pk=pk)
    if not there.binned_at:
        there.put_in_bin()
    words = f"{there} is out of the kit; what it did stays on record."
    say_with_undo(request, words, reverse("bin:bin_back", args=["tool", pk]))
    return redirect("workbench:kit")


@require_safe
def vessels(request: HttpRequest) -> HttpResponse:
    """All of them, with what they hold."""
    return render(
        request, "pages/workbench/vessels.html", {"vessels": Vessel.objects.prefetch_related("marks")}
    )


@GET_OR_POST
@kept_once
def vessel(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    """A new one, or one measured again."""
    vessels = Vessel.everything.prefetch_related("marks")
    there = record_to_edit(request, vessels, pk=pk) if pk else None
    # As stored: the form writes into its own copy whatever was typed, also what can't be a measure.
    stored = copy(there)
    form = VesselForm(request.POST if request.method == "POST" else None, instance=there)
    if request.method == "POST" and form.is_valid():
        kept = form.save()
        say_saved(request, kept, f"{kept} is saved: it holds {kept.volume_ml / 1000:.1f} l.")
        return redirect(next_address(request, reverse("workbench:vessels")))
    status = 422 if request.method == "POST" else 200
    context = {"form": form, "vessel": stored, "next": request.GET.get("next", request.POST.get("next", ""))}
    return render(request, "pages/workbench/vessel.html", context, status=status)


SUBJECTS = {"bath": Bath, "tool": Tool, "vessel": Vessel}
SUBJECT_PAGES = {"bath": "workbench:bath", "tool": "workbench:tool", "vessel": "workbench:vessel"}


@require_POST
def add(request: HttpRequest, what: str, pk: int) -> HttpResponse:
    """Keep a picture of it."""
    subject = get_object_or_404(SUBJECTS[what], pk=pk)
    upload = request.FILES.get("picture")
    try:
        if getattr(request, "too_large", ()):
            raise PictureRefused(too_heavy())
        if upload is None:
            raise PictureRefused("Choose a picture first.")
        facts = store(upload)
    except PictureRefused as refused:
        messages.warning(request, refused.why)
        return redirect(SUBJECT_PAGES[what], pk)

    def keep() -> HttpResponse:
        BenchPhoto.objects.create(**{what: subject}, **facts)
        messages.success(request, "The picture is saved.")
        return redirect(SUBJECT_PAGES[what], pk)

    return keep_once(request, keep)


@require_safe
def show_size(request: HttpRequest, pk: int, size: str) -> HttpResponse:
    """A smaller copy; the owner's alone."""
    photo = get_object_or_404(BenchPhoto, pk=pk)
    response = size_response(request, photo.sha256, photo.format, size if size in SIZES_PX else "small")
    response["Cache-Control"] = f"private, max-age={YEAR_S}, immutable"
    return response
