"""The published, dated bottles: how each is put to the service, and how its answer compares."""

import json
from pathlib import Path
from typing import Any

from dating import Case, Finding, Reference, assess

EXAMPLES: list[dict[str, Any]] = json.loads(
    (Path(__file__).parent / "worked_examples.json").read_text(encoding="utf-8")
)


def as_case(example: dict[str, Any]) -> dict[str, Any]:
    """The example in the shape that the service takes."""
    case: dict[str, Any] = {"features": example["features"], "this_year": 2026}
    if example["mark"]:
        case["mark"] = example["mark"]
    other = example["other_evidence"]
    if other:
        case["known"] = [{"what": other["what"], "from": other["from"], "to": other["to"]}]
    return case


def finding_of(example: dict[str, Any], ref: Reference) -> Finding:
    """The service's answer."""
    return assess(Case.from_dict(as_case(example), ref), ref)


def agrees(example: dict[str, Any], finding: Finding) -> bool:
    """The window shares a year with the published range, or where it is null the likely years do."""
    start, end = example["published_from"], example["published_to"]
    if finding.window:
        low, high = finding.window
        return (low is None or low <= end) and (high is None or high >= start)
    return any(run.start <= end and run.end >= start for run in finding.likely)
