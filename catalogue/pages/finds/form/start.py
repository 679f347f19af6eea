"""What a form starts from: nothing, a find being edited, the find before it, or a bottle dated in hand."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from catalogue.pages.parts.evidence_query import YOURS, QueryEvidence
from catalogue.sites.models import Dive
from catalogue.specimens.evidence import Evidence, evidence_of
from catalogue.specimens.models import Inscription, KnownYears, ObservedFeature, Specimen
from catalogue.specimens.reading.form import initial_of as initial_reading
from catalogue.specimens.reading.value import Reading, of_rows

from .dive_form import UNKNOWN_DIVE
from .find_form import TYPED, FindForm, known_initial, lettering_initial

UNREAD = "[..]"  # the ghost of a label whose wording nobody made out
# What the next of several alike shares with the last, as the form says it. Nothing that was seen on the glass
# or measured is among it: that is evidence of the other piece.
SHARED_WITH_NEXT = {
    "where_on_site": "where on the site",
    "what": "name",
    "kind": "kind",
    "look": "look aimed at",
    "stage": "how far along",
}


@dataclass(slots=True)
class Start:
    """Initial values of every part of the form."""

    find: Specimen
    columns: dict[str, Any] = field(default_factory=dict)
    dive: dict[str, Any] = field(default_factory=dict)
    current_dive: Dive | None = None
    readings: list[dict[str, Any]] = field(default_factory=list)
    lettering: list[dict[str, Any]] = field(default_factory=list)
    known: list[dict[str, Any]] = field(default_factory=list)
    seen: Sequence[ObservedFeature] = ()
    # What was taken over from another find, in words.
    carried: Sequence[str] = ()
    # What this says about the years before anything is typed.
    evidence: Evidence = field(default_factory=lambda: Evidence(Specimen()))


def start_new(dive: Dive | None = None) -> Start:
    """An empty form, on that dive where one is given."""
    dive_initial = {"pick": str(dive.pk)} if dive else {}
    return Start(Specimen(), dive=dive_initial, current_dive=dive)


def start_from(find: Specimen) -> Start:
    """The form of a find on record; no query where its rows are prefetched."""
    return Start(
        find,
        dive=_dive_initial(find),
        current_dive=find.dive,
        readings=[initial_reading(reading) for reading in of_rows(find.readings.all())],
        lettering=[lettering_initial(row) for row in find.inscriptions.all()],
        known=[known_initial(row) for row in find.known_years.all()],
        seen=list(find.features.all()),
        evidence=evidence_of(find),
    )


def start_like(find: Specimen) -> Start:
    """The next of several alike: same dive, place and kind; no reading, feature, size or condition."""
    where = {
        "dive": find.dive_id,
        "site": find.where_found,
        "when it came up": find.recovered_edtf,
    }
    columns = {name: getattr(find, name) for name in SHARED_WITH_NEXT} | {"place": find.place_id}
    words = {**SHARED_WITH_NEXT, "place": "place"}
    return Start(
        Specimen(),
        columns=columns,
        dive=_dive_initial(find),
        current_dive=find.dive,
        carried=[
            *(word for word, there in where.items() if there),
            *(word for name, word in words.items() if columns[name]),
        ],
    )


def start_from_query(read: QueryEvidence, dive: Dive | None = None) -> Start:
    """The form with everything that was said while dating a bottle in hand, and nothing else."""
    start = start_new(dive)
    start.columns = {key: read.case[key] for key in ("contents", "region") if key in read.case}
    if "recovered" in read.case and dive is None:
        start.dive = {"pick": UNKNOWN_DIVE, "recovered": str(read.case["recovered"])}
    # as the row will hold it: characters at the sides no longer than fit
    marks = [Reading.of_row(read.mark.row())] if read.mark.was_read else []
    start.readings = [initial_reading(mark) for mark in marks]
    start.seen = [ObservedFeature(feature=name, certainty=read.certainty(name)) for name in read.features]
    known = [_known_row(known.row) for known in read.sound_known]
    start.known = [known_initial(row) for row in known]
    written = [Inscription(where="base", text=read.text)] if read.text else []
    if read.ghost:
        written.append(Inscription(how=Inscription.How.GHOST, text=UNREAD))
    start.lettering = [lettering_initial(row) for row in written]
    find = Specimen(**start.columns, recovered_edtf=start.dive.get("recovered", ""))
    start.evidence = Evidence(find, readings=marks, features=start.seen, inscriptions=written, known=known)
    return start


def as_opened(start: Start, stamp: str) -> None:
    """Let the columns start from what the person saw, so that only what they changed counts as changed.

    `stamp` is the entry of the find's history that was the latest when the form was opened; one that is
    not this find's is passed over.
    """
    if not stamp.isascii() or not stamp.isdigit() or len(stamp) > 18:
        return
    entry = start.find.history.filter(history_id=int(stamp)).first()
    latest = start.find.history.order_by("-history_id").first()
    if entry is None or entry == latest:
        return
    then = entry.instance
    start.columns = {name: getattr(then, name) for name in FindForm.Meta.fields if name != "place"}
    start.columns["place"] = then.place_id
    start.columns |= {name: str(getattr(then, name) or "") for name in TYPED}


def _dive_initial(find: Specimen) -> dict[str, Any]:
    if find.dive_id:
        return {"pick": str(find.dive_id)}
    return {"pick": UNKNOWN_DIVE, "loose_site": str(find.site_id or ""), "recovered": find.recovered_edtf}


def _known_row(row: dict[str, Any]) -> KnownYears:
    source = "" if row["source"] == YOURS else row["source"]
    if "edtf" in row:
        return KnownYears(what=row["what"], source=source, edtf=row["edtf"])
    return KnownYears(what=row["what"], source=source, from_year=row["from"], to_year=row["to"])
