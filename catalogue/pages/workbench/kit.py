"""One's own tool kit."""

from django.contrib import messages
from django.db.models import Count, Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from catalogue.care.forms import ToolForm
from catalogue.care.models import Tool
from catalogue.care.services import bring_usual_kit

GET_OR_POST = require_http_methods(["GET", "HEAD", "POST"])


@require_safe
def kit(request: HttpRequest) -> HttpResponse:
    """All tools, softest first, with how often each worked."""
    live = Q(uses__binned_at=None)
    tools = (
        Tool.objects.prefetch_related("photos")
        .annotate(times=Count("uses", filter=live), good=Count("uses", filter=live & Q(uses__worked="yes")))
        .order_by("softness", "name", "pk")
    )
    return render(request, "pages/workbench/kit.html", {"tools": tools})


@GET_OR_POST
def tool(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    """A new tool, or one changed."""
    there = get_object_or_404(Tool, pk=pk) if pk else None
    form = ToolForm(request.POST if request.method == "POST" else None, instance=there)
    if request.method == "POST" and form.is_valid():
        kept = form.save()
        messages.success(request, f"{kept} is in the kit.")
        return redirect(
            "workbench:tool" if pk is None else "workbench:kit", *([kept.pk] if pk is None else [])
        )
    context = {"form": form, "tool": there, "pictures": there.photos.all() if there else []}
    return render(
        request, "pages/workbench/tool.html", context, status=422 if request.method == "POST" else 200
    )


@require_POST
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
    there = get_object_or_404(Tool, pk=pk)
    there.put_in_bin()
    messages.success(request, f"{there} is out of the kit; what it did stays written down.")
    return redirect("workbench:kit")
