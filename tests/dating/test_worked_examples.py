"""Published, dated bottles: agreement shows that the arithmetic is sane, not that the tables are right."""

from typing import Any

import pytest

from dating import Reference

from .worked import EXAMPLES, agrees, finding_of


def test_there_are_examples() -> None:
    assert len(EXAMPLES) == 18


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda e: e["id"])
def test_agreement_with_the_published_range(ref: Reference, example: dict[str, Any]) -> None:
    finding = finding_of(example, ref)
    assert agrees(example, finding)
    start, end = example["published_from"], example["published_to"]
    held = sum(finding.posterior[year - 1600] for year in range(start, end + 1))
    before = sum(p for y, p in zip(finding.span.years, finding.span.prior, strict=True) if start <= y <= end)
    assert held > before  # the published years gained by the evidence


def test_those_without_a_contradiction_have_none(ref: Reference) -> None:
    told = {e["id"]: [c.kind for c in finding_of(e, ref).conflicts] for e in EXAMPLES}
    assert [name for name, kinds in told.items() if "dates" in kinds or "excluded" in kinds] == []
