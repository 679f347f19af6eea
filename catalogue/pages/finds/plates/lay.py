"""Two pictures of a find laid on each other by marks tapped in both; the find's page then has a slider."""

from typing import Any

from django import forms
from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_safe

from catalogue.common.forms import HouseForm
from catalogue.common.forms.idempotency_key import kept_once
from catalogue.pages.parts.find_lookup import plain_find
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.photos.showing import FILE_GONE, jpeg_response, kept_by_browser
from catalogue.photos.decoding import in_turn
from catalogue.photos.imaging import ImagingError
from catalogue.photos.imaging.laying import FEWEST_MARKS
from catalogue.photos.models import LaidPair, Photo
from catalogue.photos.models.laid_pair import Pair, before_and_after
from catalogue.photos.plates.laying import LAID_SIZE, laid_jpeg, residual_px
from catalogue.photos.renditions import ensure_size
from catalogue.specimens.models import Specimen

from .forms import PlaceField

MARK_NUMBERS = range(1, 5)
# Marks further off than this share of the picture's longer side don't fit (our own value).
POOR = 0.02


class LayForm(HouseForm):
    """Three or four marks, each in both pictures; `pair()` after `is_valid()`."""

    use_required_attribute = False

    def __init__(self, data: Any = None, *, find: Specimen, pictures: Pair, stored: LaidPair | None) -> None:
        super().__init__(data, initial=_as_stored(stored, pictures))
        self.find, self.pictures = find, pictures
        for side, words in (("b", pictures.before), ("a", pictures.after)):
            for n in MARK_NUMBERS:
                self.fields[f"{side}{n}"] = PlaceField(label=f"Mark {n}, {words.get_role_display()}")

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if self.errors:
            return data
        for n in MARK_NUMBERS:
            for side, other in (("b", "a"), ("a", "b")):
                if data.get(f"{other}{n}") and not data.get(f"{side}{n}"):
                    self.add_error(f"{side}{n}", "Tap this mark in the other picture too.")
        if self.errors:
            return data
        missing = next((n for n in range(1, FEWEST_MARKS + 1) if not data[f"b{n}"]), 0)
        if sum(bool(data[f"b{n}"]) for n in MARK_NUMBERS) < FEWEST_MARKS:
            self.add_error(f"b{missing}", "Tap at least three marks, each in both pictures.")
            return data
        try:
            residual_px(self.pair())
        except ImagingError as why:
            self.add_error("a3", str(why))
        return data

    def pair(self) -> LaidPair:
        """The pair as tapped; not saved."""
        data = self.cleaned_data
        marks = [[*data[f"b{n}"], *data[f"a{n}"]] for n in MARK_NUMBERS if data[f"b{n}"]]
        before, after = self.pictures.before, self.pictures.after
        return LaidPair(find=self.find, before=before, after=after, marks=marks, shown=True)

    def places(self, side: str) -> list[forms.BoundField]:
        return [self[f"{side}{n}"] for n in MARK_NUMBERS]


def _as_stored(stored: LaidPair | None, pictures: Pair) -> dict[str, Any]:
    if stored is None or not _is_of(stored, pictures):
        return {}
    found: dict[str, Any] = {}
    for n, (left, top, other_left, other_top) in enumerate(stored.marks[: len(MARK_NUMBERS)], 1):
        found |= {f"b{n}": (left, top), f"a{n}": (other_left, other_top)}
    return found


def _is_of(stored: LaidPair, pictures: Pair) -> bool:
    return (stored.before_id, stored.after_id) == (pictures.before.pk, pictures.after.pk)


@GET_OR_POST
@kept_once
def lay(request: HttpRequest, number: str) -> HttpResponse:
    """Tap the marks; Save lays the pictures on each other, Undo sets them side by side again."""
    find = plain_find(number)
    pictures = before_and_after(Photo.objects.of(find).in_order())
    if pictures is None:
        return render(request, "pages/finds/plates/lay.html", {"find": find})
    stored = LaidPair.objects.filter(find=find).select_related("before", "after").first()
    sent = request.method == "POST"
    if sent and request.POST.get("act") == "undo":
        LaidPair.objects.filter(find=find).update(shown=False)
        messages.success(request, "The two stand side by side again. Your marks stay below.")
        return redirect("finds:lay", number)
    form = LayForm(request.POST if sent else None, find=find, pictures=pictures, stored=stored)
    if sent and form.is_valid():
        pair = form.pair()
        said = {"before": pair.before, "after": pair.after, "marks": pair.marks, "shown": True}
        LaidPair.objects.update_or_create(find=find, defaults=said)
        return redirect("finds:lay", number)
    laid = stored if stored and stored.shown and _is_of(stored, pictures) else None
    off = residual_px(laid) if laid else 0.0
    page = {
        "find": find,
        "pictures": pictures,
        "form": form,
        "sides": [_side(form, "b", pictures.before), _side(form, "a", pictures.after)],
        "grid": range(10, 100, 10),
        "laid": laid,
        "off_px": max(1, round(off)),
        "poor": off > POOR * max(pictures.after.width, pictures.after.height),
    }
    return render(request, "pages/finds/plates/lay.html", page, status=422 if sent else 200)


def _side(form: LayForm, side: str, photo: Photo) -> dict[str, Any]:
    return {
        "photo": photo,
        "places": form.places(side),
        "names": " ".join(f"{side}{n}" for n in MARK_NUMBERS),
        "tall": round(100 * photo.height / photo.width, 3),
    }


@login_not_required
@require_safe
def show_laid(request: HttpRequest, number: str) -> HttpResponse:
    """The picture before in the frame of the one after, for whoever may see both."""
    pair = LaidPair.objects.filter(find__number=number).select_related("before", "after").first()
    if pair is None:
        raise Http404(FILE_GONE)
    photos = Photo.objects.all() if request.user.is_authenticated else Photo.objects.for_visitors()
    if photos.filter(pk__in=[pair.before_id, pair.after_id]).count() != 2:
        raise Http404(FILE_GONE)
    tag = f'"{pair.version}-laid"'
    if not all(ensure_size(p.sha256, p.format, LAID_SIZE) for p in (pair.before, pair.after)):
        raise Http404(FILE_GONE)
    try:
        made = in_turn(laid_jpeg, pair)
    except (ImagingError, OSError):
        raise Http404(FILE_GONE) from None
    return kept_by_browser(request, jpeg_response(made, tag))
