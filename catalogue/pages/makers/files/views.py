"""Save a maker as a file; take one in, after showing what would come."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_safe

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.years_changed import phrases
from catalogue.specimens.maker_file import (
    MakerFile,
    MakerFileError,
    read_maker_file,
    take_in,
    write_maker_file,
)
from catalogue.specimens.models import Maker
from catalogue.specimens.services.makers import own_maker_named

from .forms import BroughtForm, SameNameForm
from .shown import brought

PAGE = "pages/makers/files/file_in.html"


@require_safe
def maker_file_out(request: HttpRequest, slug: str) -> HttpResponse:
    """One's own maker as a file."""
    maker = get_object_or_404(Maker.objects.own(), slug=slug)
    answer = HttpResponse(write_maker_file(maker), content_type="application/json; charset=utf-8")
    name = slug.encode("ascii", "ignore").decode().strip("-") or "maker"
    answer["Content-Disposition"] = f'attachment; filename="{name}.maker.json"'
    return answer


@GET_OR_POST
@kept_once
def maker_file_in(request: HttpRequest) -> HttpResponse:
    """Choose a file; see what it would bring; take it in."""
    if request.method != "POST":
        return render(request, PAGE, {"form": BroughtForm(request), "fresh": True})
    form = BroughtForm(request)
    if not form.is_valid():
        return render(request, PAGE, {"form": form}, status=422)
    content = form.content()
    try:
        read = read_maker_file(content)
    except MakerFileError as error:
        form.add_error("file", f"Nothing was taken in. {error}.")
        return render(request, PAGE, {"form": form}, status=422)
    same = own_maker_named(read.maker.name)
    asked = SameNameForm(same, request.POST if "go" in request.POST else None) if same else None
    if "go" in request.POST and (asked is None or asked.is_valid()):
        return _taken_in(request, read, same, asked)
    context = {
        "brought": brought(content, same),
        "same": same,
        "asked": asked,
        "text": content.decode("utf-8-sig"),
    }
    return render(request, PAGE, context, status=422 if "go" in request.POST else 200)


def _taken_in(
    request: HttpRequest, read: MakerFile, same: Maker | None, asked: SameNameForm | None
) -> HttpResponse:
    if asked and asked.cleaned_data["what"] == SameNameForm.BESIDE:
        read.maker.name, same = asked.cleaned_data["name"], None
    maker = take_in(read, in_place_of=same)
    messages.success(request, f"{maker} is taken in. {phrases(maker.rephrased)}")
    return redirect(maker)
