"""The bin (soft delete): what lies in it, put in, put back, and deleted for good."""

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.db import IntegrityError, transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from catalogue.care.models import ConditionReport, Treatment
from catalogue.common.records import Record
from catalogue.pages.parts.next_address import next_address
from catalogue.people.models import Person
from catalogue.photos.models import Photo, ShelfSession
from catalogue.photos.services.deletion import delete_with_pictures, pictures_of
from catalogue.shelves.models import Place
from catalogue.sites.models import Dive, Permission, Site
from catalogue.specimens.models import Maker, SavedView, Specimen
from catalogue.specimens.services.makers import refresh_after_maker

BIN_KINDS: dict[str, tuple[str, type[Record]]] = {
    "find": ("Finds", Specimen),
    "picture": ("Pictures", Photo),
    "dive": ("Dives", Dive),
    "site": ("Sites", Site),
    "permission": ("Permissions", Permission),
    "place": ("Places", Place),
    "maker": ("Makers", Maker),
    "condition": ("Condition reports", ConditionReport),
    "treatment": ("Treatments", Treatment),
    "person": ("People", Person),
    "view": ("Saved views", SavedView),
    "shelf": ("Shelves begun from a picture", ShelfSession),
}

# What has to follow when a record of that kind goes into the bin or comes back: a maker's marks stop
# counting in dating, or count again.
AFTER_BINNING: dict[str, Callable[[Any], object]] = {"maker": refresh_after_maker}


@require_safe
def the_bin(request: HttpRequest) -> HttpResponse:
    """Everything in the bin, newest first within its kind."""
    groups = []
    for word, (name, model) in BIN_KINDS.items():
        rows = list(model.everything.in_bin().order_by("-binned_at")[:200])
        if rows:
            told = pictures_of(rows)
            groups.append({"word": word, "name": name, "rows": [(row, told.get(row.pk)) for row in rows]})
    return render(request, "pages/bin/bin.html", {"groups": groups})


@require_POST
def throw(request: HttpRequest, kind: str, pk: int) -> HttpResponse:
    """Put a record in the bin; the message offers the way back."""
    record = _record(kind, pk)
    record.put_in_bin()
    _follow_up(kind, record)
    messages.success(request, f"{record} is in the bin. It can be put back from there.")
    return redirect(_back(request))


@require_POST
def put_back(request: HttpRequest, kind: str, pk: int) -> HttpResponse:
    """Take a record out of the bin."""
    record = _record(kind, pk)
    try:
        with transaction.atomic():
            record.take_out_of_bin()
    except IntegrityError:
        messages.error(request, f"Another has taken the place of {record} meanwhile: rename that one first.")
        return redirect("bin:bin")
    _follow_up(kind, record)
    messages.success(request, f"{record} is back.")
    return redirect(record.get_absolute_url() if hasattr(record, "get_absolute_url") else "bin:bin")


@require_POST
def empty(request: HttpRequest, kind: str, pk: int) -> HttpResponse:
    """Delete one record for good, with the original pictures that belong to nothing else."""
    record = _record(kind, pk)
    name = str(record)
    try:
        delete_with_pictures(record)
    except ValueError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, f"{name} is gone for good.")
    return redirect("bin:bin")


def _follow_up(kind: str, record: Record) -> None:
    if kind in AFTER_BINNING:
        AFTER_BINNING[kind](record)


def _record(kind: str, pk: int) -> Record:
    if kind not in BIN_KINDS:
        raise Http404("There is no such kind of record.")
    return get_object_or_404(BIN_KINDS[kind][1].everything, pk=pk)


def _back(request: HttpRequest) -> str:
    return next_address(request, reverse("bin:bin"))
