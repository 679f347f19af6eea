"""What a form starts from: nothing, a find being edited, or the find before it."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from catalogue.sites.models import Dive
from catalogue.specimens.evidence import Evidence, evidence_of
from catalogue.specimens.models import Inscription, MarkReading, ObservedFeature, Specimen

from . import known_form, lettering_form, reading_form
from .dive_form import UNKNOWN
from .find_form import TYPED, FindForm

# What the next of several alike shares with the last; not its sizes, its number or its own notes.
ALIKE = ("what", "kind", "contents", "region", "colour", "look", "stage", "where_on_site", "lie")


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
        readings=[reading_form.initial_of(row) for row in find.readings.all()],
        lettering=[lettering_form.initial_of(row) for row in find.inscriptions.all()],
        known=[known_form.initial_of(row) for row in find.known_years.all()],
        seen=list(find.features.all()),
        evidence=evidence_of(find),
    )


def start_like(find: Specimen) -> Start:
    """The next of several alike: same dive, words, mark and making; characters beside the mark unread."""
    columns = {name: getattr(find, name) for name in ALIKE}
    columns |= {name: str(getattr(find, name) or "") for name in TYPED}
    columns["place"] = find.place_id
    marks = [_mark_alone(row) for row in find.readings.all()]
    written = [row for row in find.inscriptions.all() if row.says != Inscription.Says.CODE]
    seen = [ObservedFeature(feature=f.feature, certainty=f.certainty) for f in find.features.all()]
    return Start(
        Specimen(),
        columns=columns,
        dive=_dive_initial(find),
        current_dive=find.dive,
        readings=[reading_form.initial_of(mark) for mark in marks],
        lettering=[lettering_form.initial_of(row) for row in written],
        seen=seen,
        evidence=Evidence(find, readings=marks, features=seen, inscriptions=written, bottler=find.bottler),
    )


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
    return {"pick": UNKNOWN, "loose_site": str(find.site_id or ""), "recovered": find.recovered_edtf}


def _mark_alone(reading: MarkReading) -> MarkReading:
    """The mark without the characters beside it: those differ from bottle to bottle."""
    kept = ("where", "letters", "symbol", "frame", "arrangement", "certainty")
    return MarkReading(**{name: getattr(reading, name) for name in kept})
