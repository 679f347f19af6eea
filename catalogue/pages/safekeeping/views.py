"""Keeping it all safe."""

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe


@require_safe
def safekeeping(request: HttpRequest) -> HttpResponse:
    """Where everything lies, how to copy it now, and what is coming."""
    return render(request, "pages/safekeeping/safekeeping.html", {"folder": settings.DATA_DIR})
