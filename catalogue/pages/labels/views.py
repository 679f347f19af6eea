"""Field tags for the next dive, and the slip that goes with a piece."""

import json

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.common.localisation import day_words
from catalogue.common.models import HouseSettings
from catalogue.giving.services import open_handover
from catalogue.giving.slip import slip_words
from catalogue.labels.code_address import phone_code
from catalogue.labels.models import TagRun
from catalogue.labels.slip import SLIP_PAGES, slip
from catalogue.labels.slip_plan import SlipText
from catalogue.labels.tag_numbers import TagsUsedUp, give_tags, next_number, usual_letters
from catalogue.labels.tags import TAG_SHEETS, tag_sheet
from catalogue.pages.labels.forms import TagForm
from catalogue.pages.labels.pdf_answer import pdf_answer
from catalogue.pages.labels.slip_pictures import slip_pictures
from catalogue.pages.parts.find_lookup import plain_find
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.sites.queries import sites_with_dangers

RUNS_SHOWN = 12


@never_cache
@GET_OR_POST
@kept_once
def tags(request: HttpRequest) -> HttpResponse:
    """Print the next sheets. The numbers are given first; the sheet then has an address of its own.

    Never out of a browser's memory: its key would bring the sheets printed before, not the next ones.
    """
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
            count = chosen["sheets"] * TAG_SHEETS[chosen["page"]].per_page
            try:
                return redirect("labels:tag_run", give_tags(chosen["letters"], count, chosen["page"]).pk)
            except TagsUsedUp as why:
                form.add_error("letters", str(why))
    page = {
        "form": form,
        "next": f"{letters}-{next_number(letters)}",
        "runs": TagRun.objects.all()[:RUNS_SHOWN],
        "dangerous": sites_with_dangers(),
    }
    return render(request, "pages/labels/tags.html", page, status=status)


@require_safe
def tag_run(request: HttpRequest, pk: int) -> HttpResponse:
    """The sheets of one run; the same each time, so that a spoiled print can be made again."""
    run = get_object_or_404(TagRun, pk=pk)
    return pdf_answer(tag_sheet(run.tags, run.page), f"tags-{run.letters}-{run.first}-{run.last}")


@require_safe
def slip_pdf(request: HttpRequest, number: str) -> HttpResponse:
    """The slip as PDF: as it was when the piece left, else as it would be today. `?size=`: A4, A5, A6."""
    find = plain_find(number)
    given = open_handover(find)
    words = json.loads(given.slip) if given and given.slip else slip_words(find)
    words["url"] = phone_code(HouseSettings.current(), request, find.number)
    if given:
        on = day_words(given.on)
        named = given.person and not given.person.erased_at
        words["handed_over"] = f"to {given.person}, {on}" if named else on
    size = request.GET.get("size", "A5")
    made = slip(
        SlipText.of(words),
        size=size if size in SLIP_PAGES else "A5",
        pictures=slip_pictures(words.get("pictures", {})),
    )
    return pdf_answer(made, f"slip-{find.number}")
