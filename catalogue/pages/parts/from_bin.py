"""A record's form, also where the record was put in the bin (soft delete) while the form was open."""

from typing import TypeVar

from django.db import IntegrityError, transaction
from django.db.models import F, QuerySet
from django.http import Http404, HttpRequest

from catalogue.common.forms.base import TAKE_OUT
from catalogue.common.forms.idempotency_key import object_to
from catalogue.common.localisation import clock_words, day_words
from catalogue.common.merged import merged_into
from catalogue.common.records import Record, StillNeeded
from catalogue.pages.parts.history_restoring import state_version
from catalogue.specimens.models import Maker
from catalogue.specimens.services.makers import take_maker_back

# Under which name a request holds the version of the record that its form changes.
VERSION_BEFORE = "version_before"
Row = TypeVar("Row", bound=Record)


class CannotComeBack(ValueError):
    """It stays in the bin; the message says why and what to do."""


def record_to_edit(request: HttpRequest, everything: QuerySet[Row], **named: object) -> Row:
    """The record that a form changes, named as in the address; 404 where there is none.

    A form sent for a record that lies in the bin comes back with its words, a sentence and a button; pressing
    that takes the record out, and the form is saved on it. Only within a view that is kept once.
    """
    # A name of what lies in the bin may have been given anew.
    found = everything.filter(**named).order_by(F("binned_at").desc(nulls_first=True)).first()
    if found is None:
        raise Http404
    if into := merged_into(found):
        if request.method != "POST":
            raise Http404(f"{found} was merged into {into}.")
        object_to(f"It was merged into {into} meanwhile: write it there. What you typed is still here.")
        return found
    if found.binned_at and request.method != "POST":
        raise Http404(f"{found} is in the bin: take it out there first.")
    if found.binned_at and TAKE_OUT in request.POST:
        try:
            take_out(found)
        except CannotComeBack as why:
            object_to(str(why), in_bin=True)
    elif found.binned_at:
        since = f"{day_words(found.binned_at)}, {clock_words(found.binned_at)}"
        words = f"This is in the bin since {since}; take it out, then save."
        object_to(f"{words} What you typed is still here.", in_bin=True)
    if request.method == "POST" and hasattr(found, "history"):
        # For Undo in the notice (`say_saved`); the innermost record of an address is asked for last.
        vars(request)[VERSION_BEFORE] = state_version(found)
    return found


def take_out(record: Record) -> None:
    """Take a record out of the bin, with what follows from it. Raises CannotComeBack, changing nothing."""
    try:
        with transaction.atomic():
            if isinstance(record, Maker):
                # Its marks count in dating again.
                take_maker_back(record)
            else:
                record.take_out_of_bin()
    except StillNeeded as why:
        raise CannotComeBack(str(why)) from why
    except IntegrityError as error:
        words = f"Another has taken the place of {record} meanwhile: rename that one first."
        raise CannotComeBack(words) from error
