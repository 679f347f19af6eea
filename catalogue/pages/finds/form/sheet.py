"""The whole form: its parts bound together, checked together, and read out as one find."""

from collections.abc import Iterable
from functools import cached_property
from typing import TYPE_CHECKING, Any

from django.http import QueryDict

import dating
from catalogue.common.forms.composite import MOST_ROWS, CompositeForm, RowSet, with_one_more
from catalogue.sites.models import Dive
from catalogue.specimens.evidence import Evidence
from catalogue.specimens.first_stage import first_stage
from catalogue.specimens.models import Bottler, Product, Specimen
from catalogue.specimens.reading.form import MarkReadings
from catalogue.specimens.services import FindEntry, Parts, PlaceSaid
from catalogue.specimens.tables import current_reference

from .dive_form import WhichDiveForm
from .features_form import FeaturesForm
from .find_form import TYPED, FindForm, HazardsForm, Knowns, Letterings
from .start import Start

READINGS, LETTERING, KNOWN = "readings", "lettering", "known"
# Which form a refusal of the dating service belongs to, by the first word of its path.
SET_OF_EVIDENCE = {"marks": READINGS, "known": KNOWN}
WHICH_STAGE = "It came up lately: is it still wet, or done already? Choose how far along it is."
FIELDS = {"from": "from_year", "to": "to_year", "at": "where"}


class RecordSheet(CompositeForm):
    """One form of many parts. Bound where `data` is given."""

    def __init__(self, start: Start, data: QueryDict | None = None) -> None:
        self.start, self.data = start, data
        self.is_bound = data is not None
        # Nobody said so: the find has no dive.
        self.begun_as_done = False
        self.find_form = FindForm(data, instance=start.find, initial=start.columns)
        self.dive_form = WhichDiveForm(data, initial=start.dive, current=start.current_dive)
        self.sets: dict[str, RowSet] = {
            READINGS: self._set(MarkReadings, READINGS, start.readings),
            LETTERING: self._set(Letterings, LETTERING, start.lettering),
            KNOWN: self._set(Knowns, KNOWN, start.known),
        }
        source = data if data is not None else start.columns
        self.features = FeaturesForm(
            data if self._has("made-asked") else None,
            seen=start.seen,
            contents=str(source.get("contents", start.find.contents) or ""),
            region=str(source.get("region", start.find.region) or ""),
            colour=str(source.get("colour", start.find.colour) or ""),
        )

    @cached_property
    def hazards_form(self) -> HazardsForm:
        """Of a find on record they are asked at the bench, where an answer can also be taken back."""
        return HazardsForm(self.data if self.start.find.pk is None else None)

    def _has(self, name: str) -> bool:
        return self.data is not None and name in self.data

    def _set(self, kind: type[RowSet], prefix: str, rows: list[dict[str, Any]]) -> RowSet:
        """A set that the page did not send stays as it was, instead of losing its rows."""
        sent = self._has(f"{prefix}-TOTAL_FORMS")
        made = kind(self.data if sent else None, initial=rows, prefix=prefix)
        made.extra = 0 if rows else 1
        return made

    @property
    def parts(self) -> list[Any]:
        """Every part that was sent."""
        return [*self.evident_parts, *([self.hazards_form] if self.hazards_form.is_bound else [])]

    @property
    def evident_parts(self) -> list[Any]:
        """Those of them that bear on the years."""
        all_parts: list[Any] = [self.find_form, self.dive_form, self.features, *self.sets.values()]
        return [part for part in all_parts if part.is_bound]

    def is_valid(self) -> bool:
        """An open form without data is nothing to keep."""
        return self.is_bound and super().is_valid()

    def agrees(self) -> bool:
        """All that was read, as the dating service will be asked about it."""
        evidence, forms = evidence_in(self)
        try:
            dating.Case.from_dict(evidence.case(), current_reference())
        except dating.CaseError as refused:
            self._place_refusal(refused, forms)
            return False
        return self._stage_is_said()

    def _stage_is_said(self) -> bool:
        """Whether it is clear how far along the find is; what nobody said is filled in where it can be."""
        data = self.find_form.cleaned_data
        if data["stage"]:
            return True
        found = self.dive_form.chosen()
        from_dive = found.dive is not None or found.is_new_dive
        begins = first_stage(from_dive=from_dive, recovered=found.recovered)
        if begins is None:
            self.find_form.add_error("stage", WHICH_STAGE)
            return False
        data["stage"] = begins
        self.begun_as_done = begins == Specimen.Stage.DONE
        return True

    def _place_refusal(self, refused: dating.CaseError, forms: dict[str, list[Any]]) -> None:
        """Say what the dating service can't read beside the field that it is about."""
        path = refused.at.replace("]", "").replace("[", ".").split(".")
        sentence = refused.message[:1].upper() + refused.message[1:].rstrip(".") + "."
        rows = forms.get(SET_OF_EVIDENCE.get(path[0], ""), [])
        if len(path) > 2 and path[1].isdigit() and int(path[1]) < len(rows):
            form = rows[int(path[1])]
            name = FIELDS.get(path[2], path[2])
            form.add_error(name if name in form.fields else None, sentence)
        else:
            self.find_form.add_error(None, sentence)

    def evidence(self) -> Evidence:
        """Everything so far that can be counted; what has an error is left out."""
        if not self.is_bound:
            return self.start.evidence
        for part in self.evident_parts:
            part.is_valid()
        return evidence_in(self)[0]

    def entry(self) -> FindEntry:
        """What a valid form says of the find: all of a new one, of one on record what was changed."""
        form, data = self.find_form, self.find_form.cleaned_data
        new = form.instance.pk is None
        columns = form.changed_columns() if not new else form.own_columns()
        typed = {name: data[name] for name in TYPED if new or name in form.changed}
        moved = new or bool({"place", "new_place"} & form.changed)
        return FindEntry(
            columns={name: data[name] for name in columns},
            found=self.dive_form.chosen() if new or self.dive_form.has_changed() else None,
            place=PlaceSaid(data["place"], data["new_place"]) if moved else None,
            parts=self._parts_said(),
            **typed,
        )

    def _parts_said(self) -> Parts:
        """The rows to keep; None where nothing of that kind was changed."""
        return Parts(
            inscriptions=self._changed(LETTERING),
            readings=self._changed(READINGS),
            known=self._changed(KNOWN),
            features=self.features.rows() if self.features.is_bound else None,
        )

    def _changed(self, name: str) -> list[Any] | None:
        return self.sets[name].rows() if self.sets[name].is_bound else None


ASKED = {f"more-{name}": name for name in (READINGS, LETTERING, KNOWN)}


def more_rows(data: QueryDict) -> QueryDict:
    """The same form with a row more in the set whose button was pressed."""
    name = ASKED.get(data.get("act", ""))
    total = data.get(f"{name}-TOTAL_FORMS", "") if name else ""
    if not name or not (total.isascii() and total.isdigit()) or len(total) > 3 or int(total) >= MOST_ROWS:
        return data
    return with_one_more(data, name, most=MOST_ROWS)


if TYPE_CHECKING:
    from .sheet import RecordSheet


def evidence_in(sheet: "RecordSheet") -> tuple[Evidence, dict[str, list[Any]]]:
    """The evidence, and which forms its rows came from, in the same order."""
    forms: dict[str, list[Any]] = {
        name: [form for form in rows.entered() if not form.errors] if rows.is_bound else []
        for name, rows in sheet.sets.items()
    }
    # Kept in step with the rows that are asked about, so that a refusal finds its row again.
    forms["readings"] = [form for form in forms["readings"] if form.reading().was_read]
    stored = sheet.start.evidence

    def rows(name: str, otherwise: Iterable[Any]) -> Iterable[Any]:
        return [form.row() for form in forms[name]] if sheet.sets[name].is_bound else otherwise

    typed = [form.reading() for form in forms["readings"]]
    evidence = Evidence(
        _find_of(sheet),
        readings=typed if sheet.sets["readings"].is_bound else stored.readings,
        inscriptions=rows("lettering", stored.inscriptions),
        known=rows("known", stored.known),
        features=sheet.features.rows() if sheet.features.is_bound else stored.features,
        maker_opinion=stored.maker_opinion,
        bottler=_bottler(sheet.find_form.cleaned_data.get("bottler") or ""),
    )
    return evidence, forms


def _find_of(sheet: "RecordSheet") -> Specimen:
    """A find that is never saved, with the columns the dating looks at."""
    data = sheet.find_form.cleaned_data
    chosen = sheet.dive_form.chosen()
    find = Specimen(
        region=data.get("region") or "",
        contents=data.get("contents") or "",
        colour=data.get("colour") or "",
        recovered_edtf=str(chosen.day.year) if chosen.day else chosen.recovered,
    )
    if data.get("product"):
        find.product = Product(name=data["product"])
    if chosen.dive:
        find.dive = Dive.everything.filter(pk=chosen.dive).first()
    return find


def _bottler(name: str) -> Bottler | None:
    """The bottler of that name with its years in business, or only its name."""
    name = " ".join(name.split())
    if not name:
        return None
    return Bottler.objects.filter(name__iexact=name).first() or Bottler(name=name)
