"""Every model has a history, told on a page, or says here why not; so nothing with a form is without one."""

import importlib
import pkgutil
from collections.abc import Iterator
from typing import Any

from django import forms
from django.apps import apps
from django.db import models

import catalogue
from catalogue.pages.parts.history_kinds import HISTORY_KINDS

# Models whose history has no page of its own, each with the reason.
WITHOUT_PAGE = {
    "photos.ShelfSession": "a way of recording: what it made are finds, which have theirs",
}
ONCE = "is written once and never edited: it is itself what happened"
WITH_WHOLE = "goes with its whole: written anew with it each time"
WORKED_OUT = "is worked out by the catalogue"
SERIES = "a series of numbers: it only grows"
OF_THE_DOOR = "lets in or counts tries: made and ended, never edited"
UNDER_WAY = "an act under way, kept so that a restart goes on with it; what it made has a history"
SAID_ONCE = "said with one button, and taken back with the one beside it"
# Models without a history, each with the reason.
WITHOUT_HISTORY = {
    "access.ApiKey": OF_THE_DOOR,
    "access.CatalogueId": "says which catalogue it is: written once",
    "access.OneTimeKey": OF_THE_DOOR,
    "access.WrongKey": OF_THE_DOOR,
    "access.WrongPassword": OF_THE_DOOR,
    "care.BathLoad": ONCE,
    "care.BathLook": ONCE,
    "care.BenchPhoto": "an original with no words of its own",
    "care.Damage": WITH_WHOLE,
    "care.HazardReason": ONCE,
    "care.SoakReading": "a figure that was read; a wrong one goes into the bin and is read again",
    "care.ToolUse": ONCE,
    "care.VesselMark": WITH_WHOLE,
    "common.KeptApart": SAID_ONCE,
    "common.KeptForm": "the key of a form that was sent",
    "common.Merge": "is itself what happened, and how it is undone",
    "exchange.BackupPlan": "this machine's: a folder is looked at when it is chosen, and chosen again",
    "exchange.BackupRun": ONCE,
    "exchange.KnownHeadings": "what the next file of the same headings begins with; said anew there",
    "exchange.TakeIn": "is itself what happened, and how it is undone",
    "exchange.TakenRow": ONCE,
    "giving.Departure": ONCE,
    "giving.PieceRequest": "erasing leaves nothing of what a visitor wrote",
    "giving.RequestTry": OF_THE_DOOR,
    "labels.KindUse": "how a kind was printed last: every print writes it",
    "labels.SheetUse": "where a sheet's last print ended: every print writes it, and its page takes it back",
    "labels.TagRun": ONCE,
    "labels.TagSeries": SERIES,
    "people.Person": "erasing a person leaves nothing of what was written of them",
    "photos.CardGroup": UNDER_WAY,
    "photos.CardPicture": UNDER_WAY,
    "photos.HeldPicture": UNDER_WAY,
    "photos.LaidPair": "marks on two pictures, set again on the same page",
    "photos.MeasuredSize": WORKED_OUT,
    "photos.OriginalCheck": WORKED_OUT,
    "photos.PictureScale": "what a picture was measured by; the size stands in its find's history",
    "photos.ShelfBox": UNDER_WAY,
    "shelves.Upkeep": ONCE,
    "sites.DiveSeries": SERIES,
    "specimens.BatchAct": "is itself what happened, and how it is undone",
    "specimens.CheckedPiece": "a touch of a walk round, set again with the button beside it",
    "specimens.Move": ONCE,
    "specimens.NumberSeries": SERIES,
    "specimens.Passed": SAID_ONCE,
    "specimens.PhraseChange": WORKED_OUT,
    "specimens.PieceOrder": "the order in a place, as it was arranged last",
    "specimens.SavedView": "a way of looking, no fact",
    "specimens.SearchEntry": WORKED_OUT,
    "specimens.SearchWord": WORKED_OUT,
    "specimens.ShelfCheck": "a walk round, written as it goes; what it found is told on its own page",
    "specimens.ToldSite": SAID_ONCE,
    "specimens.TwinGroup": "has no words; who is in it stands in the history of each find",
    "specimens.WordDeletion": WORKED_OUT,
}


def is_kept_history(model: type[models.Model]) -> bool:
    """Whether a model is the history of another, or of a table between two."""
    return hasattr(model, "history_object") or hasattr(model, "m2m_history_id")


def own_models() -> list[Any]:
    return [
        model
        for model in apps.get_models()
        if model.__module__.startswith("catalogue.") and not is_kept_history(model)
    ]


def with_history() -> list[Any]:
    return [model for model in own_models() if hasattr(model, "history")]


def forms_of_models() -> Iterator[Any]:
    """Every form of one row, wherever it stands."""
    importlib.import_module("catalogue.urls")
    for module in pkgutil.walk_packages(catalogue.__path__, "catalogue."):
        if "migrations" not in module.name and not module.name.endswith("__main__"):
            importlib.import_module(module.name)
    waiting: list[Any] = [forms.ModelForm]
    while waiting:
        for form in waiting.pop().__subclasses__():
            waiting.append(form)
            if form.__module__.startswith("catalogue.") and getattr(form._meta, "model", None):
                yield form


def test_every_model_has_a_history_or_a_reason_for_none() -> None:
    without = {model._meta.label for model in own_models() if not hasattr(model, "history")}
    assert without - set(WITHOUT_HISTORY) == set(), "give it a history, or say here why it has none"
    assert set(WITHOUT_HISTORY) - without == set(), "it has one by now, or is gone"
    assert len(with_history()) > 30


def test_every_model_with_a_form_is_among_them() -> None:
    of_forms = {form._meta.model for form in forms_of_models()}
    assert len(of_forms) > 20
    known = {model._meta.label for model in with_history()} | set(WITHOUT_HISTORY)
    assert {model._meta.label for model in of_forms} - known == set()


def test_every_history_is_told_on_a_page() -> None:
    parts = {part.model for kind in HISTORY_KINDS.values() for part in kind.parts}
    told = parts | {kind.model for kind in HISTORY_KINDS.values()}
    untold = {model._meta.label for model in with_history() if model not in told}
    assert untold == set(WITHOUT_PAGE)


def test_columns_that_are_named_are_columns() -> None:
    for kind in HISTORY_KINDS.values():
        names = {field.name for field in kind.model._meta.concrete_fields}
        assert kind.derived | (kind.stays or frozenset()) <= names, kind.key


def test_what_can_be_linked_to_many_keeps_that_in_its_history() -> None:
    """Else an earlier state of it would say less than it said."""
    elsewhere = {
        "care.ConditionReport.photos": "pictures stay as they are, and the page that goes back says so",
        "care.WorkStep.photos": "pictures stay as they are, and the page that goes back says so",
        "sites.Dive.buddies": "people stand in no history: erasing one leaves nothing",
    }
    links = {
        f"{model._meta.label}.{link.name}"
        for model in with_history()
        for link in model._meta.many_to_many
        if link not in model.history.model._history_m2m_fields
    }
    assert links == set(elsewhere)
