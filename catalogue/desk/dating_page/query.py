"""Evidence in an address: /date/ keeps everything that was said there, so that a link shares it."""

from dataclasses import dataclass, field
from typing import Any

from django.http import QueryDict

from dating import Reference

from .mark_said import mark_said

LONGEST = 60


@dataclass(slots=True)
class Said:
    """What the address says of a bottle in hand; `trouble` names what could not be taken, by its key."""

    case: dict[str, Any] = field(default_factory=dict)
    features: list[str] = field(default_factory=list)
    doubtful: set[str] = field(default_factory=set)
    cannot_tell: list[str] = field(default_factory=list)
    mark: dict[str, Any] = field(default_factory=dict)
    text: str = ""
    trouble: dict[str, str] = field(default_factory=dict)

    @property
    def anything(self) -> bool:
        return bool(self.features or self.mark or self.case.get("known"))


def said(query: QueryDict, reference: Reference, this_year: int) -> Said:
    """Read an address. What makes no sense is left out and named, never an error."""
    out = Said(case={"this_year": this_year})
    chosen = [value for key in query if key == "f" or key.startswith("f-") for value in query.getlist(key)]
    for name in chosen:
        if name in reference.features:
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
    _known(query, out, this_year)
    out.case["features"] = [
        {"id": name, "certainty": "doubtful" if name in out.doubtful else "certain"} for name in out.features
    ]
    if out.mark:
        out.case["marks"] = [out.mark]
    if out.cannot_tell:
        out.case["asked"] = out.cannot_tell
    return out


def _known(query: QueryDict, out: Said, this_year: int) -> None:
    years: dict[str, int] = {}
    for key, words in (("after", "Not before"), ("before", "Not after"), ("recovered", "Came up in")):
        typed = query.get(key, "").strip()
        if not typed:
            continue
        if typed.isascii() and typed.isdigit() and 1600 <= int(typed[:6]) <= this_year:
            years[key] = int(typed)
        else:
            out.trouble[key] = f"{words}: give a year from 1600 to {this_year}."
    if years.get("after", 0) > years.get("before", 9999):
        out.trouble["before"] = "Not after is earlier than not before. Swap them."
        years.pop("after"), years.pop("before")
    if "after" in years or "before" in years:
        out.case["known"] = [
            {
                "what": query.get("why", "").strip()[:200] or "known from elsewhere",
                "from": years.get("after"),
                "to": years.get("before"),
                "source": "you",
            }
        ]
    if "recovered" in years:
        out.case["recovered"] = years["recovered"]
