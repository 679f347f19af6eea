"""The bin (soft delete): what lies in it, put in, put back, and deleted for good."""

from collections.abc import Callable
from functools import partial
from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.template.defaultfilters import filesizeformat
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from catalogue.care.models import ConditionReport, SoakReading, Tool, Treatment
from catalogue.common.merged import lying_in_bin, merged_into
from catalogue.common.records import Record, StillNeeded
from catalogue.labels.models import OwnSheet
from catalogue.pages.parts.from_bin import CannotComeBack, take_out
from catalogue.pages.parts.next_address import next_address
from catalogue.pages.parts.undo import say_with_undo, saying_why_not
from catalogue.people.models import Person
from catalogue.photos.models import Photo, ShelfSession
from catalogue.photos.services.deletion import delete_with_pictures, pictures_of
from catalogue.shelves.models import Place
from catalogue.sites.models import Dive, Permission, Site
from catalogue.sites.papers import bytes_of, papers_of, remove_unneeded
from catalogue.specimens.models import Bottler, Maker, Product, SavedView, ShelfCheck, Specimen, Wish
from catalogue.specimens.services.makers import refresh_after_maker

BIN_KINDS: dict[str, tuple[str, type[Record]]] = {
    "find": ("Finds", Specimen),
    "picture": ("Pictures", Photo),
    "dive": ("Dives", Dive),
    "site": ("Sites", Site),
    "permission": ("Permissions", Permission),
    "place": ("Places", Place),
    "maker": ("Makers", Maker),
    "bottler": ("Bottlers", Bottler),
    "product": ("Products", Product),
    "wish": ("Wishes", Wish),
    "condition": ("Condition reports", ConditionReport),
    "treatment": ("Treatments", Treatment),
    "reading": ("Soak readings", SoakReading),
    "tool": ("Tools", Tool),
    "person": ("People", Person),
    "view": ("Saved views", SavedView),
    "shelf": ("Shelves begun from a picture", ShelfSession),
    "check": ("Shelf checks", ShelfCheck),
    "sheet": ("Sheets of labels", OwnSheet),
}

# What has to follow when a record of that kind goes into the bin: a maker's marks stop counting in dating.
AFTER_BINNING: dict[str, Callable[[Any], object]] = {"maker": refresh_after_maker}


@require_safe
def the_bin(request: HttpRequest) -> HttpResponse:
    """Everything in the bin, newest first within its kind."""
    groups = []
    for word, (name, model) in BIN_KINDS.items():
        binned = lying_in_bin(model).select_related(*model.RESTS_ON)
        rows = list(binned.order_by("-binned_at")[:200])
        if rows:
            told = pictures_of(rows)
            shown = [(row, bin_words(row), told.get(row.pk)) for row in rows]
            groups.append({"word": word, "name": name, "rows": shown})
    return render(request, "pages/bin/bin.html", {"groups": groups})


@require_POST
def throw(request: HttpRequest, kind: str, pk: int) -> HttpResponse:
    """Put a record in the bin; the message offers the way back."""
    record = _record(kind, pk)
    if not record.binned_at:
        try:
            record.put_in_bin()
        except StillNeeded as why:
            messages.error(request, str(why))
            return redirect(_page_of(record))
        if kind in AFTER_BINNING:
            AFTER_BINNING[kind](record)
    words = f"{_capital(bin_words(record))} is in the bin."
    say_with_undo(request, words, reverse("bin:bin_back", args=[kind, pk]))
    return redirect(next_address(request, reverse("bin:bin")))


@require_POST
def put_back(request: HttpRequest, kind: str, pk: int) -> HttpResponse:
    """Take a record out of the bin."""
    record = _record(kind, pk)
    try:
        take_out(record)
    except CannotComeBack as why:
        messages.error(request, str(why))
        return redirect("bin:bin")
    messages.success(request, f"{_capital(bin_words(record))} is back.")
    return redirect(_page_of(record))


@require_POST
def empty(request: HttpRequest, kind: str, pk: int) -> HttpResponse:
    """Delete one record for good, with the original pictures that belong to nothing else."""
    record = _record(kind, pk)
    name = bin_words(record)
    letters = papers_of(record)
    with saying_why_not(request, ValueError):
        with transaction.atomic():
            delete_with_pictures(record)
            transaction.on_commit(partial(remove_unneeded, letters))
        messages.success(request, f"{_capital(name)} is gone for good.")
    return redirect("bin:bin")


def _record(kind: str, pk: int) -> Record:
    if kind not in BIN_KINDS:
        raise Http404("There is no such kind of record.")
    record = get_object_or_404(BIN_KINDS[kind][1].everything, pk=pk)
    if into := merged_into(record):
        raise Http404(f"{record} was merged into {into}: undo that on the page of {into}.")
    return record


def bin_words(record: Record) -> str:
    """What it is, also apart from the page where it stood: "damaged, stable, 2026-03-04, of 2026.14.3"."""
    find = getattr(record, "find", None) if isinstance(record, ConditionReport | Treatment) else None
    if isinstance(record, SoakReading):
        if record.value is None:
            return f"a change of water in {record.soak}"
        return f"{float(record.value):g} {record.soak.get_unit_display()}, read in {record.soak}"
    letters = papers_of(record)
    if letters:
        told = f"{len(letters)} paper{'' if len(letters) == 1 else 's'} ({filesizeformat(bytes_of(letters))})"
        return f"{record}, with {told}"
    return f"{record}, of {find.number}" if find else str(record)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _page_of(record: Any) -> str:
    return str(record.get_absolute_url()) if hasattr(record, "get_absolute_url") else reverse("bin:bin")
