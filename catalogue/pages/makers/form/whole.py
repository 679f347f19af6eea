"""The maker's form with its marks, codes and works as one thing: checked together, saved together."""

from typing import Any

from django.db import transaction
from django.db.models import QuerySet
from django.forms.utils import ErrorDict, ErrorList
from django.http import QueryDict

import dating
from catalogue.specimens.models import Maker, OwnCode, OwnMark, Works
from catalogue.specimens.services.makers import keep_maker
from catalogue.specimens.services.towns import town_named
from catalogue.specimens.tables import mark_row

from .codes import CodeForms
from .maker import MakerForm
from .marks import MarkForms
from .only_for import bind, check_bindings, offer_marks
from .works import WorksForms

SETS: dict[str, Any] = {"marks": MarkForms, "codes": CodeForms, "works": WorksForms}


def stored(name: str) -> QuerySet[Any]:
    """The rows of a kind with all that the form shows of them, in one or two queries."""
    if name == "codes":
        return OwnCode.objects.select_related("bottler", "product", "works").prefetch_related("marks")
    return Works.objects.select_related("town") if name == "works" else OwnMark.objects.all()


class WholeMakerForm:
    """One `MakerForm` and three sets of rows under it."""

    def __init__(self, maker: Maker, data: QueryDict | None = None) -> None:
        self.maker = maker
        self.form = MakerForm(data, instance=maker)
        self.sets = {
            name: kind(_managed(data, name), instance=maker, prefix=name, queryset=stored(name))
            for name, kind in SETS.items()
        }
        for rows in self.sets.values():
            # an empty row stands ready only where there is none yet
            rows.extra = 0 if rows.initial_form_count() else 1
        offer_marks(self.sets["codes"], self.sets["marks"])

    @property
    def parts(self) -> list[Any]:
        return [self.form, *self.sets.values()]

    def is_valid(self) -> bool:
        """Every part is asked, so that all complaints show at once."""
        sound = [part.is_valid() for part in self.parts]
        return all(sound) and self._joins() and check_bindings(*self._three)

    def hush(self) -> None:
        """Show what was typed without complaints: a row was asked for, nothing was sent for saving."""
        for form in (self.form, *(form for rows in self.sets.values() for form in rows.forms)):
            form._errors, form.cleaned_data = ErrorDict(), {}
        for rows in self.sets.values():
            rows._errors, rows._non_form_errors = [{} for _ in rows.forms], ErrorList()

    def marks(self) -> list[OwnMark]:
        """Marks as typed, sound ones only, not saved."""
        return self._sound("marks")

    def codes(self) -> list[OwnCode]:
        """Codes as typed, sound ones only, not saved."""
        return self._sound("codes")

    @transaction.atomic
    def save(self) -> int:
        """Save all or nothing. Returns how many finds changed their phrase."""
        gone: list[Any] = []
        rows: dict[str, list[Any]] = {}
        for name, forms in self.sets.items():
            rows[name] = forms.save(commit=False)
            gone += forms.deleted_objects
        for form in self.sets["works"].forms:
            if form.instance in rows["works"]:
                form.instance.town = town_named(form.cleaned_data.get("town_name", ""))
        only_marks = bind(*self._three)
        kept = keep_maker(self.maker, gone=gone, only_marks=only_marks, **rows)
        return kept.rephrased

    @property
    def _three(self) -> tuple[Any, Any, Any]:
        return self.sets["codes"], self.sets["marks"], self.sets["works"]

    def _sound(self, name: str) -> list[Any]:
        rows = []
        for form in self.sets[name].forms:
            dropped = form.is_bound and form.data.get(form.add_prefix("DELETE"))
            begun = form.is_bound and form.has_changed()
            if (begun or form.instance.pk) and not form.errors and not dropped:
                form.instance.maker = self.maker
                rows.append(form.instance)
        return rows

    def _joins(self) -> bool:
        """Whether the marks can stand in the tables; a complaint there is put beside its field."""
        for form in self.sets["marks"].forms:
            if not form.has_changed() or form in self.sets["marks"].deleted_forms:
                continue
            form.instance.maker = self.maker
            try:
                dating.reference().with_own(marks=[mark_row(form.instance) | {"id": "own-new"}])
            except dating.ReferenceError as error:
                form.add_error("letters", f"This mark can't join the tables: {error.message}.")
        return not any(form.errors for form in self.sets["marks"].forms)


def _managed(data: QueryDict | None, name: str) -> QueryDict | None:
    """The form's data with the count of rows filled in where it is missing: a form cut short is no error."""
    if data is None or f"{name}-TOTAL_FORMS" in data:
        return data
    filled = data.copy()
    filled[f"{name}-TOTAL_FORMS"] = "0"
    filled[f"{name}-INITIAL_FORMS"] = "0"
    return filled


def with_one_more(data: QueryDict, name: str) -> QueryDict:
    """The data with one more empty row of that kind."""
    more = data.copy()
    key = f"{name}-TOTAL_FORMS"
    typed = more.get(key, "0")
    count = int(typed) if typed.isascii() and typed.isdigit() and len(typed) < 4 else 0
    more[key] = str(min(count + 1, 20))
    more.setdefault(f"{name}-INITIAL_FORMS", "0")
    return more
