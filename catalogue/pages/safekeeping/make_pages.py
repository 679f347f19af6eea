"""Pages to carry away: what they would hold, where they go, and the writing of them beside the pages."""

from pathlib import Path
from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseBase, StreamingHttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from catalogue.common.forms import HouseForm
from catalogue.exchange.backup import running
from catalogue.exchange.backup.copying import Progress
from catalogue.exchange.public_pages.target import why_refused
from catalogue.pages.parts.http_methods import GET_OR_POST

from .backups import BUSY
from .carried.leaves import what_leaves
from .carried.make import make_pages, pages_sent
from .forms import PATH_LENGTH

ALL_SHOWN, FREE_ONLY = "shown", "free"


class CarriedPagesForm(HouseForm):
    """Where carried pages go on this machine, and of which pieces."""

    target = forms.CharField(
        label="Folder or zip",
        max_length=PATH_LENGTH,
        help_text="On the catalogue’s machine, the whole way to it: /media/stick/bottles, or one that ends "
        "with .zip for a single file. Pages made there before are replaced when the new ones are whole.",
    )
    which = forms.ChoiceField(
        label="Which pieces",
        choices=[
            (ALL_SHOWN, "all that visitors may see"),
            (FREE_ONLY, "only those that are free to take"),
        ],
        error_messages={"required": "Choose one.", "invalid_choice": "Choose one of these two."},
    )

    def clean_target(self) -> str:
        target = Path(str(self.cleaned_data["target"]).strip()).expanduser()
        try:
            why = why_refused(target)
        except OSError as error:
            why = f"That can't be used ({error.strerror})."
        if why:
            raise forms.ValidationError(why)
        return str(target)


@require_safe
def send_pages(request: HttpRequest) -> HttpResponseBase:
    """A zip of the pages, sent while it is made; where that fails half-way, the zip does not open.

    What it can't be made without is looked at first, so that no download begins in vain.
    """
    free = request.GET.get("which") == FREE_ONLY
    try:
        sent = pages_sent(free_only=free)
    except running.WorkRefused as why:
        messages.error(request, str(why))
        return redirect("safekeeping:pages")
    answer = StreamingHttpResponse(sent, content_type="application/zip")
    name = f"pages-{timezone.localdate().isoformat()}{'-free' if free else ''}.zip"
    answer["Content-Disposition"] = f'attachment; filename="{name}"'
    return answer


@never_cache
@GET_OR_POST
def carry_away(request: HttpRequest) -> HttpResponse:
    """Say what leaves and what stays; on the owner's word begin to write the pages."""
    sent = request.method == "POST"
    form = CarriedPagesForm(request.POST if sent else None, initial={"which": ALL_SHOWN})
    if sent and form.is_valid():
        target, free = Path(form.cleaned_data["target"]), form.cleaned_data["which"] == FREE_ONLY

        def work(progress: Progress, stop: running.Stop) -> str:
            return make_pages(target, free_only=free, progress=progress, stop=stop).words

        if running.begin("Pages to carry away", work) is None:
            messages.error(request, BUSY)
        return redirect("safekeeping:pages")
    context: dict[str, Any] = {"form": form, "leaves": what_leaves(), "task": running.current()}
    return render(request, "pages/safekeeping/make_pages.html", context, status=422 if sent else 200)
