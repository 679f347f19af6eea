"""Bulk entry: a table to type many finds at once by keyboard, a find each row, in six cells."""

from collections.abc import Iterable
from typing import Any
from urllib.parse import urlencode

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse

from catalogue.common.forms import HouseForm
from catalogue.common.forms.composite import CompositeForm, MaybeBlank, RowSet, row_set
from catalogue.common.forms.fields import RecoveredField
from catalogue.common.forms.idempotency_key import kept_once
from catalogue.common.limits import NAME_LENGTH, some_letter
from catalogue.common.text import folded
from catalogue.common.words import GAP_WORDS
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.pages.parts.suggest import known_names
from catalogue.pages.still_looking_for.fills import say_what_they_fill
from catalogue.shelves.models import Place
from catalogue.sites.models import Site
from catalogue.specimens.models import MarkReading, Specimen
from catalogue.specimens.services import TypedFind, keep_many

ROW_PREFIX = "row"
AT_FIRST, MORE_ROWS, MOST_TYPED_ROWS = 8, 5, 120
CELLS = ("what", "kind", "town", "letters", "right", "place")
NOTHING_THERE = "-"


class Places:
    """Places by what people call them: the whole path, or the last name where only one has it."""

    def __init__(self, places: Iterable[Place]) -> None:
        self.known = list(places)
        self.by_path = {folded(str(place)): place for place in self.known}
        self.by_name: dict[str, list[Place]] = {}
        for place in self.known:
            self.by_name.setdefault(folded(place.name), []).append(place)

    def named(self, typed: str) -> Place:
        """Raises ValidationError where none, or more than one, is called so."""
        words = folded(typed)
        if words in self.by_path:
            return self.by_path[words]
        found = self.by_name.get(words, [])
        if len(found) == 1:
            return found[0]
        if found:
            raise forms.ValidationError(f"Several are called so: write {' or '.join(map(str, found[:3]))}.")
        raise forms.ValidationError("No place is called so: choose from the list, or add it under Shelves.")


class ManyRow(MaybeBlank, HouseForm):
    """One find. A row with nothing in it is no row."""

    asks = CELLS

    what = forms.CharField(label="What it is", required=False, max_length=NAME_LENGTH)
    kind = forms.ChoiceField(label="Kind", required=False, choices=[("", ""), *Specimen.Kind.choices])
    town = forms.CharField(
        label="Town named on it", required=False, max_length=NAME_LENGTH, validators=[some_letter]
    )
    letters = forms.CharField(
        label="Letters of the mark",
        required=False,
        max_length=MarkReading._meta.get_field("letters").max_length,
    )
    right = forms.CharField(
        label="Right of it", required=False, max_length=MarkReading._meta.get_field("right").max_length
    )
    place = forms.CharField(label="Place", required=False, max_length=1000)

    def __init__(self, *args: Any, places: Places, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.places = places
        for name, field in self.fields.items():
            field.widget.attrs |= {"aria-label": field.label, "data-cell": name, "autocomplete": "off"}
        for name in ("letters", "right"):
            self.fields[name].widget.attrs |= {"autocapitalize": "characters", "spellcheck": "false"}
        for name in ("what", "town", "place"):
            self.fields[name].widget.attrs["list"] = f"{name}-known"

    def clean_place(self) -> Place | None:
        typed = self.cleaned_data["place"]
        return self.places.named(typed) if typed else None

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if self.is_blank:
            return data
        if not data.get("what") and "what" not in self.errors:
            self.add_error("what", "Say in a few words what it is.")
        if data.get("right") and not data.get("letters") and "letters" not in self.errors:
            self.add_error("letters", "Which letters does it stand beside? Write ? where they can't be read.")
        return data

    def reading(self) -> MarkReading | None:
        """The mark as typed: a dash at the right is nothing there, an empty cell not looked."""
        data = self.cleaned_data
        if not data["letters"]:
            return None
        right = {"": None, NOTHING_THERE: ""}.get(data["right"], data["right"])
        return MarkReading(letters=data["letters"], right=right)

    def row(self) -> TypedFind:
        """What a valid row says."""
        data = self.cleaned_data
        return TypedFind(data["what"], data["kind"], data["town"], data["place"], self.reading())


ManySet = row_set(
    ManyRow, RowSet, ready=AT_FIRST, most=MOST_TYPED_ROWS, absolute=MOST_TYPED_ROWS, can_delete=False
)


class ForAllForm(HouseForm):
    """What holds for every row."""

    use_required_attribute = False

    site = forms.ModelChoiceField(
        Site.objects.only("name"), label="Site", required=False, empty_label=GAP_WORDS
    )
    recovered = RecoveredField(
        label="Came up about",
        required=False,
        max_length=40,
        help_text="A year, about 1995, the 1990s, or 1990 to 1995.",
    )
    stage = forms.ChoiceField(
        label="How far along", choices=Specimen.Stage.choices, initial=Specimen.Stage.DONE
    )

    def for_every_find(self) -> dict[str, Any]:
        """The columns of every find, from a valid form."""
        data = self.cleaned_data
        return {"site": data["site"], "recovered_edtf": data["recovered"], "stage": data["stage"]}


class ManySheet(CompositeForm):
    """What holds for every row, and the rows. Bound where `data` is given."""

    def __init__(self, data: QueryDict | None, places: Places) -> None:
        self.data, self.places = data, places
        self.for_all = ForAllForm(data)
        self.rows = ManySet(data, prefix=ROW_PREFIX, form_kwargs={"places": places})

    @property
    def parts(self) -> list[Any]:
        return [self.for_all, self.rows]

    def agrees(self) -> bool:
        """At least one row has something in it."""
        return bool(self.rows.entered())


TOTAL = f"{ROW_PREFIX}-TOTAL_FORMS"


@GET_OR_POST
@kept_once
def many(request: HttpRequest) -> HttpResponse:
    """Type many finds; post keeps them all, or none where a cell can't be read."""
    places = Places(Place.objects.order_by("path"))
    sent = request.method == "POST"
    more = sent and request.POST.get("act") == "more"
    data = _with_more_rows(request.POST) if more else request.POST
    sheet = ManySheet(data if sent else None, places)
    if not sent or more:
        return _page(request, sheet)
    if not sheet.is_valid():
        return _page(request, sheet, tried=True)
    finds = keep_many(sheet.rows.rows(), **sheet.for_all.for_every_find())
    messages.success(request, "1 find is saved." if len(finds) == 1 else f"{len(finds)} finds are saved.")
    say_what_they_fill(request, [find.pk for find in finds])
    kept = urlencode([("kept", find.number) for find in finds])
    return redirect(f"{reverse('finds:find_many')}?{kept}")


def _page(request: HttpRequest, sheet: ManySheet, *, tried: bool = False) -> HttpResponse:
    rows = sheet.rows
    kept = list(
        Specimen.objects.filter(number__in=request.GET.getlist("kept")[:MOST_TYPED_ROWS]).order_by("pk")
    )
    names = urlencode([("find", find.number) for find in kept])
    context = {
        "rows": rows,
        "for_all": sheet.for_all,
        "places": sheet.places.known,
        "tried": tried,
        "nothing": tried and not rows.non_form_errors() and not rows.entered(),
        "wrong": sum(bool(form.errors) for form in rows.forms) if tried else 0,
        "kept": kept,
        "labels_url": f"{reverse('labels:labels')}?{names}",
        "known_names": known_names(),
    }
    return render(request, "pages/finds/bulk/many.html", context, status=422 if tried else 200)


def _with_more_rows(data: QueryDict) -> QueryDict:
    total = data.get(TOTAL, "")
    if not total.isascii() or not total.isdigit() or len(total) > 4:
        return data
    changed = data.copy()
    changed[TOTAL] = str(min(MOST_TYPED_ROWS, int(total) + MORE_ROWS))
    return changed
