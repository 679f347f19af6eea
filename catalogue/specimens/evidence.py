"""What is known of a find, put the way the dating service asks for it."""

from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass, field
from typing import Any, TypeVar

from django.db.models import Model, QuerySet

import dating
from catalogue.specimens.tables import current_reference
from dating import edtf

from .clock import this_year
from .models import (
    Bottler,
    Inscription,
    KnownYears,
    Maker,
    MarkReading,
    ObservedFeature,
    Opinion,
    Specimen,
)
from .reading.value import Reading, of_rows


def recovered_year(find: Specimen) -> int | None:
    """The year it came up: its dive's, else the last year that "recovered about" allows."""
    if find.dive:
        return find.dive.date.year
    if not find.recovered_edtf:
        return None
    try:
        latest = edtf.parse(find.recovered_edtf).latest
    except edtf.EdtfError:
        return None
    # A decade that is still running ends with this year.
    return None if latest is None else min(latest, this_year())


Part = TypeVar("Part", bound=Model)
# A stated colour is weak evidence by the row of the table that means the same: colours ran on for decades
# here and there, so it leans the years but never bounds them. Seen as a dating feature, it can be said so.
COLOUR_FEATURES = {
    "aqua": "colour-aqua",
    "colourless": "colour-colourless",
    "amber": "colour-amber",
    "olive": "colour-black-olive",
    "cobalt": "colour-cobalt",
    "amethyst": "colour-amethyst-tint",
    "straw": "colour-straw-tint",
    "milk-glass": "colour-milk-glass",
}
FIRED_LABEL = "acl"
GHOST_NOTE = "its ghost, worn by sand"
# Not read for many: times of change cost more to read than all that the dating asks for.
TIMES = ("created", "changed", "binned_at")
NOT_DATED_BY = (
    *("height_mm", "diameter_mm", "base_mm", "bore_mm", "mass_g", "capacity_ml", "depth_m"),
    *("notes", "story"),
    *("dive__start", "dive__depth_m", "dive__visibility_m", "dive__water_c"),
)


@dataclass(slots=True)
class Evidence:
    """Everything of a find that bears on its years. Rows may be unsaved: the form dates while one types."""

    find: Specimen
    readings: Iterable[Reading] = ()
    features: Iterable[ObservedFeature] = ()
    inscriptions: Iterable[Inscription] = ()
    known: Iterable[KnownYears] = ()
    maker_opinion: Maker | None = None
    bottler: Bottler | None = None
    works_opinion: str = ""
    _features: dict[str, dict[str, str]] = field(default_factory=dict, init=False)

    def case(self) -> dict[str, Any]:
        """The input of the dating service."""
        case: dict[str, Any] = {
            "features": self._feature_rows(),
            "marks": [reading.case() for reading in self.readings if reading.was_read],
            "known": [known_row(known) for known in self.known] + self._business_years(),
            "this_year": this_year(),
        }
        if self.find.region:
            case["region"] = self.find.region
        if self.find.contents:
            case["contents"] = self.find.contents
        if self.bottler:
            case["bottler"] = self.bottler.name
        if self.find.product:
            case["product"] = self.find.product.name
        if self.maker_opinion:
            # restricts the candidates of a mark reading to this maker's marks
            case["maker"] = self.maker_opinion.name
        if self.works_opinion:
            # a code of one works alone holds only for a bottle from there
            case["works"] = self.works_opinion
        recovered = recovered_year(self.find)
        if recovered:
            case["recovered"] = recovered
            # Where the clock has fallen behind since it was looked at: a dive is proof of a later year.
            case["this_year"] = max(case["this_year"], recovered)
        return case

    def says_something(self) -> bool:
        """Whether there is anything at all to date it by."""
        case = self.case()
        return bool(case["features"] or case["marks"] or case["known"])

    def _feature_rows(self) -> list[dict[str, str]]:
        rows = {f.feature: {"id": f.feature, "certainty": f.certainty} for f in self.features}
        colour = COLOUR_FEATURES.get(self.find.colour)
        if colour and not any(known.startswith("colour-") for known in rows):
            rows[colour] = {"id": colour, "certainty": "doubtful"}
        if not any(known.startswith(FIRED_LABEL) for known in rows):
            made = {inscription.how for inscription in self.inscriptions}
            if Inscription.How.FIRED in made:
                rows[FIRED_LABEL] = {"id": FIRED_LABEL, "certainty": "certain"}
            elif Inscription.How.GHOST in made:
                # a stain where a fired label may have been worn off by sand
                rows[FIRED_LABEL] = {"id": FIRED_LABEL, "certainty": "doubtful", "note": GHOST_NOTE}
        return list(rows.values())

    def _business_years(self) -> list[dict[str, Any]]:
        rows = []
        if self.bottler and (self.bottler.from_year or self.bottler.to_year):
            rows.append(
                {
                    "what": _short(f"{self.bottler.name} in business"),
                    "from": self.bottler.from_year,
                    "to": self.bottler.to_year,
                    "certainty": self.bottler.years_certainty,
                    "source": self.bottler.source or "your note on the bottler",
                }
            )
        maker = self.maker_opinion
        read = any(reading.was_read for reading in self.readings)
        if maker and not read and (maker.from_year or maker.to_year):
            # With a reading the opinion restricts its candidates instead; the years would count twice.
            rows.append(
                {
                    "what": _short(f"{maker.name} in business (by opinion)"),
                    "from": maker.from_year,
                    "to": maker.to_year,
                    "certainty": "probable",
                    "source": maker.source or "the opinion on its maker",
                }
            )
        return rows


def evidence_of(find: Specimen) -> Evidence:
    """The stored evidence of a find. Six queries where nothing is prefetched."""
    return evidence_from(
        find,
        readings=find.readings.all(),
        features=find.features.all(),
        inscriptions=find.inscriptions.all(),
        known=find.known_years.all(),
        opinions=find.opinions.all(),
    )


def evidence_of_many(keys: Collection[int]) -> list[Evidence]:
    """The stored evidence of finds, the bin included. Six queries, however many."""
    joined = [f"{table}__{name}" for table in ("dive", "bottler", "product") for name in (*TIMES, "notes")]
    finds = (
        Specimen.everything.filter(pk__in=keys)
        .select_related("dive", "bottler", "product")
        .defer(*TIMES, *NOT_DATED_BY, *joined)
        .order_by("pk")
    )
    readings = _by_find(MarkReading.objects.defer(*TIMES), keys)
    features = _by_find(ObservedFeature.objects.defer(*TIMES), keys)
    inscriptions = _by_find(Inscription.objects.defer(*TIMES), keys)
    known = _by_find(KnownYears.objects.defer(*TIMES), keys)
    opinions = _by_find(Opinion.objects.filter(current=True).select_related("maker"), keys)
    return [
        evidence_from(
            find,
            readings=readings.get(find.pk, ()),
            features=features.get(find.pk, ()),
            inscriptions=inscriptions.get(find.pk, ()),
            known=known.get(find.pk, ()),
            opinions=opinions.get(find.pk, ()),
        )
        for find in finds
    ]


def _by_find(rows: QuerySet[Part], keys: Collection[int]) -> dict[int, list[Part]]:
    found: dict[int, list[Part]] = defaultdict(list)
    for row in rows.filter(find__in=keys):
        found[row.serializable_value("find")].append(row)
    return found


def evidence_from(
    find: Specimen,
    *,
    readings: Iterable[MarkReading] = (),
    features: Iterable[ObservedFeature] = (),
    inscriptions: Iterable[Inscription] = (),
    known: Iterable[KnownYears] = (),
    opinions: Iterable[Opinion] = (),
) -> Evidence:
    """The evidence of a find whose rows have been read already."""
    current = {o.about: o for o in opinions if o.current}
    opinion, works = current.get("maker"), current.get("works")
    return Evidence(
        find,
        readings=of_rows(readings),
        features=features,
        inscriptions=inscriptions,
        known=known,
        maker_opinion=opinion.maker if opinion else None,
        bottler=find.bottler,
        works_opinion=works.value if works else "",
    )


def only_known(case: dict[str, Any], reference: dating.Reference) -> dict[str, Any]:
    """The case without words that the tables in use do not have (any more).

    A symbol may have come with a maker that now lies in the bin, a feature from tables since replaced. Such
    a word counts as not looked at: the record keeps it, and it counts again when the tables have it again.
    """
    seen = {"symbol": reference.symbols, "frame": reference.frames, "arrangement": reference.arrangements}
    plain = {"", "none", "plain", None}
    marks = [
        row | {key: None for key, known in seen.items() if row[key] not in plain and row[key] not in known}
        for row in case["marks"]
    ]
    features = [row for row in case["features"] if row["id"] in reference.features]
    return case | {"marks": marks, "features": features}


def known_row(known: KnownYears) -> dict[str, Any]:
    """Known years in the words of the dating service."""
    years = {"edtf": known.edtf} if known.edtf else {"from": known.from_year, "to": known.to_year}
    return {
        "what": known.what,
        **years,
        "certainty": known.certainty,
        "source": known.source or "your note",
    }


def _short(what: str) -> str:
    """As long as the dating service takes: a name alone may already have that many letters."""
    return what if len(what) <= 200 else what[:199] + "…"


def date_evidence(
    evidence: Evidence,
    *,
    reasons: bool = True,
    look_next: bool = False,
    aside: Collection[str] = (),
    reference: dating.Reference | None = None,
) -> dating.Finding:
    """The dating service's answer for evidence that need not be saved. Raises dating.CaseError.

    `aside`: questions that no look is to ask again.
    """
    reference = reference or current_reference()
    known = only_known(evidence.case(), reference) | {"asked": list(aside)}
    case = dating.Case.from_dict(known, reference)
    return dating.assess(case, reference, look_next=look_next, reasons=reasons)
