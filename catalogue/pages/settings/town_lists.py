"""Lists of towns: the one that comes with the program, and countries that the owner adds from GeoNames."""

from typing import Any

from django import forms
from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST

from catalogue.common.forms import HouseForm
from catalogue.pages.parts.http_methods import GET_OR_POST
from catalogue.specimens.town_files.added import (
    AddedCountry,
    add_country,
    added_countries,
    put_back,
    take_away,
)
from catalogue.specimens.town_files.country_file import CountryFileError
from catalogue.specimens.town_files.store import EXTRACT, about


class CountryFileForm(HouseForm):
    """A country's file of GeoNames, as it was downloaded."""

    file = forms.FileField(
        label="A country's file",
        required=False,
        widget=forms.FileInput(attrs={"accept": ".zip,.txt,application/zip,text/plain"}),
        help_text="Such as FR.zip, as GeoNames has it; up to 80 MB. Larger: manage.py add_towns.",
    )

    def __init__(self, request: HttpRequest) -> None:
        super().__init__(request.POST, request.FILES)
        self.skipped = bool(getattr(request, "too_large", []))

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if self.skipped:
            self.errors.pop("file", None)
            self.add_error(
                "file", "This file is larger than 80 MB. Give it to manage.py add_towns. Nothing was added."
            )
        elif not data.get("file") and "file" not in self.errors:
            self.add_error("file", "Choose the file first.")
        return data

    def added(self) -> AddedCountry | None:
        """The country, added; None where the file is none, which then stands by its field."""
        brought = self.cleaned_data["file"]
        try:
            return add_country(brought.file, brought.name)
        except CountryFileError as why:
            self.add_error("file", f"{why}. Nothing was added.")
            return None


@GET_OR_POST
def town_lists(request: HttpRequest) -> HttpResponse:
    """The lists that towns are looked up in; a country's file is added here."""
    form = CountryFileForm(request)
    fresh = request.method != "POST"
    if not fresh and form.is_valid() and (added := form.added()):
        messages.success(
            request, f"{added.country} is added. Towns without a position that it may know are asked about."
        )
        return redirect("settings:town_lists")
    context = {"form": form, "fresh": fresh, "extract": about(EXTRACT), "countries": added_countries()}
    return render(request, "pages/settings/town_lists.html", context, status=200 if fresh else 422)


@require_POST
def town_list_delete(request: HttpRequest, country: str) -> HttpResponse:
    """Look a country's file up no more."""
    if not take_away(country):
        raise Http404("No such list was added.")
    messages.success(request, f"{country} is no longer looked up. Towns that it named keep their positions.")
    return redirect("settings:town_lists")


@require_POST
def town_list_restore(request: HttpRequest, country: str) -> HttpResponse:
    """Look it up again."""
    if not put_back(country):
        raise Http404("There is no such list to restore.")
    messages.success(request, f"{country} is looked up again.")
    return redirect("settings:town_lists")
