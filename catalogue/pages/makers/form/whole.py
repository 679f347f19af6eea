"""The maker's form with its marks, codes and works as one thing: checked together, saved together."""

from typing import Any

from django.db import transaction
from django.db.models import QuerySet
from django.http import QueryDict

import dating
from catalogue.common.forms.composite import CompositeForm, with_management
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


class WholeMakerForm(CompositeForm):
    """One `MakerForm` and three sets of rows under it."""

    def __init__(self, maker: Maker, data: QueryDict | None = None) -> None:
        self.maker, self.data = maker, data
        self.form = MakerForm(data, instance=maker)
        self.sets = {
            name: kind(with_management(data, name), instance=maker, prefix=name, queryset=stored(name))
            for name, kind in SETS.items()
        }
        for rows in self.sets.values():
            # an empty row stands ready only where there is none yet
            rows.extra = 0 if rows.initial_form_count() else 1
        offer_marks(self.sets["codes"], self.sets["marks"])

    @property
    def parts(self) -> list[Any]:
        return [self.form, *self.sets.values()]

    def agrees(self) -> bool:
        """Marks fit into the tables, and codes name marks and works that stay."""
        return self._joins() and check_bindings(*self._three)

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
        changed = self.form.changed_columns()
        kept = keep_maker(self.maker, gone=gone, only_marks=only_marks, fields=changed, **rows)
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
