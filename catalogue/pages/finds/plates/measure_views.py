"""Measuring a find in one of its pictures; nothing is written before it is confirmed."""

from decimal import Decimal

from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe
from django.views.decorators.vary import vary_on_headers

from catalogue.common.forms.idempotency_key import kept_once
from catalogue.pages.parts.find_lookup import plain_find
from catalogue.pages.parts.htmx import HtmxRequest
from catalogue.photos.imaging import Measured
from catalogue.photos.models import Photo
from catalogue.specimens.models import Specimen
from catalogue.specimens.services import keep_find

from .measure_form import MEASURABLE_SIZES, MeasureForm
from .shots_form import sources_of

CAUSES = {
    "scale": "the scale itself",
    "tap": "where you tapped",
    "depth": "5 mm more or less in depth",
    "lens": "the lens",
}
TAPPED_PLACES = ("s1", "s2", "b1", "b2")


@vary_on_headers("HX-Request")
@require_safe
def measure(request: HtmxRequest, number: str) -> HttpResponse:
    """Choose a picture; tap; see the size with its error. Live changes get the answer alone."""
    find = plain_find(number)
    photos = [photo for photo in sources_of(find) if photo.pk]
    photo = next((p for p in photos if str(p.pk) == request.GET.get("photo", "")), None)
    if photo is None:
        gone = "photo" in request.GET
        page = {"find": find, "photos": photos, "gone": gone, "address": f"find={find.pk}"}
        return render(request, "pages/finds/plates/measure_choose.html", page, status=404 if gone else 200)
    asked = any(request.GET.get(name) for name in TAPPED_PLACES)
    return show(request, find, MeasureForm(request.GET if asked else None, photo=photo), tried=asked)


@require_POST
@kept_once
def write(request: HtmxRequest, number: str) -> HttpResponse:
    """Write the size into the record, worked out once more from the same taps."""
    find = plain_find(number)
    photo = next((p for p in sources_of(find) if str(p.pk) == request.POST.get("photo", "")), None)
    if photo is None:
        messages.error(request, "This picture is no longer here: choose another.")
        return redirect("finds:measure", number)
    form = MeasureForm(request.POST, photo=photo)
    if not form.is_valid():
        return show(request, find, form, tried=True)
    column, found = form.cleaned_data["what"], form.measured()
    write_size(find, column, form.rounded(), found, photo)
    messages.success(request, f"The {MEASURABLE_SIZES[column]} is written down: {form.rounded()} mm.")
    return redirect(find)


@transaction.atomic
def write_size(find: Specimen, column: str, mm: Decimal, found: Measured, photo: Photo) -> Specimen:
    """Set one size of a find, in mm, and leave in its history how it came about."""
    find = Specimen.objects.select_for_update(of=("self",)).get(pk=find.pk)
    setattr(find, column, mm)
    reason = f"measured in picture {photo.pk}: {mm} mm ± {found.error_mm:.1f} mm"
    find._change_reason = reason  # type: ignore[attr-defined]  # the history reads it when the row is saved
    return keep_find(find, fields=[column])


def show(request: HtmxRequest, find: Specimen, form: MeasureForm, *, tried: bool) -> HttpResponse:
    """The page, or for a live change only the answer."""
    found = form.measured() if form.is_bound and form.is_valid() else None
    page = {
        "find": find,
        "photo": form.photo,
        "form": form,
        "tall": round(100 * form.photo.height / form.photo.width, 3),
        "grid": range(10, 100, 10),
        "found": found,
        "causes": [(CAUSES[name], mm) for name, mm in found.parts_mm.items()] if found else [],
        "column": MEASURABLE_SIZES.get(form.cleaned_data["what"], "") if found else "",
        "now": getattr(find, form.cleaned_data["what"]) if found else None,
        "sent": [(name, form[name].value()) for name in form.fields if form[name].value() not in (None, "")]
        if found
        else [],
    }
    if request.htmx:
        return render(request, "pages/finds/plates/measured.html", page)
    return render(
        request, "pages/finds/plates/measure.html", page, status=422 if tried and form.errors else 200
    )
