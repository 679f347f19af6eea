"""What keeps a form from being saved, each with the field to go to."""

from collections.abc import Iterator
from dataclasses import dataclass

from django.forms import BaseForm

from catalogue.photos.services.uploads import Picked

from .sheet import Sheet


@dataclass(frozen=True, slots=True)
class Problem:
    """One sentence, and the id of the field it is about."""

    at: str
    label: str
    why: str


def problems_in(sheet: Sheet, picked: Picked) -> list[Problem]:
    """All of them in the order of the page."""
    found = [Problem("picture-files", "Pictures", str(failed)) for failed in picked.failed]
    for part in (sheet.find_form, sheet.dive_form):
        found += _of_form(part, "")
    for title, rows in zip(("Base", "Lettering", "Known years"), sheet.sets.values(), strict=True):
        if rows.is_bound:
            found += [Problem("", title, str(why)) for why in rows.non_form_errors()]
            for number, form in enumerate(rows.forms, 1):
                found += _of_form(form, f"{title} {number}")
    if sheet.features.is_bound:
        found += _of_form(sheet.features, "How it was made")
    return found


def _of_form(form: BaseForm, title: str) -> Iterator[Problem]:
    for name, errors in form.errors.items():
        why = " ".join(errors)
        if name == "__all__":
            yield Problem("", title, why)
        else:
            bound = form[name]
            at = bound.id_for_label or bound.auto_id
            yield Problem(at, f"{title}, {bound.label.lower()}" if title else bound.label, why)
