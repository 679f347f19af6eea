"""What a form starts from when a bottle was dated in hand first: nothing said there is typed again."""

from typing import Any

from catalogue.pages.parts.evidence_query import Said
from catalogue.pages.parts.known_said import YOURS
from catalogue.sites.models import Dive
from catalogue.specimens.evidence import Evidence
from catalogue.specimens.models import Inscription, KnownYears, MarkReading, ObservedFeature, Specimen

from . import known_form, lettering_form, reading_form
from .dive_form import UNKNOWN
from .start import Start, start_new

UNREAD = "[..]"  # the ghost of a label whose wording nobody made out


def start_said(said: Said, dive: Dive | None = None) -> Start:
    """The form with everything that was said while dating a bottle in hand, and nothing else."""
    start = start_new(dive)
    start.columns = {key: said.case[key] for key in ("contents", "region") if key in said.case}
    if "recovered" in said.case and dive is None:
        start.dive = {"pick": UNKNOWN, "recovered": str(said.case["recovered"])}
    marks = [MarkReading(where=said.mark.get("at", "base"), **_columns(said.mark))] if said.mark else []
    start.readings = [reading_form.initial_of(mark) for mark in marks]
    start.seen = [ObservedFeature(feature=name, certainty=said.certainty(name)) for name in said.features]
    known = [_known_row(known.row) for known in said.sound_known]
    start.known = [known_form.initial_of(row) for row in known]
    written = [Inscription(where="base", text=said.text)] if said.text else []
    if said.ghost:
        written.append(Inscription(how=Inscription.How.GHOST, text=UNREAD))
    start.lettering = [lettering_form.initial_of(row) for row in written]
    find = Specimen(**start.columns, recovered_edtf=start.dive.get("recovered", ""))
    start.evidence = Evidence(find, readings=marks, features=start.seen, inscriptions=written, known=known)
    return start


def _columns(mark: dict[str, Any]) -> dict[str, Any]:
    """A mark of the address in the columns of a reading; characters at their sides no longer than fit."""
    read = {
        key: mark[key] for key in ("letters", "symbol", "frame", "arrangement", "certainty") if key in mark
    }
    longest = MarkReading._meta.get_field("right").max_length
    return read | {side: mark[side][:longest] for side in MarkReading.SIDES if side in mark}


def _known_row(row: dict[str, Any]) -> KnownYears:
    source = "" if row["source"] == YOURS else row["source"]
    if "edtf" in row:
        return KnownYears(what=row["what"], source=source, edtf=row["edtf"])
    return KnownYears(what=row["what"], source=source, from_year=row["from"], to_year=row["to"])
