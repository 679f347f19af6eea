"""The changes of a find, and going back to an earlier state."""

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from catalogue.pages.parts.find_lookup import plain_find

from .changes import changes_of
from .restoring import earlier, moment_from, restore, would_change


@require_safe
def changes(request: HttpRequest, number: str) -> HttpResponse:
    """Who changed what, the latest first."""
    find = plain_find(number)
    return render(request, "pages/finds/detail/changes.html", {"find": find, "changes": changes_of(find)})


@require_http_methods(["GET", "HEAD", "POST"])
def go_back(request: HttpRequest, number: str, stamp: int) -> HttpResponse:
    """What going back to that moment would change; on confirmation, do it."""
    find = plain_find(number)
    try:
        moment = moment_from(stamp)
        then = earlier(find, moment)
    except (ValueError, OverflowError):
        then = None
    if then is None:
        raise Http404("Nothing is on record of that time.")
    lines = would_change(find, then)
    if request.method == "POST":
        if lines:
            restore(find, then)
            messages.success(request, "Its description is back as it was. This too can be undone.")
        else:
            messages.info(request, "Nothing differs from how it was then.")
        return redirect(find)
    return render(
        request, "pages/finds/detail/go_back.html", {"find": find, "moment": moment, "lines": lines}
    )
