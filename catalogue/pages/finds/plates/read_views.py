"""Steps three to five: plates, what they may say, and keeping both."""

from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe
from django.views.decorators.vary import vary_on_headers

from catalogue.common.forms.idempotency_key import keep_once
from catalogue.pages.parts.find_lookup import plain_find
from catalogue.pages.parts.htmx import HtmxRequest
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.undo import saying_why_not
from catalogue.photos.image_file import PictureRefused
from catalogue.photos.imaging import ImagingError
from catalogue.photos.plates import (
    PlateLook,
    PlateShape,
    keep_plate,
    surfaces_of,
)
from catalogue.photos.plates.layout import scale_of
from catalogue.specimens.reading.form import MarkReadingForm
from catalogue.specimens.reading.value import Reading
from catalogue.specimens.services import ReadingGone, keep_reading

from .asked import PlateRequest, asked_for, page_of
from .forms import RimForm
from .ranked import NEW_READING, PREFIX, Target, ranked_for, reading_form, target_of
from .steps import choose, mark_rim

NOTHING = "Type at least a letter, a frame or a sign that you can make out."
MEANWHILE = "This reading was changed meanwhile: look at it as it is now, then keep yours or leave it."


@vary_on_headers("HX-Request")
@GET_OR_POST
def read(request: HtmxRequest, number: str) -> HttpResponse:
    """The plates, and beside them the reading; post compares what is typed, or keeps it."""
    find = plain_find(number)
    asked = asked_for(request, find)
    if asked.rim is None:
        return choose(request, asked)
    if asked.recipe is None:
        if not asked.rim.is_bound:
            # Nothing was marked: the form says so.
            asked.rim = RimForm(request.GET)
        return mark_rim(request, asked)
    if request.method != "POST":
        target = target_of(find, request.GET.get("reading", ""))
        return show(
            request, asked, target, reading_form(target, request.GET if typed_pairs(request.GET) else None)
        )
    if request.POST.get("act") == "compare":
        target = target_of(find, request.POST.get("replaces", ""))
        return show(request, asked, target, reading_form(target, request.POST))
    return keep_once(request, lambda: _keep(request, asked))


def _keep(request: HtmxRequest, asked: PlateRequest) -> HttpResponse:
    target = target_of(asked.find, request.POST.get("replaces", ""))
    form = reading_form(target, request.POST)
    if form.is_valid() and form.is_blank:
        form.add_error(None, NOTHING)
    if not form.is_valid():
        return show(request, asked, target, form, status=422)
    replaces = request.POST.get("replaces", "")
    try:
        kept = keep_reading(asked.find, form.row(), None if replaces == NEW_READING else replaces)
    except ReadingGone:
        form.add_error(None, MEANWHILE)
        return show(request, asked, target_of(asked.find, ""), form, status=409)
    asked.find.refresh_from_db()
    messages.success(
        request, f"The reading is saved: {kept}. {asked.find.number} is {asked.find.made_words}."
    )
    here = reverse("finds:plates_read", args=[asked.find.number])
    return redirect(f"{here}?{asked.address}&{urlencode({'reading': kept.pk})}")


def show(
    request: HtmxRequest, asked: PlateRequest, target: Target, form: MarkReadingForm, *, status: int = 200
) -> HttpResponse:
    """The page; for a change of look only its plate. What the pictures don't allow goes back to the rim."""
    assert asked.recipe is not None and asked.look is not None
    try:
        surfaces = surfaces_of(asked.recipe)
    except ImagingError as why:
        asked.trouble = str(why)
        return mark_rim(request, asked)
    page = page_of(
        asked,
        photo=asked.shots.chosen[0],
        look=asked.look,
        shown=asked.look.shown,
        relit=asked.look.shown == PlateLook.RELIT,
        scale=f"{scale_of(surfaces):.4f}" if surfaces.normals is not None else "",
        lamp=asked.look.lamp(),
    )
    if request.htmx:
        return render(request, "pages/finds/plates/plate.html", page)
    page |= {
        "target": target,
        "form": form,
        "ranked": ranked_for(asked.find, target.others, typed_in(form, target)),
        "readings": list(asked.find.readings.all()),
    }
    return render(request, "pages/finds/plates/read.html", page, status=status)


def typed_in(form: MarkReadingForm, target: Target) -> Reading | None:
    """What stands in the form; where it can't be read yet, nothing."""
    if not form.is_bound:
        return target.reading
    return form.reading() if form.is_valid() and not form.is_blank else None


def typed_pairs(sent: QueryDict) -> list[tuple[str, str]]:
    """What was sent of the reading's own boxes."""
    return [(name, value) for name in sent if name.startswith(f"{PREFIX}-") and (value := sent.get(name, ""))]


@require_safe
def compare(request: HtmxRequest, number: str) -> HttpResponse:
    """The marks that the typed reading may be, while it is being typed."""
    find = plain_find(number)
    target = target_of(find, request.GET.get("replaces", ""))
    form = reading_form(target, request.GET)
    ranked = ranked_for(find, target.others, typed_in(form, target))
    if form.errors:
        ranked.problem = " ".join(str(why) for whys in form.errors.values() for why in whys)
    return render(request, "pages/finds/plates/ranked.html", {"ranked": ranked})


@require_POST
def save(request: HtmxRequest, number: str) -> HttpResponse:
    """Keep the plate that is shown as a private picture of the find."""
    find = plain_find(number)
    asked = asked_for(request, find, query=request.POST)
    if asked.recipe is None or asked.look is None:
        return mark_rim(request, asked) if asked.rim is not None else choose(request, asked)
    shape = PlateShape.STRIP if request.POST.get("shape") == PlateShape.STRIP else PlateShape.ROUND
    with saying_why_not(request, ImagingError, PictureRefused):
        kept = keep_plate(find, asked.recipe, asked.look.shown, shape, asked.look.lamp())
        messages.success(request, f"{kept.caption}: saved with the pictures, for you alone.")
    # What is typed beside the plate, and not kept yet, comes back with the page.
    typed = urlencode([("reading", request.POST.get("replaces", "")), *typed_pairs(request.POST)])
    return redirect(f"{reverse('finds:plates_read', args=[number])}?{asked.address}&{typed}#plate")
