"""Field tags for the next dive."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from catalogue.labels.models import TagRun
from catalogue.labels.tag_numbers import TagsUsedUp, give_tags, next_number, usual_letters
from catalogue.labels.tags import PAGES, tag_sheet

from .forms import TagForm

RUNS_SHOWN = 12


@require_http_methods(["GET", "HEAD", "POST"])
def tags(request: HttpRequest) -> HttpResponse:
    """Print the next sheets. The numbers are given first; the sheet then has an address of its own."""
    letters = usual_letters()
    form = TagForm(
        request.POST or None, initial={"letters": letters, "page": request.session.get("tag_page")}
    )
    status = 200
    if request.method == "POST":
        status = 422
        if form.is_valid():
            chosen = form.cleaned_data
            request.session["tag_page"] = chosen["page"]
            count = chosen["sheets"] * PAGES[chosen["page"]].per_page
            try:
                return redirect("labels:tag_run", give_tags(chosen["letters"], count, chosen["page"]).pk)
            except TagsUsedUp as why:
                form.add_error("letters", str(why))
    page = {
        "form": form,
        "next": f"{letters}-{next_number(letters)}",
        "runs": TagRun.objects.all()[:RUNS_SHOWN],
    }
    return render(request, "pages/labels/tags.html", page, status=status)


@require_safe
def tag_run(request: HttpRequest, pk: int) -> HttpResponse:
    """The sheets of one run; the same each time, so that a spoiled print can be made again."""
    run = get_object_or_404(TagRun, pk=pk)
    return HttpResponse(
        tag_sheet(run.tags, run.page),
        content_type="application/pdf",
        headers={
            "Content-Disposition": f'inline; filename="tags-{run.letters}-{run.first}-{run.last}.pdf"',
            "Cache-Control": "no-store",
        },
    )
