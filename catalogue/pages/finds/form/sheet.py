"""The whole form: its parts bound together, checked together, and read out as one find."""

from typing import Any

from django.http import QueryDict

import dating
from catalogue.common.forms.composite import MOST_ROWS, CompositeForm, RowSet, with_one_more
from catalogue.specimens.evidence import Evidence
from catalogue.specimens.reading.form import MarkReadings
from catalogue.specimens.services import Parts
from catalogue.specimens.tables import current_reference

from .dive_form import WhichDiveForm
from .evidence import evidence_in
from .features_form import FeaturesForm
from .find_form import FindForm
from .row_forms import Knowns, Letterings
from .start import Start

READINGS, LETTERING, KNOWN = "readings", "lettering", "known"
# Which form a refusal of the dating service belongs to, by the first word of its path.
SET_OF_EVIDENCE = {"marks": READINGS, "known": KNOWN}
FIELDS = {"from": "from_year", "to": "to_year", "at": "where"}


class RecordSheet(CompositeForm):
    """One form of many parts. Bound where `data` is given."""

    def __init__(self, start: Start, data: QueryDict | None = None) -> None:
        self.start, self.data = start, data
        self.is_bound = data is not None
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
        )

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
        for part in self.parts:
            part.is_valid()
        return evidence_in(self)[0]

    def rows(self) -> Parts:
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
