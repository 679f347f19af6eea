"""Evidence in an address: /date/ keeps everything that was said there, so that a link shares it."""

from dataclasses import dataclass, field
from typing import Any

from django.http import QueryDict

from catalogue.common.limits import FIRST_YEAR
from catalogue.specimens.evidence import FIRED_LABEL, GHOST_NOTE
from dating import Reference

from .known_said import KnownSaid, known_said
from .mark_said import mark_said

LONGEST = 60
GHOST = "ghost"  # the answer “a stain where a fired label was”, beside the features of the tables
INSCRIPTION = "inscription"


@dataclass(slots=True)
class Said:
    """What the address says of a bottle in hand; `trouble` names what could not be taken, by its key."""

    case: dict[str, Any] = field(default_factory=dict)
    features: list[str] = field(default_factory=list)
    doubtful: set[str] = field(default_factory=set)
    ghost: bool = False
    cannot_tell: list[str] = field(default_factory=list)
    mark: dict[str, Any] = field(default_factory=dict)
    known: list[KnownSaid] = field(default_factory=list)
    text: str = ""
    trouble: dict[str, str] = field(default_factory=dict)

    @property
    def anything(self) -> bool:
        return bool(self.features or self.ghost or self.mark or self.case.get("known"))

    @property
    def sound_known(self) -> list[KnownSaid]:
        return [known for known in self.known if known.row]

    def certainty(self, feature: str) -> str:
        return "doubtful" if feature in self.doubtful else "certain"


def said(query: QueryDict, reference: Reference, this_year: int) -> Said:
    """Read an address. What makes no sense is left out and named, never an error."""
    out = Said(case={"this_year": this_year})
    out.text = query.get(INSCRIPTION, "").replace("\x00", "").strip()[:400]
    chosen = [value for key in query if key == "f" or key.startswith("f-") for value in query.getlist(key)]
    for name in chosen:
        if name == GHOST:
            out.ghost = True
        elif name in reference.features:
            if name not in out.features:
                out.features.append(name)
        elif name:
            out.trouble["f"] = "One of the answers is not in the tables any more; it was left out."
    out.doubtful = {name for name in query.getlist("doubt") if name in out.features}
    out.cannot_tell = [name[:LONGEST] for name in query.getlist("skip")][:200]
    out.mark = mark_said(query, reference)
    for key, values in (("contents", reference.contents), ("region", reference.regions)):
        value = query.get(key, "")
        if value in values:
            out.case[key] = value
    _years(query, out, this_year)
    out.case["features"] = [{"id": name, "certainty": out.certainty(name)} for name in out.features]
    if out.ghost and not any(name.startswith(FIRED_LABEL) for name in out.features):
        out.case["features"].append({"id": FIRED_LABEL, "certainty": "doubtful", "note": GHOST_NOTE})
    if out.mark:
        out.case["marks"] = [out.mark]
    if out.cannot_tell:
        out.case["asked"] = out.cannot_tell
    return out


def _years(query: QueryDict, out: Said, this_year: int) -> None:
    out.known = known_said(query, this_year)
    for known in out.known:
        if known.trouble:
            out.trouble[f"known{known.number}"] = known.trouble
    if out.sound_known:
        out.case["known"] = [known.row for known in out.sound_known]
    typed = query.get("recovered", "").strip()
    if typed.isascii() and typed.isdigit() and FIRST_YEAR <= int(typed[:6]) <= this_year:
        out.case["recovered"] = int(typed)
    elif typed:
        out.trouble["recovered"] = f"Came up in: give a year from {FIRST_YEAR} to {this_year}."
